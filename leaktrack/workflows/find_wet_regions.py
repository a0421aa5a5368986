"""Find what became wet, or dried up, in a photo since earlier photos of the same zone.

``find_wet_regions(project, after_photo_id, before_photo_ids=None, progress=silent)`` for a project,
``find_wet_in_files(before, after, matcher, target_side_mm=30.0, progress=silent)`` for plain files.
Both return a ``WetSearch``: proposals, likeliest first; nothing is recorded. A photo under an
ultraviolet lamp is searched for dye that glows, and compared with nothing.
"""

import tempfile
from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING
from uuid import UUID

from leaktrack.imaging.reading import read_upright
from leaktrack.model.engine import JointLine
from leaktrack.model.errors import BadInput
from leaktrack.model.inspection import Inspection
from leaktrack.model.photo import Photo
from leaktrack.model.shapes import PointPx
from leaktrack.model.wet_search import WetRegion, WetSearch
from leaktrack.workflows.align_files import readable_file
from leaktrack.workflows.align_photos import alignment_of, placing_of
from leaktrack.workflows.find_features import ReadablePhoto, readable
from leaktrack.workflows.find_glowing_regions import glow_search
from leaktrack.workflows.measure_scale import scale_in, scale_of
from leaktrack.workflows.project import Progress, Project, silent

if TYPE_CHECKING:
    from leaktrack.imaging.matching.learned_matching import LearnedMatcher
    from leaktrack.imaging.matching.overlaying import Placing
    from leaktrack.imaging.measuring.scaling import Scale

MOST_BEFORE = 3
"""So many earlier photos are compared by default: each takes seconds, and more say little new."""

_ALIGNING_STEPS, _COMPARING_STEPS = 4, 2  # for each earlier photo
_LONG_AGO = datetime.min.replace(tzinfo=UTC)


def find_wet_regions(
    project: Project,
    after_photo_id: UUID,
    before_photo_ids: Sequence[UUID] | None = None,
    progress: Progress = silent,
) -> WetSearch:
    """Return what became wet or dried up in a photo since earlier photos of its zone.

    Args:
        project: The open project.
        after_photo_id: The photo.
        before_photo_ids: The photos to compare it with; None: those of earlier inspections of the
            zone, newest first, up to three.
        progress: Called often; may raise Cancelled to stop.

    Raises:
        BadInput: There is nothing to compare it with.
        Cancelled: Stopped by ``progress``.
        MissingRecord: There is no such photo.
        UnreadablePhoto: A photo's file is missing or damaged.
    """
    with project.read() as records:
        after = records.get(Photo, after_photo_id)
        if before_photo_ids is None:
            looked_at = {item.id: item.looked_at for item in records.all(Inspection)}
            others = records.all(Photo, zone_id=after.zone_id) if after.zone_id else ()
            before = _earlier(after, others, looked_at)
        else:
            before = [records.get(Photo, photo_id) for photo_id in before_photo_ids]
        lines = records.all(JointLine, photo_id=after.id)
        look = records.get(Inspection, after.inspection_id) if after.inspection_id else None
    looked_in = look.light if look else None
    glowing = glow_search(project.photo_file(after), after.light, looked_in)
    if glowing is not None:
        return _measured(glowing, scale_of(project, after.id), after.mm_per_px)
    if not before:
        raise BadInput(
            f"There is nothing to compare {after.original_name} with. Nothing was changed. Add a "
            "photo of the same zone from an earlier inspection, best from before the first run."
        )
    found = _search(
        [readable(project, one) for one in before],
        readable(project, after),
        [line.path for line in lines],
        lambda number, tell: alignment_of(project, after.id, before[number].id, tell),
        progress,
    )
    if not found.regions:
        return found
    return _measured(found, scale_of(project, after.id), after.mm_per_px)


def find_wet_in_files(
    before: Sequence[Path],
    after: Path,
    matcher: "LearnedMatcher",
    target_side_mm: float = 30.0,
    progress: Progress = silent,
    cache_folder: Path | None = None,
) -> WetSearch:
    """Return what became wet or dried up in a photo file since earlier ones.

    Args:
        before: The earlier photos, newest first; at least one.
        after: The later photo.
        matcher: The networks that find the same points in two photos.
        target_side_mm: Printed side of the black square of a target, should the photo show one.
        progress: Called often; may raise Cancelled to stop.
        cache_folder: Where points are kept that were found before; None: nowhere.

    Raises:
        BadInput: There is no earlier photo, or the target's side cannot be.
        Cancelled: Stopped by ``progress``.
        UnreadablePhoto: A photo's file is missing or damaged.
    """
    if not before:
        raise BadInput("A photo cannot be compared with nothing. Give an earlier photo as well.")
    scale = scale_in(after, target_side_mm)
    glowing = glow_search(after)
    if glowing is not None:
        return _measured(glowing, scale)
    others, this = [readable_file(path) for path in before], readable_file(after)
    with tempfile.TemporaryDirectory() as folder:
        kept = cache_folder or Path(folder)
        found = _search(
            others,
            this,
            (),
            lambda number, tell: placing_of(this, others[number], matcher, kept, tell),
            progress,
        )
    return _measured(found, scale)


