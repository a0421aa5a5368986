"""Find when videos show what a photo shows."""

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from leaktrack import places
from leaktrack.imaging.reading import read_upright, upright_size
from leaktrack.model.errors import BadInput, UnreadableVideo
from leaktrack.model.footage import FootageAnswer, FootageQuery, FoundSpan
from leaktrack.model.photo import Clip
from leaktrack.workflows.index_footage import index_video
from leaktrack.workflows.keep_footage import kept_footprint
from leaktrack.workflows.project import Progress, Project, silent

if TYPE_CHECKING:
    from leaktrack.imaging.footage.packing import Footprint
    from leaktrack.imaging.footage.shortlisting import Votes
    from leaktrack.imaging.footage.verifying import Evidence, Wanted

MOST_LOOKED_AT = 8
"""So many pictures of all videos together are looked at closely: each takes a fifth of a second."""

LEAST_SCORE = 0.1
"""What is less likely is not told at all."""

_APART_MS = 2_500
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
        return FootageAnswer(spans=(), notes=tuple(notes))
    search = _Search(query)
    spans = search.spans(indexed, progress)
    return FootageAnswer(spans=tuple(spans), notes=(*notes, *search.notes))


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
        from leaktrack.imaging.footage.verifying import wanted
        from leaktrack.imaging.matching.learned_matching import LearnedMatcher

        self.notes: list[str] = []
        self._matcher = LearnedMatcher(places.resource("models"))
        rgb, size = read_upright(query.photo, _DECODED_PX), upright_size(query.photo)
        self._wanted: Wanted = wanted(self._matcher, rgb, size, query.box, query.place)

    def spans(
        self, videos: Sequence[tuple[Path, "Footprint"]], progress: Progress
    ) -> list[FoundSpan]:
        """Return what is found in indexed videos, best first."""
        # These take a while to load, and the window imports this before it stands.
        import numpy as np

        from leaktrack.imaging.footage.believing import chance
        from leaktrack.imaging.footage.grouping import Seen, stretches
        from leaktrack.imaging.footage.packing import Footprint
        from leaktrack.imaging.footage.querying import looks_of
        from leaktrack.imaging.footage.shortlisting import votes

        joined = Footprint.joined([footprint for _, footprint in videos])
        ends = np.cumsum([len(footprint.at_ms) for _, footprint in videos])[:-1]
        each = np.split(votes(joined, looks_of(self._matcher, self._wanted)), ends)
        looked_at = self._looked_at(videos, each, progress)
        spans = []
        for number, found in looked_at.items():
            (video, footprint), votes_for = videos[number], each[number]
            seen = [
                Seen(one, chance(shown), shown.inside * shown.spread)
                for one, shown in found.items()
            ]
            spans += [
                FoundSpan(
                    video=video,
                    start_ms=span.start_ms,
                    end_ms=span.end_ms,
                    best_ms=int(footprint.at_ms[span.best]),
                    score=span.score,
                    place=found[span.best].place,
                )
                for span in stretches(footprint, seen, votes_for, LEAST_SCORE)
            ]
        return sorted(spans, key=lambda span: -span.score)

    def _looked_at(
        self,
        videos: Sequence[tuple[Path, "Footprint"]],
        votes_for: "Sequence[Votes]",
        progress: Progress,
    ) -> "dict[int, dict[int, Evidence]]":
        """Look closely at the likeliest pictures of all videos, each video read once."""
        from leaktrack.imaging.footage.shortlisting import likeliest
        from leaktrack.imaging.footage.verifying import evidence
        from leaktrack.imaging.sampling import VideoReader

        candidates = sorted(
            (
                (float(mine[one]), number, one)
                for number, ((_, footprint), mine) in enumerate(zip(videos, votes_for, strict=True))
                for one in likeliest(mine, footprint, MOST_LOOKED_AT, _APART_MS)
            ),
            reverse=True,
        )[:MOST_LOOKED_AT]
        found: dict[int, dict[int, Evidence]] = {}
        done = 0
        for number in sorted({number for _, number, _ in candidates}):
            video, footprint = videos[number]
            chosen = sorted(one for _, other, one in candidates if other == number)
            found[number] = {}
            try:
                with VideoReader(video) as reader:
                    for one in chosen:
                        progress(done, len(candidates), f"looking at {video.name}")
                        frame = reader.frame_at(int(footprint.at_ms[one]))
                        found[number][one] = evidence(self._matcher, self._wanted, frame.rgb)
                        done += 1
            except UnreadableVideo as error:
                self.notes.append(str(error))
        return found


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
