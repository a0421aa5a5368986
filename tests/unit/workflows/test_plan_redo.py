from dataclasses import replace

import pytest

from leaktrack.model.errors import BadInput
from leaktrack.model.identity import new_id
from leaktrack.model.record import added, removed, replaced
from leaktrack.model.redo_plan import AccessStep, RedoPlan, RedoTask, TaskReason
from leaktrack.model.trace import CauseState
from leaktrack.workflows.plan_redo import (
    amend_access_step,
    amend_task,
    keep_plan,
    new_access_step,
    new_task,
    redo_list,
    remove_access_step,
    remove_task,
)
from leaktrack.workflows.trace_leak import set_verdict
from tests.leaking_engine import at, tell


@pytest.fixture
def story(project):
    return tell(project)


def test_a_suspected_cause_of_a_leak_still_wet_asks_for_its_joint_to_be_sealed(project, story):
    (planned,) = redo_list(project, story.engine.id).tasks

    assert planned.task == story.cover_task
    assert planned.reasons == ((TaskReason.SUSPECTED_CAUSE, story.bolt_leak.id),)
    assert (planned.alone_hours, planned.added_hours) == (3.5, 3.5)


def test_a_cause_that_was_mended_and_is_dry_asks_for_nothing(project, story):
    project.apply(removed(story.bolt_cause))

    assert redo_list(project, story.engine.id).tasks == ()


def test_a_cause_whose_job_is_still_in_force_asks_for_work_even_if_it_was_dry(project, story):
    project.apply(removed(story.bolt_cause, story.second_job))

    (planned,) = redo_list(project, story.engine.id).tasks
    assert planned.reasons == ((TaskReason.CONFIRMED_CAUSE, story.gap_leak.id),)


def test_what_was_ruled_out_asks_for_nothing(project, story):
    project.apply(
        set_verdict(
            project, story.bolt_leak.id, story.first_job.id, CauseState.RULED_OUT, "from above"
        )
    )

    assert redo_list(project, story.engine.id).tasks == ()


def test_open_and_failed_checks_without_a_task_are_named(project, story):
    assert set(redo_list(project, story.engine.id).without_task) == {
        (TaskReason.CHECK_OPEN, story.codes.id),
        (TaskReason.CHECK_FAILED, story.strainer.id),
    }


def test_a_failed_check_picks_the_task_of_its_joint(project, story):
    task, edit = new_task(project, story.engine.id, "Sump off", 3.0, joint_id=story.sump_gasket.id)
    project.apply(edit)

    planned = {one.task: one.reasons for one in redo_list(project, story.engine.id).tasks}

    assert planned[task] == ((TaskReason.CHECK_FAILED, story.strainer.id),)


def test_keeping_the_plan_stores_what_was_on_it(project, story):
    project.apply(keep_plan(project, story.engine.id, "in May", made_at=at("05-01 10:00")))

    (plan,) = project.all(RedoPlan)
    assert (plan.task_ids, plan.hours, plan.note) == ((story.cover_task.id,), 3.5, "in May")


def test_an_empty_plan_is_not_kept(project, story):
    project.apply(removed(story.cover_task))

    with pytest.raises(BadInput, match="no task on the redo list"):
        keep_plan(project, story.engine.id)


def test_new_steps_come_after_those_there_are(project, story):
    first, edit = new_access_step(project, story.engine.id, "Drain the oil", 0.3)
    project.apply(edit)
    second, edit = new_access_step(project, story.engine.id, "Sump off", 1.0, needs=(first.id,))
    project.apply(edit)

    assert first.position < second.position
    assert second in project.all(AccessStep)


def test_a_loop_of_steps_is_refused_by_name(project, story):
    manifold, edit = new_access_step(
        project, story.engine.id, "Manifold off", 1.0, needs=(story.intake.id,)
    )
    project.apply(edit)

    with pytest.raises(BadInput, match=r"Manifold off.*Take off the intake|intake.*Manifold"):
        amend_access_step(project, story.intake, replace(story.intake, needs=(manifold.id,)))


def test_a_step_can_be_marked_as_off_already(project, story):
    project.apply(amend_access_step(project, story.intake, replace(story.intake, is_done=True)))

    assert redo_list(project, story.engine.id).hours == 2.0


def test_removing_a_step_hands_its_needs_on(project, story):
    cables = AccessStep(engine_id=story.engine.id, name="Cables off", hours=0.5)
    intake = replace(story.intake, needs=(cables.id,))
    project.apply(added(cables).then(replaced(story.intake, intake)))

    project.apply(remove_access_step(project, intake.id))

    assert project.get(RedoTask, story.cover_task.id).needs == (cables.id,)
    assert redo_list(project, story.engine.id).hours == 2.5


def test_tasks_can_be_amended_and_removed(project, story):
    project.apply(amend_task(project, story.cover_task, replace(story.cover_task, hours=4.0)))
    assert redo_list(project, story.engine.id).hours == 5.5

    project.apply(remove_task(project, story.cover_task.id))
    assert (TaskReason.SUSPECTED_CAUSE, story.cover_joint.id) in redo_list(
        project, story.engine.id
    ).without_task


@pytest.mark.parametrize(
    ("name", "hours", "needs", "message"),
    [
        ("  ", 1.0, (), "no name"),
        ("Sump", -1.0, (), "cannot be -1"),
        ("Sump", float("nan"), (), "cannot be nan"),
        ("Sump", 1.0, (new_id(),), "not there any more"),
    ],
)
def test_tasks_and_steps_that_cannot_be_right_are_refused(
    project, story, name, hours, needs, message
):
    with pytest.raises(BadInput, match=message):
        new_task(project, story.engine.id, name, hours, needs=needs)
    with pytest.raises(BadInput, match=message):
        new_access_step(project, story.engine.id, name, hours, needs=needs)
