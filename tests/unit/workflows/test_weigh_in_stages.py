"""Answers for whoever looks on must be those that weighing all of it anew gives."""

from dataclasses import replace

import pytest

from leaktrack.model.record import replaced
from leaktrack.model.redo_plan import AnyOf, RedoDecision, RedoTask
from leaktrack.model.redo_problem import SolvedState
from leaktrack.model.redo_terms import RedoTerms
from leaktrack.workflows.plan_redo import new_access_step, new_task
from leaktrack.workflows.settle_redo import decide, settle_terms
from leaktrack.workflows.weigh_in_stages import (
    changed,
    choose,
    choose_at_once,
    explain,
    gather,
    order,
    put_on_days,
    read_teardown,
)
from leaktrack.workflows.weigh_redo import weighed_redo
from tests.leaking_engine import tell


@pytest.fixture
def engine_id(project):
    story = tell(project)
    engine_id = story.engine.id
    short, edit = new_access_step(project, engine_id, "Short way", 0.5)
    project.apply(edit)
    need = AnyOf(((story.intake.id,), (short.id,)))
    for name, hours in (("Seal the sump", 1.0), ("Clean the screen", 0.2)):
        _, edit = new_task(
            project, engine_id, name, hours, check_id=story.strainer.id, needs=(need,)
        )
        project.apply(edit)
    return engine_id


def task_named(project, name):
    return next(task for task in project.all(RedoTask) if task.name == name)


def figures(answer):
    return (answer.state, answer.tasks, answer.steps, answer.value, answer.labour_hours)


def test_the_stages_come_to_what_weighing_at_once_comes_to(project, engine_id):
    project.apply(decide(project, task_named(project, "Seal the sump").id, RedoDecision.MUST))
    at_once = weighed_redo(project, engine_id)

    weighing = gather(project, engine_id)
    first, last = choose_at_once(weighing, 10.0), explain(order(choose(weighing)))

    assert first.weighed.answer.value == at_once.answer.value
    assert figures(last.weighed.answer) == figures(at_once.answer)
    assert last.weighed.answer.schedule == at_once.answer.schedule
    assert [one.benefit for one in last.weighed.tasks] == [one.benefit for one in at_once.tasks]
    assert [one.why.marginal_hours for one in last.weighed.tasks] == [
        one.why.marginal_hours for one in at_once.tasks
    ]


@pytest.mark.parametrize("decision", [RedoDecision.MUST, RedoDecision.NEVER])
def test_a_word_of_the_person_is_answered_without_gathering_anew(project, engine_id, decision):
    weighing = gather(project, engine_id)
    project.apply(decide(project, task_named(project, "Seal the sump").id, decision))
    project.apply(settle_terms(project, RedoTerms(engine_id=engine_id, hour_rate=95.0, mess=70.0)))

    near = changed(weighing, read_teardown(project, engine_id))

    anew = weighed_redo(project, engine_id)
    assert figures(choose(near).weighed.answer) == figures(anew.answer)
    assert [one.benefit.worth for one in choose(near).weighed.tasks] == pytest.approx(
        [one.benefit.worth for one in anew.tasks]
    )


def test_other_hours_and_other_tasks_must_be_gathered_anew(project, engine_id):
    weighing = gather(project, engine_id)
    task = task_named(project, "Seal the sump")
    longer = replaced(task, replace(task, hours=5.0))

    project.apply(longer)
    assert changed(weighing, read_teardown(project, engine_id)) is None
    project.apply(longer.inverse)
    assert changed(weighing, read_teardown(project, engine_id)) is not None

    _, edit = new_task(project, engine_id, "One more", 1.0)
    project.apply(edit)
    assert changed(weighing, read_teardown(project, engine_id)) is None


def test_what_cannot_be_is_told_by_name_and_has_no_order(project, engine_id):
    project.apply(decide(project, task_named(project, "Seal the sump").id, RedoDecision.MUST))
    project.apply(settle_terms(project, RedoTerms(engine_id=engine_id, hours_budget=1.0)))
    weighing = gather(project, engine_id)

    assert choose_at_once(weighing) is None
    answer = put_on_days(project, order(choose(weighing)))

    assert answer.weighed.answer.state is SolvedState.INFEASIBLE
    assert "'Seal the sump' must be done" in answer.weighed.answer.conflict
    assert answer.sheet is None
