"""Find when videos show what a photo shows."""

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from leaktrack import places
from leaktrack.imaging.reading import read_upright, upright_size
from leaktrack.model.errors import BadInput, UnreadableVideo
from leaktrack.model.footage import FootageAnswer, FootageQuery, FoundSpan, Searched
from leaktrack.model.photo import Clip
from leaktrack.workflows.index_footage import index_video
from leaktrack.workflows.keep_footage import kept_footprint
from leaktrack.workflows.look_closer import LookingCloser
from leaktrack.workflows.project import Progress, Project, silent

if TYPE_CHECKING:
    from leaktrack.imaging.footage.asking import Wanted
    from leaktrack.imaging.footage.packing import Footprint

LEAST_SCORE = 0.1
"""What is less likely is not told at all."""

_DECODED_PX = 1600


def find_in_videos(
    query: FootageQuery,
    videos: Sequence[Path],
    progress: Progress = silent,
    cache_folder: Path | None = None,
) -> FootageAnswer:
    """Return when videos show what a photo shows; index first what is not indexed yet.

    Args:
        query: What to look for.
        videos: The files; one that cannot be read becomes a note.
        progress: Called often; may raise Cancelled, and what is indexed is kept.
        cache_folder: Where indexes are kept; None: the user's cache folder.

    Raises:
        BadInput: The box or the place lies outside the photo.
        Cancelled: Stopped by ``progress``.
        UnreadablePhoto: The photo is missing or damaged.
    """
    folder = cache_folder or places.cache_folder()
    _check(query)
    indexed, notes = [], []
    for video in videos:
        try:
            found = index_video(video, progress, folder)
        except UnreadableVideo as error:
            notes.append(str(error))
            continue
        if found.note:
            notes.append(found.note)
        indexed.append((video, kept_footprint(folder, found.sha256)))
    if not indexed:
        searched = Searched.NOTHING if notes else Searched.ALL
        return FootageAnswer(spans=(), notes=tuple(notes), searched=searched)
    search = _Search(query)
    spans = search.spans(indexed, progress)
    notes += search.notes
    return FootageAnswer(
        spans=tuple(spans),
        notes=tuple(notes),
        searched=Searched.PART if notes else Searched.ALL,
    )


def find_in_clips(
    project: Project, query: FootageQuery, clips: Sequence[Clip], progress: Progress = silent
) -> FootageAnswer:
    """Return when clips of a project show what a photo shows; see ``find_in_videos``."""
    clip_of = {project.clip_path(clip): clip for clip in clips}
    found = find_in_videos(query, list(clip_of), progress, project.cache_folder)
    return replace(
        found, spans=tuple(replace(one, clip_id=clip_of[one.video].id) for one in found.spans)
    )


class _Search:
    """One query.

    Attributes:
        notes: What could not be looked at closely, and why.
    """

    def __init__(self, query: FootageQuery) -> None:
        from leaktrack.imaging.footage.asking import wanted
        from leaktrack.imaging.matching.learned_matching import LearnedMatcher

        self._matcher = LearnedMatcher(places.resource("models"))
        rgb, size = read_upright(query.photo, _DECODED_PX), upright_size(query.photo)
        self._wanted: Wanted = wanted(self._matcher, rgb, size, query.box, query.place)
        self.notes: list[str] = []

    def spans(
        self, videos: Sequence[tuple[Path, "Footprint"]], progress: Progress
    ) -> list[FoundSpan]:
        """Return what is found in indexed videos, best first."""
        # These take a while to load, and the window imports this before it stands.
        from leaktrack.imaging.footage.grouping import stretches
        from leaktrack.imaging.footage.querying import looks_of

        looking = LookingCloser(self._matcher, self._wanted, videos)
        looking.look(looks_of(self._matcher, self._wanted), progress)
        self.notes += looking.notes
        spans = []
        for number, found in looking.seen.items():
            video, footprint = videos[number]
            spans += [
                FoundSpan(
                    video=video,
                    start_ms=span.start_ms,
                    end_ms=span.end_ms,
                    best_ms=looking.at_ms(number, span.best),
                    score=span.score,
                    place=looking.place(number, span.best),
                )
                for span in stretches(footprint, found, LEAST_SCORE)
            ]
        return sorted(spans, key=lambda span: -span.score)


def _check(query: FootageQuery) -> None:
    width, height = upright_size(query.photo)
    box, place = query.box, query.place
    if box is not None and not (
        box.width > 0
        and box.height > 0
        and box.left < width - 0.5
        and box.top < height - 0.5
        and box.left + box.width > -0.5
        and box.top + box.height > -0.5
    ):
        raise BadInput(
            f"The box does not lie on {query.photo.name}, which is {width} x {height} px seen "
            "upright. Nothing was looked for."
        )
    if place is not None and not (
        -0.5 <= place.x <= width - 0.5 and -0.5 <= place.y <= height - 0.5
    ):
        raise BadInput(
            f"The place does not lie on {query.photo.name}, which is {width} x {height} px seen "
            "upright. Nothing was looked for."
        )
