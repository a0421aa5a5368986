"""Mark what is wet in a photo, grade it, and keep each leak's identity over time.

A leak is the thing on the engine; a mark is what one photo shows of it. Computed outlines are
proposals: they are stored only when somebody accepts them.
"""

from collections.abc import Sequence
from dataclasses import replace
from typing import TypedDict, Unpack
from uuid import UUID

from leaktrack.model.agreement import BlindGrade
from leaktrack.model.errors import BadInput
from leaktrack.model.leak import Fluid, Leak, LeakMark, SeepageGrade
from leaktrack.model.photo import Photo
from leaktrack.model.record import Edit, RecordChange, added, removed, replaced
from leaktrack.model.shapes import Outline, PointPx, area_px2
from leaktrack.model.trace import Cause
from leaktrack.model.words import word
from leaktrack.workflows.check_input import check_on_photo, check_record
from leaktrack.workflows.find_engine import engine_id_of_joint, engine_id_of_zone, leaks_of_engine
from leaktrack.workflows.project import Project

_NOTHING_WET = (SeepageGrade.DRY, SeepageGrade.NOT_SEEN)
_NO_DROPS = (*_NOTHING_WET, SeepageGrade.STAIN)


class MarkFacts(TypedDict, total=False):
    """What a person can say of a leak in one photo beside its grade; names as in ``LeakMark``."""

    source_px: PointPx | None
    outline_px: Outline
    fluid: Fluid
    has_hanging_drop: bool | None
    do_drops_fall: bool | None
    is_stream: bool | None
    drop_edge_mm: float | None
    pool_mm: float | None
    wet_for_min: float | None
    drops_per_minute: float | None
    did_reappear: bool | None
    reappears_after_min: float | None
    note: str


class MarkFields(MarkFacts, total=False):
    """The same with the grade."""

    grade: SeepageGrade


def add_leak(
    project: Project,
    photo_id: UUID,
    grade: SeepageGrade,
    *,
    leak_id: UUID | None = None,
    joint_id: UUID | None = None,
    **facts: Unpack[MarkFacts],
) -> tuple[LeakMark, Edit]:
    """Return a new mark in a photo and the edit that adds it.

    Args:
        project: The open project.
        photo_id: The photo; it must be known which zone it shows.
        grade: How wet it is there.
        leak_id: The leak that it shows; None makes a new one with the engine's next number.
        joint_id: The joint the leak is thought to come from.
        **facts: What else is seen.

    Raises:
        BadInput: The photo has no zone, the leak is marked there already or belongs to another
            engine, or the facts contradict each other.
        MissingRecord: Photo, leak or joint is not there.
    """
    photo = project.get(Photo, photo_id)
    leak, edit = _leak_for(project, photo, leak_id, joint_id)
    mark = _completed(LeakMark(leak_id=leak.id, photo_id=photo_id, grade=grade, **facts))
    check_mark(mark, photo)
    return mark, edit.then(added(mark))


def change_mark(project: Project, mark_id: UUID, **fields: Unpack[MarkFields]) -> Edit:
    """Return the edit that changes what is said of a leak in one photo.

    Grading a mark dry or not seen also takes away its outline and its drops, unless new ones are
    given, since there is nothing wet to draw round any more.

    Raises:
        BadInput: The fields contradict each other, or a point is outside the photo.
        MissingRecord: There is no such mark.
    """
    before = project.get(LeakMark, mark_id)
    after = _completed(replace(_cleared(before, fields), **fields))
    check_mark(after, project.get(Photo, before.photo_id))
    return replaced(before, after)


def remove_mark(project: Project, mark_id: UUID) -> Edit:
    """Return the edit that removes a mark; with its leak and verdicts, if it was the last one.

    Grades that others gave the same place blind go with it: there is nothing to hold them against.

    Raises:
        MissingRecord: There is no such mark.
    """
    mark = project.get(LeakMark, mark_id)
    edit = removed(*_blind_grades(project, mark), mark)
    if len(project.all(LeakMark, leak_id=mark.leak_id)) > 1:
        return edit
    causes = project.all(Cause, leak_id=mark.leak_id)
    return edit.then(removed(*causes, project.get(Leak, mark.leak_id)))


def reassign_mark(project: Project, mark_id: UUID, leak_id: UUID | None) -> Edit:
    """Return the edit that says that a mark shows another leak than was thought.

    A leak that loses its last mark goes; its verdicts move along.

    Args:
        project: The open project.
        mark_id: The mark.
        leak_id: The leak it really shows; None makes a new one.

    Raises:
        BadInput: That leak is marked in the photo already, belongs to another engine, or both
            leaks have a verdict on the same place of a sealing job.
        MissingRecord: Mark or leak is not there.
    """
    mark = project.get(LeakMark, mark_id)
    if leak_id == mark.leak_id:
        return Edit(())
    leak, edit = _leak_for(project, project.get(Photo, mark.photo_id), leak_id, None)
    edit = edit.then(replaced(mark, replace(mark, leak_id=leak.id)))
    blind = _blind_grades(project, mark)
    moved = (RecordChange(grade, replace(grade, leak_id=leak.id)) for grade in blind)
    edit = edit.then(Edit(tuple(moved)))
    if len(project.all(LeakMark, leak_id=mark.leak_id)) > 1:
        return edit
    old_leak = project.get(Leak, mark.leak_id)
    return edit.then(_causes_moved(project, old_leak, leak)).then(removed(old_leak))


