"""Give a photo a scale without a target in it: from bolts, a typed length, or another photo."""

from collections.abc import Iterator, Sequence
from contextlib import suppress
from typing import TYPE_CHECKING
from uuid import UUID

from leaktrack.imaging.reading import focal_35mm, told_size
from leaktrack.model.engine import Bolt, Joint, JointLine, LinePoint
from leaktrack.model.errors import BadInput, UnreadablePhoto
from leaktrack.model.photo import Photo
from leaktrack.model.record import Edit
from leaktrack.model.shapes import PointPx, length_px
from leaktrack.workflows.align_photos import alignment_of
from leaktrack.workflows.check_input import check_on_photo
from leaktrack.workflows.measure_scale import USUAL_SIDE_MM, check_length, given_scale, scale_of
from leaktrack.workflows.project import Progress, Project, silent

if TYPE_CHECKING:
    from leaktrack.imaging.measuring.projecting import Camera
    from leaktrack.imaging.measuring.scaling import Scale

_BY_TARGET = "printed target"
_MOST_NEIGHBOURS = 2  # so many are tried; each takes seconds
_STRAIGHT = 1.02  # a stretch of a joint so much longer than straight has no known spacing


def find_scale(
    project: Project,
    photo_id: UUID,
    side_mm: float = USUAL_SIDE_MM,
    progress: Progress = silent,
) -> Edit:
    """Return the edit that gives a photo the best scale that can be had without asking anybody.

    That is the target in it; else that of another photo of its zone whose scale was measured by
    one, carried over; else the measured places of the bolts of a joint whose line is drawn in it.

    Args:
        project: The open project.
        photo_id: The photo.
        side_mm: Printed side of the target's black square.
        progress: Called between the steps; may raise Cancelled to stop.

    Raises:
        BadInput: There is none to be had, or the photo's own target cannot be used.
        Cancelled: Stopped by ``progress``.
        MissingRecord: There is no such photo.
        UnreadablePhoto: Its file is missing or damaged.
    """
    photo = project.get(Photo, photo_id)
    own = scale_of(project, photo_id, side_mm)
    if own is not None and own.to_mm is not None:
        return given_scale(photo, own, f"{_BY_TARGET}, {side_mm:g} mm")
    for other in _measured_neighbours(project, photo)[:_MOST_NEIGHBOURS]:
        with suppress(BadInput, UnreadablePhoto):
            return carry_scale(project, other.id, photo_id, _side_mm(project, other), progress)
    for joint_id in _lined_joints(project, photo_id):
        with suppress(BadInput):
            return scale_by_bolts(project, photo_id, joint_id)
    if own is not None:
        return given_scale(photo, own, _BY_TARGET)  # which says why it cannot be used
    raise BadInput(
        f"No printed target is found in {photo.original_name}, and its scale cannot be had "
        "from another photo of the zone or from measured bolts either. It stays as it was. Lay the "
        "target flat beside the joint, wholly in the picture, and take another photo."
    )


def scale_by_length(
    project: Project, photo_id: UUID, ends: Sequence[PointPx], length_mm: float
) -> Edit:
    """Return the edit that gives a photo the scale along a length that somebody typed.

    It holds along that line; where the surface leans away across it, areas read too small.

    Raises:
        BadInput: There are not two ends on the photo, they lie too near together, or the length
            cannot be.
        MissingRecord: There is no such photo.
        UnreadablePhoto: Its file is missing or damaged.
    """
    from leaktrack.imaging.measuring.calibrating import scale_of_length

    check_length(length_mm, "A length", "Measure it on the engine and type it in mm.")
    if len(ends) != 2:
        raise BadInput("A length has two ends. Click both in the photo.")
    photo = project.get(Photo, photo_id)
    for end in ends:
        check_on_photo(end, photo, "end of the length")
    scale = scale_of_length(ends[0], ends[1], length_mm, camera_of_photo(project, photo))
    return given_scale(photo, scale, f"typed length, {length_mm:g} mm")


