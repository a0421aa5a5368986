"""Terms, decisions and work ticked off."""

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from leaktrack.model.errors import BadInput, MissingRecord
from leaktrack.model.identity import new_id
from leaktrack.model.record import added, replaced
from leaktrack.model.redo_plan import AccessStep, AnyOf, RedoDecision, RedoTask
from leaktrack.model.redo_problem import WorkKind
from leaktrack.model.redo_terms import RedoTerms, WorkTime
from leaktrack.workflows.estimate_times import estimate
from leaktrack.workflows.plan_redo import (
    amend_access_step,
    amend_task,
    redo_list,
    remove_access_step,
    remove_task,
)
from leaktrack.workflows.settle_redo import check_terms, decide, settle_terms, terms_of, tick_off
from tests.leaking_engine import tell

MOMENT = datetime(2026, 4, 4, tzinfo=UTC)


@pytest.fixture
def story(project):
    return tell(project)


@pytest.fixture
def ways(project, story):
    """Two more steps, and the cover's task with a choice between them and the intake."""
    aside = AccessStep(engine_id=story.engine.id, name="Move it aside", hours=0.2, position=8)
    hoses = AccessStep(
        engine_id=story.engine.id, name="Hoses off", hours=0.4, needs=(aside.id,), position=9
    )
    project.apply(added(aside, hoses))
    task = replace(story.cover_task, needs=(AnyOf(((story.intake.id,), (hoses.id,))),))
    project.apply(amend_task(project, story.cover_task, task))
    return aside, hoses, task


def test_terms_are_usual_until_they_are_settled_and_can_be_taken_back(project, story):
    assert terms_of(project, story.engine.id).hour_rate == 80

    first = project.apply(
        settle_terms(project, RedoTerms(engine_id=story.engine.id, hour_rate=55, workers=2))
    )
    project.apply(settle_terms(project, RedoTerms(engine_id=story.engine.id, hours_budget=9)))

    (kept,) = project.all(RedoTerms)
    assert (kept.hour_rate, kept.workers, kept.hours_budget) == (80, 1, 9)
    assert first.changes


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"hour_rate": -1}, "hour rate is -1"),
        ({"mess": float("nan")}, "mess of a leak is nan"),
        ({"money_budget": -3}, "money budget is -3"),
        ({"workers": 0}, "0 people cannot do it"),
        ({"day_hours": 25}, "day of 25 h"),
    ],
)
def test_terms_that_cannot_be_are_refused_by_name(fields, said):
    with pytest.raises(BadInput, match=said):
        check_terms(RedoTerms(engine_id=new_id(), **fields))


def test_a_decision_is_an_edit(project, story):
    back = project.apply(decide(project, story.cover_task.id, RedoDecision.NEVER))
    assert project.get(RedoTask, story.cover_task.id).decision is RedoDecision.NEVER

    project.apply(back)
    assert project.get(RedoTask, story.cover_task.id) == story.cover_task


def test_ticking_off_keeps_the_hours_and_one_step_back_takes_both_away(project, story):
    back = project.apply(
        tick_off(project, story.intake.id, WorkKind.TAKE_OFF, 1.4, done_by=" A. Meyer ")
    )
    (time,) = project.all(WorkTime)
    assert (time.hours, time.kind, time.done_by) == (1.4, WorkKind.TAKE_OFF, "A. Meyer")
    assert project.get(AccessStep, story.intake.id).is_done

    project.apply(tick_off(project, story.intake.id, WorkKind.REFIT))
    assert not project.get(AccessStep, story.intake.id).is_done
    project.apply(tick_off(project, story.intake.id, WorkKind.TAKE_OFF))
    project.apply(back)
    assert project.all(WorkTime) == ()
    assert project.get(AccessStep, story.intake.id) == story.intake


