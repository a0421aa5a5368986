from dataclasses import replace

import pytest

from leaktrack.analysis.planning import Wanted, redo_list, steps_in_order
from leaktrack.model.caution import Caution
from leaktrack.model.errors import BadInput, MissingRecord
from leaktrack.model.identity import new_id
from leaktrack.model.redo_plan import AccessStep, RedoTask, TaskReason

ENGINE = new_id()


def step(name, hours, needs=(), **fields):
    return AccessStep(
        engine_id=ENGINE, name=name, hours=hours, needs=tuple(s.id for s in needs), **fields
    )


def task(name, hours, needs=(), **fields):
    return RedoTask(
        engine_id=ENGINE,
        name=name,
        joint_id=new_id(),
        hours=hours,
        needs=tuple(s.id for s in needs),
        **fields,
    )


def wanted(*tasks):
    return tuple(
        Wanted(TaskReason.CONFIRMED_CAUSE, new_id(), joint_id=one.joint_id) for one in tasks
    )


def listed(tasks, steps):
    return redo_list(tasks, steps, wanted(*tasks))


# Worked example, computed by hand: access engine out 6, flywheel 1.5, pan 2, timing case 3, intake
# 1 h; rear seal {out, flywheel} 0.5, pan {out, pan} 1, front seal {out, pan, timing} 0.5, cover
# {intake} 1. Alone 8.0, 9.0, 11.5 and 2.0 = 30.5 h; together 16.5 h; 10.5 h if the engine is out.
OUT = step("engine out", 6)
FLYWHEEL = step("flywheel off", 1.5)
PAN = step("pan off", 2)
TIMING = step("timing case off", 3)
INTAKE = step("intake off", 1)
STEPS = (OUT, FLYWHEEL, PAN, TIMING, INTAKE)
TASKS = (
    task("rear seal", 0.5, (OUT, FLYWHEEL)),
    task("pan bead", 1, (OUT, PAN)),
    task("front seal", 0.5, (OUT, PAN, TIMING)),
    task("cover joint", 1, (INTAKE,)),
)


def test_shared_access_is_counted_once():
    result = listed(TASKS, STEPS)

    assert [one.alone_hours for one in result.tasks] == [8.0, 9.0, 11.5, 2.0]
    assert (result.hours, result.alone_hours) == (16.5, 30.5)


def test_what_is_off_already_costs_nothing():
    result = listed(TASKS, (replace(OUT, is_done=True), *STEPS[1:]))

    assert result.hours == 10.5
    assert OUT.id not in {one.id for one in result.steps}


def test_each_task_says_what_it_adds_to_the_others():
    result = listed(TASKS, STEPS)

    # Rear seal: flywheel and itself. Pan: itself, for the front seal needs its access anyway.
    # Front seal: timing case and itself. Cover: intake and itself.
    assert [one.added_hours for one in result.tasks] == [2.0, 1.0, 3.5, 2.0]


def test_steps_that_steps_need_are_counted_too():
    deep = step("timing case off", 3, (PAN,), refit_hours=4)
    pan = replace(PAN, needs=(OUT.id,))
    front = task("front seal", 0.5, (deep,))

    result = listed((front,), (deep, pan, OUT))

    assert result.hours == 0.5 + 3 + 4 + 2 + 6
    assert [one.name for one in result.steps] == ["engine out", "pan off", "timing case off"]


def test_steps_come_off_as_placed_where_their_needs_leave_a_choice():
    first = step("cable off", 1, position=1)
    last = step("cover off", 1, (first,), position=0)
    between = step("hose off", 1, position=2)

    assert steps_in_order((between, last, first)) == (first, last, between)


def test_steps_that_wait_for_each_other_are_refused_by_name():
    pan = step("pan off", 1)
    mount = step("mount off", 1, (pan,))
    looped = replace(pan, needs=(mount.id,))

    with pytest.raises(BadInput, match=r"mount off before pan off|pan off before mount off"):
        listed(TASKS, (*STEPS, looped, mount))


def test_a_need_for_a_step_that_is_gone_is_said_rather_than_counted_as_nothing():
    with pytest.raises(MissingRecord, match="not there any more"):
        listed((task("rear seal", 1, (OUT,)),), ())


def test_only_what_is_wanted_is_listed_with_every_reason_once():
    rear, pan, *_ = TASKS
    leak = new_id()
    reasons = (
        Wanted(TaskReason.CONFIRMED_CAUSE, leak, joint_id=rear.joint_id),
        Wanted(TaskReason.CONFIRMED_CAUSE, leak, joint_id=rear.joint_id),
        Wanted(TaskReason.SUSPECTED_CAUSE, leak, joint_id=rear.joint_id),
    )

    result = redo_list((rear, pan), STEPS, reasons)

    assert [one.task for one in result.tasks] == [rear]
    assert result.tasks[0].reasons == (
        (TaskReason.CONFIRMED_CAUSE, leak),
        (TaskReason.SUSPECTED_CAUSE, leak),
    )


def test_a_cause_at_a_joint_without_a_task_is_said_to_be_missing_from_the_hours():
    joint = new_id()
    want = Wanted(TaskReason.SUSPECTED_CAUSE, new_id(), joint_id=joint)

    result = redo_list(TASKS, STEPS, (want, want))

    assert result.without_task == ((TaskReason.SUSPECTED_CAUSE, joint),)
    assert result.hours == 0


def test_a_check_picks_its_own_task_before_that_of_its_joint():
    check = new_id()
    sealing = task("solenoid seal", 1)
    cleaning = replace(task("solenoid valve", 2), check_id=check)
    want = Wanted(TaskReason.CHECK_FAILED, check, joint_id=sealing.joint_id, check_id=check)

    assert [one.task for one in redo_list((sealing, cleaning), (), (want,)).tasks] == [cleaning]
    assert [one.task for one in redo_list((sealing,), (), (want,)).tasks] == [sealing]


def test_a_task_that_is_done_is_neither_listed_nor_missing():
    rear = replace(TASKS[0], is_done=True)

    result = redo_list((rear,), STEPS, wanted(rear))

    assert (result.tasks, result.without_task) == ((), ())


def test_money_cure_and_cautions_are_gathered():
    lift = step("engine out", 6, money=40, cautions=(Caution.LIFTING, Caution.BATTERY))
    rear = task("rear seal", 1, (lift,), money=25, cure_h=24, cautions=(Caution.HOT_OIL,))
    pan = task("pan bead", 1, (lift,), money=5, cure_h=12, cautions=(Caution.HOT_OIL,))

    result = listed((rear, pan), (lift,))

    assert (result.money, result.cure_h) == (70, 24)
    assert result.cautions == (Caution.HOT_OIL, Caution.LIFTING, Caution.BATTERY)


def test_nothing_wanted_is_an_empty_list():
    result = redo_list(TASKS, STEPS, ())

    assert (result.tasks, result.steps, result.hours, result.cure_h) == ((), (), 0, 0)
