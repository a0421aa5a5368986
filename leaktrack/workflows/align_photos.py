"""Carry places from one photo to another photo of the same zone, by the pictures alone."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING
from uuid import UUID

from leaktrack.model.photo import Photo
from leaktrack.model.place import PlaceState
from leaktrack.model.shapes import PointPx
from leaktrack.workflows.find_features import (
    FEATURES_VERSION,
    ReadablePhoto,
    readable,
    sight_of,
)
from leaktrack.workflows.keep_cache import cached
from leaktrack.workflows.project import Progress, Project, silent

if TYPE_CHECKING:
    from leaktrack.imaging.carrying.keeping import KeepablePlacing
    from leaktrack.imaging.matching.learned_matching import LearnedMatcher
    from leaktrack.imaging.matching.overlaying import Placing

_STEPS = 4

ALIGNMENT_VERSION = 6
"""Raise it when photos are aligned in another way: old cache files are then not found any more."""


@dataclass(frozen=True, slots=True)
class CarriedPoint:
    """Where a place of one photo lies in another.

    Attributes:
        at: The place; None unless carried or uncertain.
        sigma_px: One standard deviation of the place.
    """

    state: PlaceState
    at: PointPx | None = None
    sigma_px: float | None = None


def carry_points(
    project: Project, from_photo_id: UUID, to_photo_id: UUID, points: Sequence[PointPx]
) -> tuple[CarriedPoint, ...]:
    """Return where places of one photo lie in another, in the same order.

    Raises:
        MissingRecord: There is no such photo.
        UnreadablePhoto: A photo's file is missing or damaged.
    """
    if not points:
        return ()
    return carried_by(alignment_of(project, from_photo_id, to_photo_id), points)


def carried_by(alignment: "Placing", points: Sequence[PointPx]) -> tuple[CarriedPoint, ...]:
    """Return where an alignment places points, in the same order; unknown where it failed."""
    import numpy as np

    from leaktrack.imaging.matching.aligning import AlignmentState

    if alignment.state is AlignmentState.FAILED:
        return (CarriedPoint(PlaceState.UNKNOWN),) * len(points)
    carried = alignment.carry(np.array([[point.x, point.y] for point in points], float))
    return tuple(
        CarriedPoint(state, PointPx(float(x), float(y)), float(sigma))
        if np.isfinite(x)
        else CarriedPoint(state)
        for (x, y), sigma, state in zip(carried.xy, carried.sigma_px, carried.states, strict=True)
    )


def alignment_of(
    project: Project, from_photo_id: UUID, to_photo_id: UUID, progress: Progress = silent
) -> "Placing":
    """Return what tells where places of one photo lie in another; at once where it was made lately.

    Args:
        project: The open project.
        from_photo_id: The photo that places are carried from.
        to_photo_id: The photo they are carried to.
        progress: Called between the steps; may raise Cancelled to stop.

    Raises:
        Cancelled: Stopped by ``progress``.
        MissingRecord: There is no such photo.
        UnreadablePhoto: A photo's file is missing or damaged.
    """
    here, there = (
        readable(project, project.get(Photo, photo_id)) for photo_id in (from_photo_id, to_photo_id)
    )
    return project.alignments.get(
        (here.sha256, there.sha256),
        lambda: placing_of(here, there, project.matcher, project.cache_folder, progress),
        lambda: progress(0, _STEPS, there.name),
    )


def placing_of(
    here: ReadablePhoto,
    there: ReadablePhoto,
    matcher: "LearnedMatcher",
    cache_folder: Path,
    progress: Progress = silent,
) -> "Placing":
    """Return what tells where places of one photo lie in another, wherever the photos are kept.

    Args:
        here: The photo that places are carried from.
        there: The photo they are carried to.
        matcher: The networks that find the same points in both.
        cache_folder: Where it is kept for the next time, as are the points of each photo.
        progress: Called between the steps; may raise Cancelled to stop.

    Raises:
        Cancelled: Stopped by ``progress``.
        UnreadablePhoto: A photo's file is missing or damaged.
    """
    from leaktrack.imaging.carrying.keeping import from_bytes, to_bytes

    progress(0, _STEPS, here.name)
    if here.sha256 == there.sha256:  # byte for byte the same: there is nothing to search
        return _onto_itself(here, matcher, cache_folder)
    name = f"{here.sha256}-{there.sha256}-v{ALIGNMENT_VERSION}.{FEATURES_VERSION}.npz"
    return cached(
        cache_folder / "alignments" / here.sha256[:2] / name,
        from_bytes,
        to_bytes,
        lambda: _made(here, there, matcher, cache_folder, progress),
    )


def _onto_itself(photo: ReadablePhoto, matcher: "LearnedMatcher", cache_folder: Path) -> "Placing":
    """Return that a photo lies exactly on itself; failed where it shows nothing to go by."""
    import numpy as np

    from leaktrack.imaging.coinciding import SamePhoto
    from leaktrack.imaging.matching.aligning import AlignmentState, align

    features = sight_of(photo, matcher, cache_folder).features
    alike = np.stack([np.arange(len(features.xy))] * 2, axis=1)
    alignment = align(features, features, alike)
    return alignment if alignment.state is AlignmentState.FAILED else SamePhoto(photo.size)


def _made(
    here: ReadablePhoto,
    there: ReadablePhoto,
    matcher: "LearnedMatcher",
    cache_folder: Path,
    progress: Progress,
) -> "KeepablePlacing":
    # The networks' library takes a while to load, and the window imports this before it stands.
    from leaktrack.imaging.carrying.refining import refined
    from leaktrack.imaging.carrying.sharing import at_once
    from leaktrack.imaging.matching.aligning import AlignmentState, align
    from leaktrack.imaging.matching.framing import framed
    from leaktrack.imaging.matching.matching import matched
    from leaktrack.imaging.matching.repeating import Shown, without_repeats

    reference = sight_of(here, matcher, cache_folder)
    progress(1, _STEPS, there.name)
    # Points may be kept from before; the photo itself is looked at further on, and can be decoded
    # meanwhile.
    _, new = at_once(reference.seen, lambda: sight_of(there, matcher, cache_folder))
    progress(2, _STEPS, "matching")
    pausing = matcher.pausing(lambda: progress(2, _STEPS, "matching"))
    matches = matched(pausing, reference, new)
    alignment = align(matches.reference, matches.new, matches.pairs)
    if alignment.state is AlignmentState.FAILED:
        agreeing = matches.pairs[matches.agreement.agrees]
        is_same = matches.agreement.is_same_place
        alignment = align(matches.reference, matches.new, agreeing, is_same_place=is_same)
    if alignment.state is AlignmentState.FAILED:
        return framed(alignment, matches.here, matches.there, here.size, there.size)
    progress(3, _STEPS, "looking closely")
    here_rgb, there_rgb = reference.seen(matches.here), new.seen(matches.there)
    photos = Shown(matches.reference, here_rgb), Shown(matches.new, there_rgb)
    alignment = without_repeats(alignment, *photos, matches.pairs)
    closely = refined(
        alignment,
        here_rgb,
        matches.here.size,
        there_rgb,
        pause=lambda: progress(3, _STEPS, "looking closely"),
    )
    return framed(closely, matches.here, matches.there, here.size, there.size)
