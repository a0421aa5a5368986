"""Measure the bead of a sealing job in a photo that shows it, and keep or drop what was found.

What is measured is a proposal: ``audit_bead`` records nothing, ``keep_audit`` gives the edit that
does.
"""

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise
from uuid import UUID

from leaktrack.analysis.stationing import RuledLine, ruled_line
from leaktrack.model.bead_audit import BeadAudit, BeadDefect, BeadPoint
from leaktrack.model.engine import Bolt, Joint, JointLine
from leaktrack.model.errors import BadInput
from leaktrack.model.photo import Photo
from leaktrack.model.record import Edit, added, removed
from leaktrack.model.sealing_job import Evidence, SealingJob, SealingRule
from leaktrack.model.shapes import PointPx, length_px
from leaktrack.workflows.audit_bead_file import (
    USUAL_TOLERANCE,
    PathPoint,
    Tolerance,
    audit_bead_in_file,
)
from leaktrack.workflows.project import Progress, Project, silent


def audit_bead(
    project: Project,
    job_id: UUID,
    photo_id: UUID,
    progress: Progress = silent,
    *,
    followed: Sequence[PointPx] = (),
) -> BeadAudit:
    """Return what a photo shows of a sealing job's bead, with bolt coordinates.

    The joint's line in that photo is the path, unless the bead was followed. The line's bolts give
    the scale where the places of all of them along the joint are known; a printed target or what
    is known of the photo's scale do else.

    Args:
        project: The open project.
        job_id: The sealing job.
        photo_id: A photo with the line of the job's joint.
        progress: Called between the steps; may raise Cancelled to stop.
        followed: The path along the bead, where the bead itself was followed.

    Raises:
        BadInput: There is no path: neither a line of the joint nor a followed one; or a width
            cannot be.
        Cancelled: Stopped by ``progress``.
        MissingRecord: There is no such job or photo.
        UnreadablePhoto: The photo's file is missing or damaged.
    """
    with project.read() as records:
        job = records.get(SealingJob, job_id)
        photo = records.get(Photo, photo_id)
        joint = records.get(Joint, job.joint_id)
        bolts = records.all(Bolt, joint_id=joint.id)
        lines = records.all(JointLine, joint_id=joint.id, photo_id=photo_id)
        rules = records.all(SealingRule, material_id=job.material_id) if job.material_id else ()
    if not lines and not followed:
        raise BadInput(
            f"No line of '{joint.name}' is drawn in {photo.original_name}, so nobody knows where "
            "its bead should run. Draw the line along the bead, or follow the bead; then measure "
            "again."
        )
    ruled = (
        ruled_line(
            lines[0],
            bolts,
            is_closed=joint.is_closed,
            length_mm=joint.length_mm,
            plane=photo.plane,
        )
        if lines
        else None
    )
    found = audit_bead_in_file(
        project.photo_file(photo),
        _path(ruled, bolts, followed),
        tolerance_of(job, rules[0] if rules else None),
        progress=progress,
        mm_per_px=photo.mm_per_px,
        sealing_job_id=job_id,
        photo_id=photo_id,
    )
    return found.audit if ruled is None else _with_stations(found.audit, ruled)


def keep_audit(project: Project, audit: BeadAudit) -> Edit:
    """Return the edit that keeps an audit; an earlier one of the same job and photo goes.

    Raises:
        MissingRecord: The job or the photo is not there any more.
    """
    project.get(SealingJob, audit.sealing_job_id)
    project.get(Photo, audit.photo_id)
    earlier = project.all(BeadAudit, sealing_job_id=audit.sealing_job_id, photo_id=audit.photo_id)
    return removed(*earlier).then(added(audit))


def remove_audit(project: Project, audit_id: UUID) -> Edit:
    """Return the edit that drops a kept audit.

    Raises:
        MissingRecord: There is no such audit.
    """
    return removed(project.get(BeadAudit, audit_id))


