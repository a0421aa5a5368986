"""Measure how large wet areas are in mm2, with how far that can be trusted; reads the photos."""

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING
from uuid import UUID

from leaktrack.analysis.comparing import change
from leaktrack.model.comparison import Comparison, LeakChange, Sighting
from leaktrack.model.errors import UnreadablePhoto
from leaktrack.model.shapes import PointPx, longest_way
from leaktrack.workflows.measure_scale import scale_of
from leaktrack.workflows.project import Progress, Project, silent

if TYPE_CHECKING:
    from leaktrack.imaging.measuring.scaling import Scale


def measured(project: Project, comparison: Comparison, progress: Progress = silent) -> Comparison:
    """Return a comparison with the wet areas measured at the printed targets in their photos.

    A photo without a target keeps the area that its written scale gives, with no standard
    deviation. Between equal grades, areas that are known that well decide anew how a leak fared.

    Args:
        project: The open project.
        comparison: As ``compare`` gives it.
        progress: Called before each photo; may raise Cancelled to stop.

    Raises:
        Cancelled: Stopped by ``progress``.
    """
    sightings = [each for one in comparison.changes for each in (one.before, one.after)]
    found = measured_sightings(project, sightings, progress)
    changes = []
    for one, before, after in zip(comparison.changes, found[::2], found[1::2], strict=True):
        changes.append(LeakChange(one.leak, before, after, change(before, after)))
    return replace(comparison, changes=tuple(changes))


def measured_sightings(
    project: Project, sightings: Sequence[Sighting], progress: Progress = silent
) -> tuple[Sighting, ...]:
    """Return sightings with their wet areas measured at the targets in their photos.

    Raises:
        Cancelled: Stopped by ``progress``.
    """
    marks = [each.mark for each in sightings if each.mark is not None and each.mark.outline_px]
    photo_ids = list(dict.fromkeys(mark.photo_id for mark in marks))
    scales: dict[UUID, Scale | None] = {}
    for done, photo_id in enumerate(photo_ids):
        progress(done, len(photo_ids), "")
        scales[photo_id] = _scale(project, photo_id)
    return tuple(_measured(each, scales) for each in sightings)


def _scale(project: Project, photo_id: UUID) -> "Scale | None":
    try:
        return scale_of(project, photo_id)
    except UnreadablePhoto:  # its marks are still there, and what was written down of its scale
        return None


def _measured(sighting: Sighting, scales: dict[UUID, "Scale | None"]) -> Sighting:
    from leaktrack.imaging.measuring.scaling import area_mm2, length_mm

    outline = _outline(sighting)
    scale = scales.get(sighting.mark.photo_id) if sighting.mark is not None else None
    if scale is None or not outline:
        return sighting
    area, length = area_mm2(scale, outline), length_mm(scale, longest_way(outline))
    if area is None or length is None:
        return sighting
    return replace(
        sighting,
        area_mm2=area.mm2,
        area_sigma_mm2=area.sigma_mm2,
        extent_mm=length.mm,
        extent_sigma_mm=length.sigma_mm,
    )


def _outline(sighting: Sighting) -> Sequence[PointPx]:
    return sighting.mark.outline_px if sighting.mark is not None else ()
