"""Carry a joint's line from the photo it was drawn in to another one, as a proposal."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import hypot
from typing import TYPE_CHECKING
from uuid import UUID

from leaktrack.imaging.reading import read_upright
from leaktrack.model.engine import Joint, JointLine, LinePoint, Zone
from leaktrack.model.errors import BadInput
from leaktrack.model.photo import Photo
from leaktrack.model.shapes import PointPx
from leaktrack.workflows.align_photos import alignment_of
from leaktrack.workflows.carry_through import alignment_through
from leaktrack.workflows.project import Progress, Project, silent

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from leaktrack.imaging.carrying.bolting import FoundBolts
    from leaktrack.imaging.matching.overlaying import Placing

_SURE_SHARE = 0.012
"""Of the longest side: a line whose points are known less well is called unsure; own judgement."""

_DECODED_PX = 1600
"""Bolts are looked for at this size: their heads are then some thirty pixels wide."""

_FEWEST_BOLTS = 3

_ALIKE_SHARE = 0.05
"""Of the longest side: over so much the errors of carried places fall to 1/e of being alike; own
measurement, see ``imaging.correcting``."""

_HAND = 0.1  # the same there


@dataclass(frozen=True, slots=True)
class LineProposal:
    """A carried line; nothing is stored before a person accepts it.

    Attributes:
        line: What the photo shows of it.
        is_sure: Every point could be told well; else look twice.
        sigma_px: The largest standard deviation of its points.
        sigmas_px: The standard deviation of each of its points.
        unsure: Places in the line's points that are not told well.
        has_bolts: The bolts were found again in the photo, so the line does not slide along itself.
    """

    line: JointLine
    is_sure: bool
    sigma_px: float
    sigmas_px: tuple[float, ...] = ()
    unsure: tuple[int, ...] = ()
    has_bolts: bool = False

    def taken_along(self, put: Mapping[int, PointPx], longest_px: int) -> dict[int, PointPx]:
        """Return where the other points lie likely, where a person put some of them elsewhere.

        Errors are alike over some distance, so what is near goes along, the less the surer it was.

        Args:
            put: The points that were put right, by their place in the line; one at least.
            longest_px: Longest side of the photo.
        """
        import numpy as np

        at = _array([point.at for point in self.line.points])
        sigma = np.maximum(np.array(self.sigmas_px), 1e-3)
        known = list(put)
        off = (_array(list(put.values())) - at[known]) / sigma[known, None]
        away = np.linalg.norm(at[:, None] - at[known][None], axis=2)
        alike = np.exp(-away / (_ALIKE_SHARE * longest_px))
        votes = np.linalg.solve(alike[known] + _HAND * np.eye(len(known)), alike.T).T
        # A sure point beside an unsure one was not off by as much; an unsure one not by more.
        least = np.minimum(sigma, sigma[known].max())
        moved = at + least[:, None] * (votes @ off)
        return {
            place: PointPx(float(x), float(y))
            for place, (x, y) in enumerate(moved)
            if place not in put
        }


def carry_joint_line(
    project: Project,
    joint_id: UUID,
    photo_id: UUID,
    progress: Progress = silent,
    *,
    is_thorough: bool = False,
) -> LineProposal | None:
    """Return a joint's line as it should run in a photo, or None where that cannot be told.

    It is carried from the zone's reference photo, or from another photo with a line of the joint.
    Where its bolts are found again, the points beside them lie where these say.

    Args:
        project: The open project.
        joint_id: The joint.
        photo_id: The photo it is wanted in.
        progress: Called between the steps; may raise Cancelled to stop.
        is_thorough: Also try to reach unsure places through other photos of the zone, which takes a
            few seconds more.

    Raises:
        BadInput: No photo has a line of this joint yet.
        Cancelled: Stopped by ``progress``.
        MissingRecord: There is no such joint or photo.
        UnreadablePhoto: A photo's file is missing or damaged.
    """
    photo = project.get(Photo, photo_id)
    line = _drawn_line(project, joint_id, photo_id)
    align = alignment_through if is_thorough else alignment_of
    return _carried(project, line, photo, align(project, line.photo_id, photo_id, progress))


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
    project: Project, line: JointLine, photo: Photo, alignment: "Placing"
) -> LineProposal | None:
    # OpenCV takes a while to load, and the window imports this before it stands.
    from leaktrack.imaging.carrying.anchoring import anchored
    from leaktrack.imaging.carrying.shaping import carried_shape
    from leaktrack.imaging.matching.aligning import AlignmentState

    if alignment.state is AlignmentState.FAILED:
        return None
    seams = carried_shape(alignment, _array([point.at for point in line.points]))
    beside = [place for place, point in enumerate(line.points) if point.head is not None]
    drawn = _array([line.points[place].head or line.points[place].at for place in beside])
    drawn_in = project.get(Photo, line.photo_id)
    bolts = _bolts(project, line, photo, alignment, drawn)
    if bolts is not None:
        at = _array([line.points[place].at for place in beside])
        seams = anchored(seams, beside, at, drawn, bolts, alignment.size)
    found = bolts.xy if bolts is not None else alignment.carry(drawn).xy
    heads = dict(zip(beside, _places(found, alignment.size), strict=True))
    larger = max(alignment.size) / max(drawn_in.width_px, drawn_in.height_px)
    sigmas = [
        hypot(float(sigma), larger * (point.sigma_px or 0.0))
        for point, sigma in zip(line.points, seams.sigma_px, strict=True)
    ]
    kept = [
        (LinePoint(at, point.bolt_number, heads.get(place), sigma), sigma)
        for place, (point, at, sigma) in enumerate(
            zip(line.points, _places(seams.xy, alignment.size), sigmas, strict=True)
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
        sigmas_px=tuple(sigma for _, sigma in kept),
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
    from leaktrack.imaging.carrying.bolting import bolts_again

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
