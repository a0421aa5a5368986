"""Write down what to do in a teardown: day by day, person by person, with what, and how."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import UTC, datetime, timedelta

from leaktrack.analysis.redoing.stating import steps_of, steps_off, task_of
from leaktrack.model.caution import Caution
from leaktrack.model.redo_benefit import WeighedRedo
from leaktrack.model.redo_plan import AccessStep, RedoPart, RedoTask
from leaktrack.model.redo_problem import RedoProblem, WorkKind
from leaktrack.model.redo_terms import WorkTime
from leaktrack.model.sealing_job import SealingRule, TorquePass
from leaktrack.model.words import word
from leaktrack.model.work_sheet import (
    CLOCK_H,
    DatedSlot,
    NeededPart,
    SheetDay,
    SheetLine,
    StillCuring,
    WorkSheet,
)
from leaktrack.workflows.find_engine import Reader
from leaktrack.workflows.gather_engine import EngineRecords
from leaktrack.workflows.project import Project


def work_sheet(project: Project, weighed: WeighedRedo, now: datetime | None = None) -> WorkSheet:
    """Return the work sheet for what was chosen.

    What is off already is put back as well, once nothing that needs it off is to be done any more:
    it is no labour of the choice, but work all the same.

    Args:
        project: The open project.
        weighed: What was chosen.
        now: Until when what was done cures is told as seen from then; without it, from this moment.

    Raises:
        MissingRecord: The engine is not there any more.
    """
    with project.read() as reader:
        records = EngineRecords(reader, weighed.terms.engine_id)
        return work_sheet_of(reader, records, weighed, now)


def work_sheet_of(
    reader: Reader, records: EngineRecords, weighed: WeighedRedo, now: datetime | None = None
) -> WorkSheet:
    """Return the work sheet from records at hand; see ``work_sheet``."""
    tasks = {str(one.task.id): one.task for one in weighed.chosen}
    steps = {str(step.id): step for step in weighed.steps}
    slots = _dated(list(tasks.values()), weighed)
    work = tasks | steps
    lines = [line for slot in slots for line in _lines(records, slot, work[slot.slot.id])]
    days = sorted({day for day, _ in lines})
    done = [work[one.slot.id] for one in slots if one.slot.kind is not WorkKind.CURE]
    named = {caution for one in done for caution in one.cautions}
    return WorkSheet(
        days=tuple(
            SheetDay(
                day,
                tuple(
                    sorted(
                        (line for on, line in lines if on == day),
                        key=lambda one: (one.worker is None, one.worker or 0),
                    )
                ),
            )
            for day in days
        ),
        slots=slots,
        parts=_needed(done),
        cautions=tuple(caution for caution in Caution if caution in named),
        day_hours=weighed.terms.day_hours,
        ready_h=max((slot.end_h for slot in slots), default=0.0),
        curing=tuple(_curing(reader, records, now or datetime.now(UTC))),
    )


def _curing(reader: Reader, records: EngineRecords, now: datetime) -> Iterator[StillCuring]:
    """Yield tasks that are done but cure yet, as far as it was written down when they were done."""
    done_at = {
        time.redo_task_id: time.done_at
        for time in reader.all(WorkTime, engine_id=records.engine.id)
        if time.kind is WorkKind.TASK
    }
    for task in records.tasks:
        if task.is_done and task.cure_h > 0 and task.id in done_at:
            until = done_at[task.id] + timedelta(hours=task.cure_h)
            if until > now:
                yield StillCuring(task.name, until, task.does_cure_block_refit)


def _dated(tasks: Sequence[RedoTask], weighed: WeighedRedo) -> tuple[DatedSlot, ...]:
    """Return when to do what is chosen, with the refits of what is off already."""
    from leaktrack.analysis.redoing.dating import dated
    from leaktrack.analysis.redoing.networking import teardown
    from leaktrack.analysis.redoing.ordering import ordered
    from leaktrack.analysis.redoing.reaching import Selection, costs_of, routes_taken

    off = {str(step_id) for step_id in steps_off(weighed.steps)}
    # What is off comes off in no time, so that its refit is ordered among the others.
    steps = tuple(
        replace(step, hours=0.0, money=0.0, is_done=False) if step.id in off else step
        for step in steps_of(weighed.steps)
    )
    problem = RedoProblem(
        steps=steps,
        tasks=tuple(task_of(task) for task in tasks),
        hour_rate=weighed.terms.hour_rate,
        workers=weighed.terms.workers,
    )
    selection = Selection(
        frozenset(str(task.id) for task in tasks), frozenset(weighed.answer.steps) | off
    )
    waits = routes_taken(problem, selection, costs_of(problem))
    network = teardown(problem, selection, waits)
    slots = dated(network, ordered(network, problem.workers), weighed.terms.day_hours)
    return tuple(
        one for one in slots if not (one.slot.id in off and one.slot.kind is WorkKind.TAKE_OFF)
    )


def _lines(
    records: EngineRecords, slot: DatedSlot, work: RedoTask | AccessStep
) -> Iterator[tuple[int, SheetLine]]:
    """Yield a piece of work, day by day, with the number of the day."""
    kind = slot.slot.kind
    is_cure, is_refit = kind is WorkKind.CURE, kind is WorkKind.REFIT
    last = len(slot.spans) - 1
    for number, (begin, end) in enumerate(slot.spans):
        day = int((begin + 1e-9) // CLOCK_H)
        yield (
            day + 1,
            SheetLine(
                record_id=work.id,
                kind=kind,
                name=work.name,
                worker=slot.slot.worker,
                begin_h=begin - day * CLOCK_H,
                end_h=end - day * CLOCK_H,
                hours=0.0 if is_cure else end - begin,
                whole_hours=slot.slot.end_h - slot.slot.start_h,
                is_continued=number > 0,
                goes_on=number < last,
                # Parts of a step are those it is put back with.
                parts=work.parts if _takes_parts(work, kind) else (),
                tools=() if is_cure else work.tools,
                instructions=() if is_cure or is_refit else tuple(_instructions(records, work)),
                cautions=() if is_cure else work.cautions,
            ),
        )


def _takes_parts(work: RedoTask | AccessStep, kind: WorkKind) -> bool:
    return kind is (WorkKind.TASK if isinstance(work, RedoTask) else WorkKind.REFIT)


def _needed(done: Sequence[RedoTask | AccessStep]) -> tuple[NeededPart, ...]:
    """Return all parts, counts of the same one summed."""
    found: dict[tuple[bool, str], tuple[RedoPart, dict[str, None]]] = {}
    for work in {one.id: one for one in done}.values():
        for part in work.parts:
            key = (not part.is_single_use, part.name)
            known, names = found.get(key, (replace(part, count=0), {}))
            found[key] = (
                replace(known, count=known.count + part.count),
                names | {work.name: None},
            )
    return tuple(NeededPart(found[key][0], tuple(found[key][1])) for key in sorted(found))


def _instructions(records: EngineRecords, work: RedoTask | AccessStep) -> Iterator[str]:
    """Yield how the joint was tightened last, and what its material asks for."""
    if not isinstance(work, RedoTask) or work.joint_id is None:
        return
    jobs = records.jobs_by_joint.get(work.joint_id, ())
    if not jobs:
        return
    last = jobs[-1]
    passes = records.torque_passes.get(last.id, ())
    if passes:
        yield f"Tightened last time: {'; '.join(map(_torque, passes))}"
    rule = records.rule_of(last)
    if rule is not None:
        material = records.materials[rule.material_id].name
        told = "; ".join(_rule(rule))
        if told:
            source = f" ({rule.source})" if rule.source else ""
            yield f"{material}: {told}{source}"


def _torque(one: TorquePass) -> str:
    parts = [f"pass {one.number}"]
    if one.torque_nm is not None:
        parts.append(f"{one.torque_nm:g} N m")
    if one.angle_deg is not None:
        parts.append(f"{one.angle_deg:g}°")
    if one.bolt_numbers:
        parts.append(f"bolts {', '.join(map(str, one.bolt_numbers))}")
    return ", ".join([*parts, *(text for text in (one.sequence, one.tool) if text)])


def _rule(rule: SealingRule) -> Iterator[str]:
    if rule.closing is not None:
        yield word(rule.closing)
    if rule.bead_place is not None:
        yield f"bead {word(rule.bead_place)}"
    if rule.bead_min_mm is not None and rule.bead_max_mm is not None:
        yield f"bead {rule.bead_min_mm:g} to {rule.bead_max_mm:g} mm"
    for value, unit, what in (
        (rule.skin_time_min, "min", "of skin before closing"),
        (rule.open_time_min, "min", "from bead to closing at most"),
        (rule.cure_before_filling_h, "h", "of cure before oil"),
        (rule.cure_before_running_h, "h", "of cure before it runs"),
        (rule.lowest_c, "°C", "at least"),
        (rule.highest_c, "°C", "at most"),
    ):
        if value is not None:
            yield f"{value:g} {unit} {what}"