def scale_by_bolts(project: Project, photo_id: UUID, joint_id: UUID) -> Edit:
    """Return the edit that gives a photo the scale along a joint whose bolts' places are measured.

    Raises:
        As ``scale_by_measured_bolts``; BadInput also where its scale cannot be used.
    """
    scale, source = scale_by_measured_bolts(project, photo_id, joint_id)
    return given_scale(project.get(Photo, photo_id), scale, source)


def scale_by_measured_bolts(
    project: Project, photo_id: UUID, joint_id: UUID
) -> "tuple[Scale, str]":
    """Return the scale along a joint whose bolts' places are measured, and where it comes from.

    The joint's line in the photo says where the bolts are, their stations how far apart. Only a
    straight stretch counts: round a corner the way along the joint is not the distance.

    Raises:
        BadInput: The joint has no line here, fewer than two bolts on a straight stretch are
            measured, or the bolts do not lie as their stations say.
        MissingRecord: There is no such photo or joint.
        UnreadablePhoto: The photo's file is missing or damaged.
    """
    from leaktrack.imaging.measuring.calibrating import scale_of_bolts

    photo, joint = project.get(Photo, photo_id), project.get(Joint, joint_id)
    lines = project.all(JointLine, joint_id=joint_id, photo_id=photo_id)
    if not lines:
        raise BadInput(
            f"{photo.original_name} has no line of '{joint.name}' yet. Draw it, bolt by bolt."
        )
    stations = {bolt.number: bolt.station_mm for bolt in project.all(Bolt, joint_id=joint_id)}
    measured = [
        (place, stations[point.bolt_number])
        for place, point in enumerate(lines[0].points)
        if point.bolt_number is not None
    ]
    known = [(place, station) for place, station in measured if station is not None]
    stretch = _longest_straight(lines[0].points, known)
    if len(stretch) < 2:
        raise BadInput(
            f"Fewer than two bolts of '{joint.name}' on a straight stretch have a measured place. "
            "Write their places along the joint down with the engine, in mm."
        )
    places = [lines[0].points[place].at for place, _ in stretch]
    scale = scale_of_bolts(
        places, [(station, 0.0) for _, station in stretch], camera_of_photo(project, photo)
    )
    first, last = (lines[0].points[stretch[end][0]].bolt_number for end in (0, -1))
    return scale, f"bolts {first} and {last} of {joint.name}"


def scale_by_pattern(
    project: Project,
    photo_id: UUID,
    bolts_px: Sequence[PointPx],
    bolts_mm: Sequence[tuple[float, float]],
) -> Edit:
    """Return the edit that gives a photo the scale of a flange whose bolt pattern is known.

    Raises:
        BadInput: There are fewer than two bolts, one lies outside the photo, or the photo does not
            show this pattern.
        MissingRecord: There is no such photo.
        UnreadablePhoto: Its file is missing or damaged.
    """
    from leaktrack.imaging.measuring.calibrating import scale_of_bolts

    if len(bolts_px) != len(bolts_mm) or len(bolts_px) < 2:
        raise BadInput("Give at least two bolts, each with its place in the photo and in mm.")
    photo = project.get(Photo, photo_id)
    for bolt in bolts_px:
        check_on_photo(bolt, photo, "bolt")
    scale = scale_of_bolts(bolts_px, bolts_mm, camera_of_photo(project, photo))
    return given_scale(photo, scale, f"pattern of {len(bolts_px)} bolts")


