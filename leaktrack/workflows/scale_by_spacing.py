"""Give a photo its scale by bolts of a joint line: the recorded places, or a measured distance."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING
from uuid import UUID

from leaktrack.model.engine import Bolt, Joint, JointLine
from leaktrack.model.errors import BadInput
from leaktrack.model.photo import Photo
from leaktrack.model.record import Edit
from leaktrack.model.shapes import PointPx
from leaktrack.workflows.derive_scale import camera_of_photo, scale_by_measured_bolts
from leaktrack.workflows.measure_scale import check_length, given_scale
from leaktrack.workflows.project import Project

if TYPE_CHECKING:
    from leaktrack.imaging.measuring.scaling import Scale

_PROBE_PX = 10.0
"""Half the side of the square whose area tells how well areas are known."""


@dataclass(frozen=True, slots=True)
class ShownBolts:
    """The numbered bolts of a joint's line in a photo.

    Attributes:
        joint_id: The joint.
        name: What people call it.
        numbers: The bolts that the line shows, in its order.
        measured: Those whose places along the joint are recorded in mm.
    """

    joint_id: UUID
    name: str
    numbers: tuple[int, ...]
    measured: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class FoundScale:
    """A scale that a person may take.

    Attributes:
        mm_per_px: Along and across averaged, in the middle between the bolts.
        along_share: One standard deviation of a length along the bolts, as a share of it.
        area_share: The same of an area there; larger, since nothing tells how the surface leans.
        source: Where it comes from, in words.
        edit: Writes it down with the photo.
    """

    mm_per_px: float
    along_share: float
    area_share: float
    source: str
    edit: Edit


def shown_bolts(project: Project, photo_id: UUID) -> tuple[ShownBolts, ...]:
    """Return the joints of whose bolts a photo's lines show at least two."""
    found = []
    for line in project.all(JointLine, photo_id=photo_id):
        stations = {one.number: one.station_mm for one in project.all(Bolt, joint_id=line.joint_id)}
        numbers = tuple(one.bolt_number for one in line.points if one.bolt_number is not None)
        measured = tuple(number for number in numbers if stations.get(number) is not None)
        name = project.get(Joint, line.joint_id).name
        found.append(ShownBolts(line.joint_id, name, numbers, measured))
    return tuple(one for one in found if len(one.numbers) > 1)


def scale_by_recorded_places(project: Project, photo_id: UUID, joint_id: UUID) -> FoundScale:
    """Return the scale that the recorded places of a joint's bolts give a photo.

    Raises:
        BadInput: Too few are recorded on a straight stretch, or they do not lie as they say.
        MissingRecord: There is no such photo or joint.
        UnreadablePhoto: The photo's file is missing or damaged.
    """
    scale, source = scale_by_measured_bolts(project, photo_id, joint_id)
    return _found(project.get(Photo, photo_id), scale, source)


def scale_by_spacing(
    project: Project, photo_id: UUID, joint_id: UUID, bolts: tuple[int, int], spacing_mm: float
) -> FoundScale:
    """Return the scale that the distance between two bolts of a joint's line gives a photo.

    From head to head where the line tells where both heads are, for there a person measures.

    Args:
        project: The open project.
        photo_id: The photo.
        joint_id: The joint.
        bolts: Numbers of the two bolts.
        spacing_mm: Straight from the one to the other, from centre to centre.

    Raises:
        BadInput: The line does not show both, they are the same, or the distance cannot be.
        MissingRecord: There is no such photo or joint.
        UnreadablePhoto: The photo's file is missing or damaged.
    """
    from leaktrack.imaging.measuring.calibrating import scale_of_length
    from leaktrack.imaging.measuring.scaling import ScaleSource

    check_length(spacing_mm, "A distance between bolts", "Measure it from centre to centre.")
    photo, joint = project.get(Photo, photo_id), project.get(Joint, joint_id)
    if bolts[0] == bolts[1]:
        raise BadInput("A bolt has no distance from itself. Choose two bolts.")
    start, end = _places(project.all(JointLine, joint_id=joint_id, photo_id=photo_id), bolts)
    camera = camera_of_photo(project, photo)
    scale = scale_of_length(start, end, spacing_mm, camera, ScaleSource.BOLTS)
    source = f"bolts {bolts[0]} and {bolts[1]} of {joint.name}, {spacing_mm:g} mm apart"
    return _found(photo, scale, source)


def _places(lines: Sequence[JointLine], bolts: tuple[int, int]) -> tuple[PointPx, PointPx]:
    numbered = {one.bolt_number: one for line in lines for one in line.points}
    if bolts[0] not in numbered or bolts[1] not in numbered:
        raise BadInput("The joint's line in this photo does not show both bolts. Choose others.")
    one, other = numbered[bolts[0]], numbered[bolts[1]]
    if one.head is not None and other.head is not None:
        return one.head, other.head
    return one.at, other.at


def _found(photo: Photo, scale: "Scale", source: str) -> FoundScale:
    from leaktrack.imaging.measuring.scaling import area_mm2, length_mm

    edit = given_scale(photo, scale, source)  # refuses what cannot be used
    assert scale.mm_per_px is not None
    x, y, half = scale.at_px.x, scale.at_px.y, _PROBE_PX
    square = [PointPx(x + a * half, y + b * half) for a, b in ((-1, -1), (1, -1), (1, 1), (-1, 1))]
    length, area = length_mm(scale, scale.corners_px, 0.0), area_mm2(scale, square, 0.0)
    # What the scale was taken from looks at the camera, so it is seen there.
    assert length is not None
    assert area is not None
    return FoundScale(
        scale.mm_per_px, length.sigma_mm / length.mm, area.sigma_mm2 / area.mm2, source, edit
    )
