"""What footage shows when: the index of a video, what is asked of it, and the spans found."""

from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from uuid import UUID

from leaktrack.model.shapes import BoxPx, PointPx


@dataclass(frozen=True, slots=True, kw_only=True)
class IndexedVideo:
    """How far one video file is indexed.

    Attributes:
        sha256: Of the file's bytes.
        duration_ms: From the first frame to the end of the last, as far as the file tells.
        indexed_ms: Up to here; less than ``duration_ms`` where stopped or broken.
        frames: How many pictures the index holds.
        is_whole: Nothing is left to index: it ends where the video does, or where it is broken.
        note: In words, why it does not reach the end; empty where it does.
    """

    video: Path
    sha256: str
    duration_ms: int
    indexed_ms: int
    frames: int
    is_whole: bool
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class FootageQuery:
    """What to look for in footage.

    Attributes:
        photo: The picture file that shows it.
        box: The part of the upright photo that matters, in its pixels; None: all of it.
        place: The one place in it that must be in sight, upright pixels; None: any.
    """

    photo: Path
    box: BoxPx | None = None
    place: PointPx | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundSpan:
    """A stretch of a video that shows what was asked for.

    Attributes:
        clip_id: The project's clip; None where the video belongs to no project.
        best_ms: The frame that shows it best.
        score: Calibrated chance that what was asked for is in sight at ``best_ms``.
        place: Where the query's place (or the middle of its box) lies in that frame, upright
            pixels of the video; None where it cannot be told.
    """

    video: Path
    clip_id: UUID | None = None
    start_ms: int
    end_ms: int
    best_ms: int
    score: float
    place: PointPx | None = None


class Searched(StrEnum):
    """How much of the footage an answer speaks for."""

    ALL = "all"
    PART = "part"
    NOTHING = "nothing"


@dataclass(frozen=True, slots=True, kw_only=True)
class FootageAnswer:
    """Answer to one query.

    Attributes:
        spans: Best first; empty where nothing was found in what was searched.
        notes: What was left out and why, such as a video that could not be read.
        searched: How much of the footage could be read; of the rest nothing is known.
    """

    spans: tuple[FoundSpan, ...]
    notes: tuple[str, ...] = ()
    searched: Searched = Searched.ALL
