from dataclasses import replace

import pytest

from leaktrack.analysis.redoing.choosing import Chooser
from leaktrack.analysis.redoing.conflicting import conflict
from leaktrack.analysis.redoing.explaining import explained
from leaktrack.model.redo_problem import AnyOf, RedoProblem, Step, Task
from tests.random_redo import random_problem

OVERLAP_STEPS = (
    Step(id="engine", hours=6),
    Step(id="flywheel", hours=1.5),
    Step(id="pan", hours=2),
    Step(id="timing", hours=3),
    Step(id="intake", hours=1),
)
OVERLAP_TASKS = tuple(
    Task(id=name, hours=hours, benefit=0, is_must=True, needs=needs)
    for name, hours, needs in (
        ("rear seal", 0.5, ("engine", "flywheel")),
        ("pan bead", 1, ("engine", "pan")),
        ("front", 0.5, ("engine", "pan", "timing")),
        ("cover", 1, ("intake",)),
    )
)
OVERLAP = RedoProblem(steps=OVERLAP_STEPS, tasks=OVERLAP_TASKS, hour_rate=80)


def answer(problem):
    chooser = Chooser(problem)
    chosen = chooser.best()
    return chooser.costs.labour(chosen.selection), explained(chooser, chosen)


def test_shared_access_is_counted_once():
    """Common practice in time guides; worked by hand: 30.5 h one by one, 16.5 h together."""
    together, why = answer(OVERLAP)

    assert [one.alone_hours for one in why] == [8, 9, 11.5, 2]
    assert sum(one.alone_hours for one in why) == 30.5
    assert together == 16.5


def test_what_is_off_already_costs_nothing():
    """The same with the engine out: 10.5 h."""
    out = (replace(OVERLAP_STEPS[0], is_done=True), *OVERLAP_STEPS[1:])

    together, _ = answer(replace(OVERLAP, steps=out))

    assert together == 10.5


def test_what_a_task_adds_is_what_only_it_needs():
    _, why = answer(OVERLAP)

    assert [one.marginal_hours for one in why] == [2, 1, 3.5, 2]


@pytest.mark.parametrize("seed", range(25))
def test_a_task_turns_at_the_benefit_that_is_told(seed):
    problem = random_problem(seed + 300)
    chooser = Chooser(problem)
    chosen = chooser.best()
    if chosen is None:
        return
    for place, one in enumerate(explained(chooser, chosen)):
        if one.worth_it_from is None:
            continue
        for shift, is_done in ((0.01, True), (-0.01, False)):
            task = replace(problem.tasks[place], benefit=one.worth_it_from + shift)
            tasks = (*problem.tasks[:place], task, *problem.tasks[place + 1 :])
            again = Chooser(replace(problem, tasks=tasks)).best().selection.tasks
            assert (task.id in again) is is_done


def test_a_route_that_comes_off_anyway_makes_a_task_cheap():
    steps = (Step(id="aside", hours=1), Step(id="off", hours=2))
    seal = Task(id="seal", hours=1, benefit=900, needs=(AnyOf((("aside",), ("off",))),))
    pump = Task(id="pump", hours=1, benefit=900, needs=("off",))

    _, why = answer(RedoProblem(steps=steps, tasks=(seal, pump), hour_rate=50))

    assert [(one.alone_hours, one.marginal_hours) for one in why] == [(2, 1), (3, 2)]


def told_conflict(**limits):
    return conflict(Chooser(replace(OVERLAP, **limits)))


def test_a_single_task_beyond_the_budget_is_named():
    assert told_conflict(hours_budget=10) == (
        "front must be done and takes at least 11.5 h of labour, but hours_budget is 10."
    )


def test_tasks_beyond_the_budget_only_together_are_named():
    assert told_conflict(hours_budget=16) == (
        "What must be done (rear seal, pan bead, front, cover) takes at least 16.5 h of labour "
        "together, but hours_budget is 16."
    )


def test_budgets_that_pull_apart_are_named():
    quick, cheap = Step(id="quick", hours=1, money=90), Step(id="cheap", hours=9, money=1)
    task = Task(
        id="seal", hours=0, benefit=0, is_must=True, needs=(AnyOf((("quick",), ("cheap",))),)
    )
    problem = RedoProblem(
        steps=(quick, cheap), tasks=(task,), hour_rate=1, hours_budget=5, money_budget=50
    )

    assert Chooser(problem).best() is None
    assert "by no way to both" in conflict(Chooser(problem))


def test_what_must_and_never_is_named():
    told = conflict(Chooser(OVERLAP), {"front": "Task 'Front'"}, never={"front"})

    assert told == "Task 'Front' must be done and is never to be done. Settle one of the two."
