"""Judge leaks: the grade that observations give, and what follows from a grade."""

from uuid import UUID

from leaktrack.analysis import grading
from leaktrack.model.engine import Joint
from leaktrack.model.leak import Leak, LeakMark, wetness
from leaktrack.model.photo import Photo
from leaktrack.model.severity import GradeProposal, Judgement, Observations, PublishedClasses
from leaktrack.model.shapes import extent_px
from leaktrack.workflows.project import Project


def proposed_grade(seen: Observations) -> GradeProposal:
    """Return the grade that observations give, with every rule that fired; the worse one counts."""
    return grading.proposed_grade(seen)


def observations_of(mark: LeakMark, photo: Photo, minutes: float | None = None) -> Observations:
    """Return what a mark says without its grade.

    Args:
        mark: The mark.
        photo: Its photo; its scale, if known, gives the extent of the wet area.
        minutes: For how long the place had been getting wet, if somebody knows.
    """
    digit = wetness(mark.grade)
    drops = mark.drops_per_minute
    return Observations(
        is_wet=None if digit is None else digit > 0,
        has_hanging_drop=mark.has_hanging_drop,
        do_drops_fall=None if drops is None else drops > 0,
        drops_per_minute=drops,
        extent_mm=(
            extent_px(mark.outline_px) * photo.mm_per_px
            if photo.mm_per_px and mark.outline_px
            else None
        ),
        minutes=minutes,
        did_reappear=mark.did_reappear,
        reappears_after_min=mark.reappears_after_min,
    )


def judgement(project: Project, mark_id: UUID) -> tuple[Judgement, PublishedClasses | None]:
    """Return what follows from a mark, and what its grade is called in published classes.

    Raises:
        MissingRecord: There is no such mark.
    """
    with project.read() as reader:
        mark = reader.get(LeakMark, mark_id)
        leak = reader.get(Leak, mark.leak_id)
        joint = reader.find(Joint, leak.joint_id) if leak.joint_id else None
    seal_kind = joint.seal_kind if joint else None
    return grading.verdict(mark.grade, seal_kind, mark.fluid), grading.published(mark.grade)