def carried_scale_of(
    project: Project,
    from_photo_id: UUID,
    photo_id: UUID,
    target_side_mm: float = USUAL_SIDE_MM,
    progress: Progress = silent,
) -> "Scale | None":
    """Return a photo's scale, carried from another photo of the zone that shows a target.

    Its doubt holds how well the two photos lie over each other; where they do not, its state says
    so. It holds best where the target was.

    Args:
        project: The open project.
        from_photo_id: The photo with the target.
        photo_id: The photo without.
        target_side_mm: Printed side of the target's black square.
        progress: Called between the steps; may raise Cancelled to stop.

    Returns:
        None where the first photo shows no target.

    Raises:
        BadInput: The side cannot be.
        Cancelled: Stopped by ``progress``.
        MissingRecord: There is no such photo.
        UnreadablePhoto: A photo's file is missing or damaged.
    """
    from leaktrack.imaging.carrying.transferring import carried_scale

    scale = scale_of(project, from_photo_id, target_side_mm)
    if scale is None:
        return None
    placing = alignment_of(project, from_photo_id, photo_id, progress)
    return carried_scale(scale, placing, camera_of_photo(project, project.get(Photo, photo_id)))


def carry_scale(
    project: Project,
    from_photo_id: UUID,
    photo_id: UUID,
    target_side_mm: float = USUAL_SIDE_MM,
    progress: Progress = silent,
) -> Edit:
    """Return the edit that gives a photo the scale of another one with a target; as above.

    Raises:
        BadInput: The other photo shows no target, or one that cannot be used, or the photos cannot
            be laid over each other there.
        Cancelled: Stopped by ``progress``.
        MissingRecord: There is no such photo.
        UnreadablePhoto: A photo's file is missing or damaged.
    """
    photo, other = project.get(Photo, photo_id), project.get(Photo, from_photo_id)
    scale = carried_scale_of(project, from_photo_id, photo_id, target_side_mm, progress)
    if scale is None:
        raise BadInput(
            f"No printed target is found in {other.original_name}, so there is no scale to carry. "
            f"That of {photo.original_name} stays as it was."
        )
    source = f"carried from {other.original_name}, printed target, {target_side_mm:g} mm"
    return given_scale(photo, scale, source)


def _measured_neighbours(project: Project, photo: Photo) -> list[Photo]:
    """Return the zone's other photos whose scale is that of a target, the same look's first."""
    if photo.zone_id is None:
        return []
    others = [
        other
        for other in project.all(Photo, zone_id=photo.zone_id)
        if other.id != photo.id and other.scale_source.startswith(_BY_TARGET)
    ]
    return sorted(others, key=lambda other: other.inspection_id != photo.inspection_id)


def _side_mm(project: Project, photo: Photo) -> float:
    """Return the side that its target was said to have when the photo's scale was measured."""
    scale = scale_of(project, photo.id)
    if scale is None or not scale.mm_per_px or not photo.mm_per_px:
        return USUAL_SIDE_MM
    return USUAL_SIDE_MM * photo.mm_per_px / scale.mm_per_px


def _lined_joints(project: Project, photo_id: UUID) -> Iterator[UUID]:
    return (line.joint_id for line in project.all(JointLine, photo_id=photo_id))


def camera_of_photo(project: Project, photo: Photo) -> "Camera":
    """Return the camera of a photo, as far as its file tells."""
    from leaktrack.imaging.measuring.projecting import camera_of

    path = project.photo_path(photo)
    return camera_of((photo.width_px, photo.height_px), focal_35mm(path), told_size(path))


def _longest_straight(
    points: Sequence[LinePoint], known: Sequence[tuple[int, float]]
) -> list[tuple[int, float]]:
    """Return the run of measured bolts with the longest straight stretch of the joint's line."""
    best: list[tuple[int, float]] = []
    best_px = 0.0
    for first in range(len(known)):
        for last in range(first + 1, len(known)):
            path = [point.at for point in points[known[first][0] : known[last][0] + 1]]
            straight_px = path[0].distance_px(path[-1])
            if straight_px > best_px and length_px(path) <= _STRAIGHT * straight_px:
                best, best_px = list(known[first : last + 1]), straight_px
    return best
