"""Carry a joint's line from the photo it was drawn in to another one, as a proposal."""

from dataclasses import dataclass
from uuid import UUID

from leaktrack.model.engine import Joint, JointLine, LinePoint, Zone
from leaktrack.model.errors import BadInput
from leaktrack.model.photo import Photo
from leaktrack.model.place import PlaceState
from leaktrack.model.shapes import PointPx
from leaktrack.workflows.align_photos import CarriedPoint, carry_points
from leaktrack.workflows.project import Project

_SURE_SHARE = 0.012
"""Of the longest side: a line whose points are known less well is called unsure; own judgement."""


@dataclass(frozen=True, slots=True)
class LineProposal:
    """A carried line; nothing is stored before a person accepts it.

    Attributes:
        line: What the photo shows of it.
        is_sure: Every point could be told well; else look twice.
        sigma_px: The largest standard deviation of its points.
    """

    line: JointLine
    is_sure: bool
    sigma_px: float


def carry_joint_line(project: Project, joint_id: UUID, photo_id: UUID) -> LineProposal | None:
    """Return a joint's line as it should run in a photo, or None where that cannot be told.

    It is carried from the zone's reference photo, or from another photo with a line of the joint.

    Raises:
        BadInput: No photo has a line of this joint yet.
        MissingRecord: There is no such joint or photo.
        UnreadablePhoto: A photo's file is missing or damaged.
    """
    photo = project.get(Photo, photo_id)
    return _carried(project, _drawn_line(project, joint_id, photo_id), photo)


def _drawn_line(project: Project, joint_id: UUID, photo_id: UUID) -> JointLine:
    joint = project.get(Joint, joint_id)
    reference = project.get(Zone, joint.zone_id).reference_photo_id
    lines = [
        line for line in project.all(JointLine, joint_id=joint_id) if line.photo_id != photo_id
    ]
    if not lines:
        raise BadInput(
            f"No photo has a line of '{joint.name}' yet, so there is none to carry. Draw it once, "
            "in the zone's clearest photo."
        )
    return min(lines, key=lambda line: line.photo_id != reference)


def _carried(project: Project, line: JointLine, photo: Photo) -> LineProposal | None:
    heads = [point.head or point.at for point in line.points]
    places = carry_points(project, line.photo_id, photo.id, [*line.path, *heads])
    seams, bolts = places[: len(line.points)], places[len(line.points) :]
    kept = [
        (_moved(point, seam.at, bolt), seam.sigma_px)
        for point, seam, bolt in zip(line.points, seams, bolts, strict=True)
        if seam.at is not None and seam.state in (PlaceState.CARRIED, PlaceState.UNCERTAIN)
    ]
    if len(kept) < 2:
        return None
    sigma = max(sigma or 0.0 for _, sigma in kept)
    points = tuple(point for point, _ in kept)
    is_sure = sigma <= _SURE_SHARE * max(photo.width_px, photo.height_px)
    return LineProposal(
        JointLine(joint_id=line.joint_id, photo_id=photo.id, points=points), is_sure, sigma
    )


def _moved(point: LinePoint, seam: PointPx, bolt: CarriedPoint) -> LinePoint:
    has_head = point.head is not None and bolt.at is not None
    return LinePoint(seam, point.bolt_number, bolt.at if has_head else None)
