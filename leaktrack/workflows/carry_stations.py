"""Carry the stations of a joint into a photo that shows none of its bolts, place by place."""

from math import hypot
from uuid import UUID

from leaktrack.analysis.doubting import CLICKED, station_doubt
from leaktrack.analysis.placing import ruled_by_places
from leaktrack.analysis.stationing import RuledLine, ruled_line
from leaktrack.model.engine import Bolt, Joint, JointLine, Zone
from leaktrack.model.photo import Photo
from leaktrack.model.shapes import PointPx, nearest_on_path
from leaktrack.workflows.align_photos import alignment_of, carried_by
from leaktrack.workflows.project import Progress, Project

_SAMPLES = 80
_MOST_SIGMA = 0.03  # of the longest side: a place that is known less well tells nothing


def carry_stations(
    project: Project,
    joint: Joint,
    photo: Photo,
    path: tuple[PointPx, ...] | None,
    progress: Progress,
) -> tuple[RuledLine, tuple[float, ...]] | None:
    """Return a line with stations in a photo, and how well each of its known places is known.

    Args:
        project: The open project.
        joint: The joint.
        photo: The photo that shows a stretch of it, but not two bolts.
        path: The joint there as a person drew it; None: it runs through the carried places.
        progress: Called between the steps; may raise Cancelled to stop.

    Returns:
        None where no other photo's line tells stations, or where too little can be carried.

    Raises:
        Cancelled: Stopped by ``progress``.
        UnreadablePhoto: A photo's file is missing or damaged.
    """
    source = _telling_line(project, joint, photo.id)
    if source is None:
        return None
    source_photo, ruled = source
    first, last = ruled.station_along(0.0), ruled.station_along(ruled.total_px)
    stations = [first + (last - first) * place / _SAMPLES for place in range(_SAMPLES + 1)]
    places = [(one, _seen(ruled, one)) for one in stations]
    known = [(station, at) for station, at in places if at is not None]
    alignment = alignment_of(project, source_photo.id, photo.id, progress)
    found = zip(known, carried_by(alignment, [at for _, at in known]), strict=True)
    longest = max(photo.width_px, photo.height_px)
    told = [
        (place.at, station, place.sigma_px)
        for (station, _), place in found
        if place.at is not None
        and place.sigma_px is not None
        and place.sigma_px <= _MOST_SIGMA * longest
    ]
    line = path or tuple(at for at, _, _ in told)
    if len(told) < 2 or len(line) < 2:
        return None
    marked = [(at, ruled.ruler.value(station)) for at, station, _ in told]
    answer = ruled_by_places(line, ruled.ruler, marked)
    if answer is None:
        return None
    carried, kept = answer
    clicked_px = CLICKED * max(source_photo.width_px, source_photo.height_px)
    sigmas = []
    for knot, place in zip(carried.knots_px, kept, strict=True):
        _, station, sigma_px = told[place]
        there = station_doubt(ruled, _along(ruled, station), place_px=0, knots_px=clicked_px)
        per_px = abs(carried.station_along(knot + 1) - carried.station_along(knot - 1)) / 2
        sigmas.append(hypot(sigma_px, there.stations / max(per_px, 1e-9)))
    return carried, tuple(sigmas)


def _along(ruled: RuledLine, station: float) -> float:
    """Return the length along a line at a station that it shows."""
    at = _seen(ruled, station)
    return 0.0 if at is None else nearest_on_path(ruled.path, at, is_closed=ruled.is_loop).along_px


def _telling_line(project: Project, joint: Joint, photo_id: UUID) -> tuple[Photo, RuledLine] | None:
    """Return a photo whose line tells stations, the zone's reference if it does, and the line."""
    bolts = project.all(Bolt, joint_id=joint.id)
    reference = project.get(Zone, joint.zone_id).reference_photo_id
    lines = project.all(JointLine, joint_id=joint.id)
    for line in sorted(lines, key=lambda one: one.photo_id != reference):
        photo = project.get(Photo, line.photo_id)
        ruled = ruled_line(
            line,
            bolts,
            is_closed=joint.is_closed,
            length_mm=joint.length_mm,
            plane=photo.plane,
        )
        if line.photo_id != photo_id and ruled.is_ruled:
            return photo, ruled
    return None


def _seen(ruled: RuledLine, station: float) -> PointPx | None:
    return ruled.point_at(ruled.ruler.wrapped(station))