def _search(
    before: Sequence[ReadablePhoto],
    after: ReadablePhoto,
    joints: Sequence[Sequence[PointPx]],
    placed: "Callable[[int, Progress], Placing]",
    progress: Progress,
) -> WetSearch:
    """Return what is found; ``placed`` tells how the later photo lies over an earlier one."""
    # OpenCV takes a while to load, and the window imports this before it stands.
    from leaktrack.imaging.matching.aligning import AlignmentState
    from leaktrack.imaging.spotting.laying import laid, shows_something
    from leaktrack.imaging.spotting.wetting import LONGEST_PX, changed_regions

    total = (_ALIGNING_STEPS + _COMPARING_STEPS) * len(before)
    after_rgb = read_upright(after.path, LONGEST_PX)
    earlier, states = [], []
    for number, one in enumerate(before if shows_something(after_rgb) else ()):
        before_rgb = read_upright(one.path, LONGEST_PX)
        if not shows_something(before_rgb):
            continue
        aligning = _from(progress, number * _ALIGNING_STEPS, total)
        placing = placed(number, aligning)
        states.append(placing.state)
        if placing.state is not AlignmentState.FAILED:
            earlier.append(laid(placing, before_rgb, after_rgb.shape, after.size[0]))
    if not earlier:
        return WetSearch(AlignmentState.FAILED.value, (), (), None)
    comparing = _from(progress, _ALIGNING_STEPS * len(before), total)
    found = changed_regions(after_rgb, after.size[0], earlier, joints, comparing)
    regions = tuple(
        WetRegion(one.outline, one.area_px, None, None, one.score, one.kind)
        for one in found.regions
    )
    is_sure = AlignmentState.ALIGNED in states
    state = AlignmentState.ALIGNED if is_sure else AlignmentState.UNRELIABLE
    return WetSearch(state.value, regions, found.unassessed, None)


def _measured(
    found: WetSearch, scale: "Scale | None", told_mm_per_px: float | None = None
) -> WetSearch:
    """Return the regions with their areas.

    What a person measured or typed for the photo goes before the target's usual side, and serves
    alone, without a standard deviation, where there is no target.
    """
    from leaktrack.imaging.measuring.scaling import area_mm2

    if scale is None or scale.mm_per_px is None:
        if told_mm_per_px is None:
            return replace(found, scale=scale)
        plain = tuple(
            replace(one, area_mm2=one.area_px * told_mm_per_px**2) for one in found.regions
        )
        return replace(found, regions=plain, scale=scale)
    share = (told_mm_per_px / scale.mm_per_px) ** 2 if told_mm_per_px else 1.0
    measured = []
    for one in found.regions:
        area = area_mm2(scale, one.outline)
        if area is not None:
            one = replace(one, area_mm2=area.mm2 * share, area_sigma_mm2=area.sigma_mm2 * share)
        measured.append(one)
    return replace(found, regions=tuple(measured), scale=scale)


def _from(progress: Progress, first: int, total: int) -> Callable[[int, int, str], None]:
    """Return what tells the progress of a part as progress of the whole."""

    def tell(done: int, _: int, what: str) -> None:
        progress(min(first + done, total), total, what)

    return tell


def _earlier(after: Photo, others: Sequence[Photo], looked_at: dict[UUID, datetime]) -> list[Photo]:
    """Return the photos of earlier inspections, newest first, as many as are compared."""

    def at(photo: Photo) -> datetime:
        return looked_at.get(photo.inspection_id, _LONG_AGO) if photo.inspection_id else _LONG_AGO

    earlier = [
        other
        for other in others
        if other.inspection_id is not None and (at(other) < at(after) or not after.inspection_id)
    ]
    return sorted((one for one in earlier if one.id != after.id), key=at, reverse=True)[
        :MOST_BEFORE
    ]
