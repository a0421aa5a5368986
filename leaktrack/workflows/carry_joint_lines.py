"""Carry a joint's line from the photo it was drawn in to another one, as a proposal."""

from dataclasses import dataclass
from typing import TYPE_CHECKING
from uuid import UUID

from leaktrack.imaging.reading import read_upright
from leaktrack.model.engine import Joint, JointLine, LinePoint, Zone
from leaktrack.model.errors import BadInput
from leaktrack.model.photo import Photo
from leaktrack.model.shapes import PointPx
from leaktrack.workflows.align_photos import alignment_of
from leaktrack.workflows.project import Progress, Project, silent

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from leaktrack.imaging.bolting import FoundBolts
    from leaktrack.imaging.overlaying import Placing

_SURE_SHARE = 0.012
"""Of the longest side: a line whose points are known less well is called unsure; own judgement."""

_DECODED_PX = 1600
"""Bolts are looked for at this size: their heads are then some thirty pixels wide."""

_FEWEST_BOLTS = 3


@dataclass(frozen=True, slots=True)
class LineProposal:
    """A carried line; nothing is stored before a person accepts it.

    Attributes:
        line: What the photo shows of it.
        is_sure: Every point could be told well; else look twice.
        sigma_px: The largest standard deviation of its points.
        unsure: Places in the line's points that are not told well.
        has_bolts: The bolts were found again in the photo, so the line does not slide along itself.
    """

    line: JointLine
    is_sure: bool
    sigma_px: float
    unsure: tuple[int, ...] = ()
    has_bolts: bool = False


def carry_joint_line(
    project: Project, joint_id: UUID, photo_id: UUID, progress: Progress = silent
) -> LineProposal | None:
    """Return a joint's line as it should run in a photo, or None where that cannot be told.

    It is carried from the zone's reference photo, or from another photo with a line of the joint.
    Where its bolts are found again, the points beside them lie where these say.

    Args:
        project: The open project.
        joint_id: The joint.
        photo_id: The photo it is wanted in.
        progress: Called between the steps; may raise Cancelled to stop.

    Raises:
        BadInput: No photo has a line of this joint yet.
        Cancelled: Stopped by ``progress``.
        MissingRecord: There is no such joint or photo.
        UnreadablePhoto: A photo's file is missing or damaged.
    """
    photo = project.get(Photo, photo_id)
    return _carried(project, _drawn_line(project, joint_id, photo_id), photo, progress)


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


def _carried(
    project: Project, line: JointLine, photo: Photo, progress: Progress
) -> LineProposal | None:
    # OpenCV takes a while to load, and the window imports this before it stands.
    from leaktrack.imaging.aligning import AlignmentState
    from leaktrack.imaging.anchoring import anchored
    from leaktrack.imaging.shaping import carried_shape

    alignment = alignment_of(project, line.photo_id, photo.id, progress)
    if alignment.state is AlignmentState.FAILED:
        return None
    seams = carried_shape(alignment, _array([point.at for point in line.points]))
    progress(0, 0, "bolts")
    beside = [place for place, point in enumerate(line.points) if point.head is not None]
    drawn = _array([line.points[place].head or line.points[place].at for place in beside])
    bolts = _bolts(project, line, photo, alignment, drawn)
    if bolts is not None:
        at = _array([line.points[place].at for place in beside])
        seams = anchored(seams, beside, at, drawn, bolts, alignment.size)
    found = bolts.xy if bolts is not None else alignment.carry(drawn).xy
    heads = dict(zip(beside, _places(found, alignment.size), strict=True))
    kept = [
        (LinePoint(at, point.bolt_number, heads.get(place)), float(sigma))
        for place, (point, at, sigma) in enumerate(
            zip(line.points, _places(seams.xy, alignment.size), seams.sigma_px, strict=True)
        )
        if at is not None
    ]
    if len(kept) < 2:
        return None
    limit = _SURE_SHARE * max(photo.width_px, photo.height_px)
    unsure = tuple(place for place, (_, sigma) in enumerate(kept) if sigma > limit)
    return LineProposal(
        JointLine(
            joint_id=line.joint_id, photo_id=photo.id, points=tuple(point for point, _ in kept)
        ),
        is_sure=not unsure,
        sigma_px=max(sigma for _, sigma in kept),
        unsure=unsure,
        has_bolts=bolts is not None,
    )


def _bolts(
    project: Project,
    line: JointLine,
    photo: Photo,
    alignment: "Placing",
    heads: "NDArray[np.float64]",
) -> "FoundBolts | None":
    """Return the line's bolts as the photo shows them; None where they cannot be told."""
    from leaktrack.imaging.bolting import bolts_again

    if len(heads) < _FEWEST_BOLTS:
        return None
    drawn = project.get(Photo, line.photo_id)
    here, there = (read_upright(project.photo_path(each), _DECODED_PX) for each in (drawn, photo))
    return bolts_again(here, (drawn.width_px, drawn.height_px), there, alignment, heads)


def _places(xy: "NDArray[np.float64]", size: tuple[int, int]) -> list[PointPx | None]:
    """Return places that are told and lie within the photo; None for the others."""
    width, height = size
    return [
        PointPx(float(x), float(y))
        if -0.5 <= x < width - 0.5 and -0.5 <= y < height - 0.5
        else None
        for x, y in xy
    ]


def _array(points: list[PointPx]) -> "NDArray[np.float64]":
    import numpy as np

    return np.array([[point.x, point.y] for point in points], float).reshape(-1, 2)