def test_what_cannot_have_been_done_is_refused(project, story):
    for kind, hours, said in (
        (WorkKind.CURE, None, "a cure ends by itself"),
        (WorkKind.REFIT, None, "cannot be ticked off as 'refit'"),
        (WorkKind.TASK, -1, "cannot have taken -1 h"),
        (WorkKind.TASK, float("nan"), "cannot have taken nan h"),
    ):
        with pytest.raises(BadInput, match=said):
            tick_off(project, story.cover_task.id, kind, hours)


def test_a_time_without_zone_and_work_that_is_gone_are_refused(project, story):
    with pytest.raises(BadInput, match="no time zone"):
        tick_off(
            project, story.cover_task.id, WorkKind.TASK, 1, done_at=MOMENT.replace(tzinfo=None)
        )
    with pytest.raises(MissingRecord, match="not there any more"):
        tick_off(project, new_id(), WorkKind.TASK)


def test_what_has_recorded_times_stays(project, story):
    project.apply(tick_off(project, story.intake.id, WorkKind.TAKE_OFF, 1.4))
    project.apply(tick_off(project, story.cover_task.id, WorkKind.TASK, 2))

    with pytest.raises(BadInput, match="needed by 1 recorded time"):
        remove_access_step(project, story.intake.id)
    with pytest.raises(BadInput, match="needed by 1 recorded time"):
        remove_task(project, story.cover_task.id)


def test_times_replace_what_was_written_from_the_third_on():
    assert estimate(2.0, [3.0]).hours == 2.5
    assert estimate(2.0, [3.0, 4.0]).hours == 3.0
    found = estimate(2.0, [3.0, 4.0, 9.0])
    assert (found.hours, found.count) == (4.0, 3)
    assert estimate(0.0, [3.0]).hours == 3.0  # 0 is no estimate
    assert estimate(2.0, [3.0]).spread_h is None


def test_the_list_takes_the_cheaper_way_in(project, story, ways):
    aside, hoses, _ = ways

    found = redo_list(project, story.engine.id)

    # The intake takes 1.5 h off and on; aside and hoses 0.6.
    assert [step.id for step in found.steps] == [aside.id, hoses.id]
    assert found.hours == pytest.approx(2.0 + 0.6)


def test_what_is_off_already_is_the_way_in(project, story, ways):
    project.apply(amend_access_step(project, story.intake, replace(story.intake, is_done=True)))

    assert redo_list(project, story.engine.id).hours == 2.0


def test_a_loop_by_any_way_in_is_refused(project, story, ways):
    aside, hoses, _ = ways
    looped = replace(aside, needs=(AnyOf(((story.intake.id,), (hoses.id,))),))

    with pytest.raises(BadInput, match="wait for each other in a loop"):
        amend_access_step(project, aside, looped)


def test_a_choice_that_leaves_nothing_to_choose_is_refused(project, story):
    for routes in ((), ((),)):
        empty = replace(story.cover_task, needs=(AnyOf(routes),))
        with pytest.raises(BadInput, match="need 1 there is a way in without any access step"):
            amend_task(project, story.cover_task, empty)


def test_removing_a_step_of_a_way_in_hands_on_what_it_needed(project, story, ways):
    aside, hoses, task = ways

    project.apply(remove_access_step(project, hoses.id))
    assert project.get(RedoTask, task.id).needs == (AnyOf(((story.intake.id,), (aside.id,))),)

    # Then nothing is to come off on that way: the choice is needless.
    project.apply(remove_access_step(project, aside.id))
    assert project.get(RedoTask, task.id).needs == ()


def test_a_step_reached_by_several_ways_splits_the_way_that_loses_it(project, story, ways):
    aside, hoses, task = ways
    either = replace(hoses, needs=(AnyOf(((aside.id,), (story.intake.id,))),))
    project.apply(replaced(hoses, either))

    project.apply(remove_access_step(project, hoses.id))

    assert project.get(RedoTask, task.id).needs == (AnyOf(((story.intake.id,), (aside.id,))),)


def test_a_chance_that_is_none_is_refused(project, story):
    for chance in (-0.1, 1.1, float("nan")):
        with pytest.raises(BadInput, match="from 0 to 1"):
            amend_task(project, story.cover_task, replace(story.cover_task, chance=chance))