def amend_leak(project: Project, before: Leak, after: Leak) -> Edit:
    """Return the edit that changes a leak's joint or note.

    Raises:
        BadInput: The joint belongs to another engine.
        MissingRecord: There is no such joint.
    """
    if after.joint_id is not None:
        _check_joint(project, after.joint_id, engine_id_of_zone(project, after.zone_id))
    return replaced(before, after)


def check_mark(mark: LeakMark, photo: Photo) -> None:
    """Refuse a mark that contradicts itself or lies outside its photo.

    Falling drops with "seep" are let through: the grade is a person's word. Drops where nothing is
    wet cannot be.

    Raises:
        BadInput: What is wrong, and what to do.
    """
    check_record(mark)
    if mark.source_px is not None:
        check_on_photo(mark.source_px, photo, "source")
    _check_outline(mark, photo)
    fell = (mark.do_drops_fall, mark.is_stream, mark.drops_per_minute, mark.pool_mm)
    if any((mark.has_hanging_drop, *fell)) and mark.grade in _NO_DROPS:
        raise BadInput(
            f"Drops were seen, but the grade says {word(mark.grade)}. "
            "Grade it seep or wetter, or take the drops away."
        )
    if mark.do_drops_fall is False and any(fell):
        raise BadInput(
            "Drops were counted, it runs or there is a pool: so drops do fall. "
            "Take one of the two away."
        )
    if mark.did_reappear is False and mark.reappears_after_min is not None:
        raise BadInput(
            "It cannot stay away after wiping and come back after some minutes. "
            "Take one of the two away."
        )


def _check_outline(mark: LeakMark, photo: Photo) -> None:
    if not mark.outline_px:
        return
    if mark.grade in _NOTHING_WET:
        raise BadInput(
            f"A wet area is drawn, but the grade says {word(mark.grade)}. "
            "Grade what is seen, or take the outline away."
        )
    for corner in mark.outline_px:
        check_on_photo(corner, photo, "corner of the outline")
    if area_px2(mark.outline_px) == 0:
        raise BadInput("The outline holds no area. Draw round the wet area.")


def _cleared(before: LeakMark, fields: MarkFields) -> LeakMark:
    """Return the mark without what its new grade says is not there."""
    grade = fields.get("grade", before.grade)
    if grade is before.grade or grade not in _NO_DROPS:
        return before
    outline_px = () if grade in _NOTHING_WET else before.outline_px
    return replace(
        before,
        outline_px=outline_px,
        has_hanging_drop=None,
        do_drops_fall=None,
        is_stream=None,
        drops_per_minute=None,
        pool_mm=None,
    )


def _completed(mark: LeakMark) -> LeakMark:
    """Say that it reappeared where somebody said after how long."""
    if mark.reappears_after_min is not None and mark.did_reappear is None:
        return replace(mark, did_reappear=True)
    return mark


def _leak_for(
    project: Project, photo: Photo, leak_id: UUID | None, joint_id: UUID | None
) -> tuple[Leak, Edit]:
    """Return the leak that a new mark belongs to, and the edit that adds or changes the leak."""
    if photo.zone_id is None:
        raise BadInput(
            f"Nobody has said which zone {photo.original_name} shows. Assign it to its zone first."
        )
    engine_id = engine_id_of_zone(project, photo.zone_id)
    if joint_id is not None:
        _check_joint(project, joint_id, engine_id)
    if leak_id is None:
        leaks = leaks_of_engine(project, engine_id)
        number = max((leak.number for leak in leaks), default=0) + 1
        leak = Leak(zone_id=photo.zone_id, number=number, joint_id=joint_id)
        return leak, added(leak)
    leak = project.get(Leak, leak_id)
    _check_free(project, leak, photo, engine_id)
    if joint_id is None or joint_id == leak.joint_id:
        return leak, Edit(())
    return leak, replaced(leak, replace(leak, joint_id=joint_id))


def _check_free(project: Project, leak: Leak, photo: Photo, engine_id: UUID) -> None:
    if engine_id_of_zone(project, leak.zone_id) != engine_id:
        raise BadInput(f"Leak {leak.number} belongs to another engine. Choose one of this engine.")
    if project.all(LeakMark, leak_id=leak.id, photo_id=photo.id):
        raise BadInput(
            f"Leak {leak.number} has a mark in {photo.original_name} already. Change that one."
        )


def _check_joint(project: Project, joint_id: UUID, engine_id: UUID) -> None:
    if engine_id_of_joint(project, joint_id) != engine_id:
        raise BadInput("That joint belongs to another engine. Choose one of this engine.")


def _blind_grades(project: Project, mark: LeakMark) -> tuple[BlindGrade, ...]:
    return project.all(BlindGrade, leak_id=mark.leak_id, photo_id=mark.photo_id)


def _causes_moved(project: Project, old: Leak, new: Leak) -> Edit:
    causes: Sequence[Cause] = project.all(Cause, leak_id=old.id)
    judged = {(cause.sealing_job_id, cause.bolt_id) for cause in project.all(Cause, leak_id=new.id)}
    if any((cause.sealing_job_id, cause.bolt_id) in judged for cause in causes):
        raise BadInput(
            f"Leak {old.number} and leak {new.number} both have a verdict on the same place of "
            "a sealing job. Take one of the two verdicts away first; nothing was changed."
        )
    return Edit(tuple(RecordChange(cause, replace(cause, leak_id=new.id)) for cause in causes))