def audits_of_job(project: Project, job_id: UUID) -> tuple[BeadAudit, ...]:
    """Return what was kept of a job's bead, oldest first."""
    return project.all(BeadAudit, sealing_job_id=job_id)


def photos_to_audit(project: Project, job_id: UUID) -> tuple[Photo, ...]:
    """Return the photos that show a job and have its joint's line.

    Raises:
        MissingRecord: There is no such job.
    """
    job = project.get(SealingJob, job_id)
    shown = {
        each.photo_id for each in project.all(Evidence, sealing_job_id=job_id) if each.photo_id
    }
    lines = project.all(JointLine, joint_id=job.joint_id, photo_id=list(shown))
    return project.all(Photo, id=[line.photo_id for line in lines])


def tolerance_of(job: SealingJob, rule: SealingRule | None) -> Tolerance:
    """Return which widths are allowed: by the material's rule where it says so, else the usual."""
    if rule is None or (rule.bead_min_mm is None and rule.bead_max_mm is None):
        return Tolerance(job.bead_mm)
    source = rule.source or "the material's rule"
    if rule.bead_min_mm is None or rule.bead_max_mm is None:
        source = f"{source}; {USUAL_TOLERANCE}"
    return Tolerance(job.bead_mm, rule.bead_min_mm, rule.bead_max_mm, source)


def _path(
    ruled: RuledLine | None, bolts: Sequence[Bolt], followed: Sequence[PointPx]
) -> list[PathPoint]:
    """Return the path, with places along the joint where the bolts of its line tell them."""
    corners = list(followed)
    if ruled is not None and not corners:
        corners = [*ruled.path, ruled.path[0]] if ruled.is_loop else list(ruled.path)
    has_mm = bool(bolts) and all(bolt.station_mm is not None for bolt in bolts)
    if ruled is None or not has_mm or not ruled.is_ruled:
        return [PathPoint(corner) for corner in corners]
    along = (
        _feet(ruled, corners)
        if followed
        else [length_px(corners[: index + 1]) for index in range(len(corners))]
    )
    places = [ruled.ruler.value(ruled.station_along(each)) for each in along]
    steps = [after - before for before, after in pairwise(places)]
    if not (all(step > 0 for step in steps) or all(step < 0 for step in steps)):
        return [PathPoint(corner) for corner in corners]
    return [PathPoint(corner, place) for corner, place in zip(corners, places, strict=True)]


def _feet(ruled: RuledLine, places: Sequence[PointPx]) -> list[float]:
    """Return how far along a joint's line each place lies beside it, in px."""
    import numpy as np

    feet, _ = ruled.feet(np.array([(place.x, place.y) for place in places], np.float64))
    return [float(foot) for foot in feet]


def _with_stations(audit: BeadAudit, ruled: RuledLine) -> BeadAudit:
    import numpy as np

    if not ruled.is_ruled or not audit.points:
        return audit
    px = np.array([(point.at_px.x, point.at_px.y) for point in audit.points], np.float64)
    feet, _ = ruled.feet(px)
    stations = np.array([ruled.station_along(float(foot)) for foot in feet])
    marks = np.array([point.along for point in audit.points])
    points = tuple(
        replace(point, station=round(ruled.ruler.wrapped(float(station)), 4))
        for point, station in zip(audit.points, stations, strict=True)
    )

    def told(place: float) -> float:
        return round(ruled.ruler.wrapped(float(np.interp(place, marks, stations))), 4)

    defects = tuple(
        replace(each, start_station=told(each.start), end_station=told(each.end))
        for each in audit.defects
    )
    return replace(audit, points=points, defects=defects)


def place_of(audit: BeadAudit, along: float) -> PointPx | None:
    """Return where in the photo a place along the path is; None where nothing was measured."""
    if not audit.points:
        return None
    nearest: BeadPoint = min(audit.points, key=lambda point: abs(point.along - along))
    return nearest.at_px


def middle_of(defect: BeadDefect) -> float:
    """Return the middle of a defect, along the path."""
    return (defect.start + defect.end) / 2
