"""What the timeline of a player shows below its ruler: rows of spans, each with a name."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum
from uuid import UUID

from leaktrack.model.footage_sequence import FootageSequence


class RowKind(Enum):
    """What the spans of a row are; each kind has a pattern of its own, not only a colour."""

    MARKED = "marked"
    FOUND = "found"
    EVIDENCE = "evidence"


@dataclass(frozen=True, slots=True)
class ClipSpan:
    """A stretch of a clip.

    Attributes:
        end_ms: None: to the clip's end.
        chance: That it shows what was asked for; None where nobody asked.
        best_ms: The frame that shows it best; None: its start.
    """

    clip_id: UUID
    start_ms: int
    end_ms: int | None
    chance: float | None = None
    best_ms: int | None = None


@dataclass(frozen=True, slots=True)
class TimelineRow:
    """Spans under one name."""

    name: str
    kind: RowKind
    spans: tuple[ClipSpan, ...]


@dataclass(frozen=True, slots=True)
class Stretch:
    """A span in the times of a sequence."""

    start_ms: int
    end_ms: int
    goal_ms: int
    chance: float | None = None


def stretches(row: TimelineRow, sequence: FootageSequence) -> list[Stretch]:
    """Return a row's spans that lie in a sequence, earliest first."""
    found = []
    for clip, start_ms in zip(sequence.clips, sequence.starts_ms, strict=True):
        for span in row.spans:
            if span.clip_id != clip.id:
                continue
            end_ms = clip.duration_ms if span.end_ms is None else span.end_ms
            goal_ms = span.start_ms if span.best_ms is None else span.best_ms
            found.append(
                Stretch(
                    start_ms + span.start_ms, start_ms + end_ms, start_ms + goal_ms, span.chance
                )
            )
    return sorted(found, key=lambda each: (each.start_ms, each.end_ms))


def next_goal(
    rows: Sequence[TimelineRow], sequence: FootageSequence, at_ms: int, direction: int
) -> int | None:
    """Return where the next span has its best frame, or its start; None if there is none.

    Args:
        rows: All rows.
        sequence: What the times count in.
        at_ms: From where.
        direction: 1 for later, -1 for earlier.
    """
    goals = {each.goal_ms for row in rows for each in stretches(row, sequence)}
    beyond = [goal for goal in goals if (goal - at_ms) * direction > 0]
    return min(beyond, key=lambda goal: abs(goal - at_ms), default=None)


TICKS_MS = tuple(
    1000 * each for each in (1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200, 14400)
)


def tick_step(duration_ms: int, width_px: float, label_px: float) -> int:
    """Return how far apart the ruler's numbers stand, so that none touches another.

    >>> tick_step(79_000, 600, 50), tick_step(3_600_000, 600, 50)
    (10000, 600000)
    """
    for step in TICKS_MS:
        if duration_ms / step * label_px * 1.3 <= width_px:
            return step
    return max(TICKS_MS[-1], duration_ms)
