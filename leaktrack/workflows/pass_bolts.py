"""Tell on which side of the bolt holes a bead passes, and whether the rule wants it there."""

from collections.abc import Sequence

from leaktrack.analysis.siding import Hole, left_is_inside, passings
from leaktrack.model.bead_audit import BeadAudit, HolePassing, HoleSide, MisplacedBead
from leaktrack.model.engine import Joint, JointLine
from leaktrack.model.sealing_job import BeadPlace, SealingJob, SealingRule
from leaktrack.workflows.project import Project

__all__ = [
    "USUAL_HOLE_RADIUS_MM",
    "Hole",
    "bolts_passed",
    "holes_passed",
    "is_against_rule",
    "misplaced_beads",
    "place_wanted",
]

USUAL_HOLE_RADIUS_MM = 3.3
"""Of an M6 bolt's hole, where nobody measured it. Source: ISO 273, 6.6 mm, medium fit."""

_UNWANTED = {
    BeadPlace.INSIDE_BOLTS: {HoleSide.OUTSIDE, HoleSide.OVER},
    BeadPlace.AROUND_BOLTS: {HoleSide.INSIDE, HoleSide.OUTSIDE, HoleSide.OVER},
}


def holes_passed(
    audit: BeadAudit, holes: Sequence[Hole], is_left_inside: bool | None = None
) -> tuple[HolePassing, ...]:
    """Return how a bead passes holes of its photo, in the path's order.

    Args:
        audit: What was measured.
        holes: In px of the photo.
        is_left_inside: Which side of the path is the inner one; None: by how the path bends.
    """
    if is_left_inside is None:
        is_left_inside = left_is_inside([point.at_px for point in audit.points])
    return passings(audit, holes, is_left_inside)


def bolts_passed(project: Project, audit: BeadAudit) -> tuple[HolePassing, ...]:
    """Return how a bead passes its joint's bolts whose heads' places are known in the photo.

    Raises:
        MissingRecord: The job or its joint is not there any more.
    """
    job = project.get(SealingJob, audit.sealing_job_id)
    joint = project.get(Joint, job.joint_id)
    lines = project.all(JointLine, joint_id=joint.id, photo_id=audit.photo_id)
    return _bolts_passed(audit, lines[0]) if lines else ()


def misplaced_beads(
    audits: Sequence[BeadAudit], lines: Sequence[JointLine], place: BeadPlace | None
) -> tuple[MisplacedBead, ...]:
    """Return the bolts that a job's bead passes where its rule does not want it.

    Args:
        audits: Of the job's bead.
        lines: Of its joint, in whatever photos.
        place: Where the rule wants the bead; None where it does not say, then nothing is misplaced.
    """
    if place is None:
        return ()
    line_in = {line.photo_id: line for line in lines}
    return tuple(
        MisplacedBead(int(passing.name), audit.photo_id, passing.at_px)
        for audit in audits
        if audit.photo_id in line_in
        for passing in _bolts_passed(audit, line_in[audit.photo_id])
        if is_against_rule(passing, place)
    )


def is_against_rule(passing: HolePassing, place: BeadPlace | None) -> bool:
    """Return whether a rule wants a bead elsewhere at a hole; what is not known is not against."""
    return place is not None and passing.side in _UNWANTED[place]


def place_wanted(project: Project, audit: BeadAudit) -> BeadPlace | None:
    """Return where the rule of the job's material wants the bead; None where it does not say.

    Raises:
        MissingRecord: The job is not there any more.
    """
    job = project.get(SealingJob, audit.sealing_job_id)
    if job.material_id is None:
        return None
    rules = project.all(SealingRule, material_id=job.material_id)
    return rules[0].bead_place if rules else None


def _bolts_passed(audit: BeadAudit, line: JointLine) -> tuple[HolePassing, ...]:
    if audit.unit != "mm":
        return ()
    holes = [
        Hole(str(point.bolt_number), point.head, USUAL_HOLE_RADIUS_MM)
        for point in line.points
        if point.head is not None and point.bolt_number is not None
    ]
    return holes_passed(audit, holes)
