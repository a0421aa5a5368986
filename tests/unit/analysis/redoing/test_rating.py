"""At which hour rates a choice turns, against all choices of small problems."""

import random
from dataclasses import replace
from time import monotonic

import pytest

from leaktrack.analysis.redoing.choosing import Chooser
from leaktrack.analysis.redoing.rating import rate_spans
from leaktrack.analysis.redoing.reaching import exact
from leaktrack.model.redo_problem import RedoProblem, Step, Task
from tests.random_redo import RATES, all_choices, random_problem

SEAL = Task(id="seal", hours=1, benefit=300, needs=("off",))
OFF = Step(id="off", hours=2, refit_hours=1, money=20)


def spans_of(problem, never=frozenset()):
    chooser = Chooser(problem)
    chosen = chooser.best()
    if chosen is None:
        return None
    return chosen.selection, rate_spans(chooser, chosen.selection, never, monotonic() + 60)


def test_a_task_is_worth_it_up_to_what_its_hours_may_cost():
    """By hand: 4 h and 20 of money for 300, so up to 70 an hour."""
    _, spans = spans_of(RedoProblem(steps=(OFF,), tasks=(SEAL,), hour_rate=50))

    assert (spans["seal"].low, spans["seal"].high) == (None, 70)


def test_labour_in_the_benefit_makes_a_task_worth_it_where_labour_is_dear():
    """By hand: half of 20 h later for 4 h now; 20 of money is worth it above 20 / 6 an hour."""
    seal = replace(SEAL, benefit=10 * 2, benefit_hours=10)

    chosen, spans = spans_of(RedoProblem(steps=(OFF,), tasks=(seal,), hour_rate=2))

    assert chosen.tasks == frozenset()
    assert spans["seal"].low is None
    assert spans["seal"].high == pytest.approx(20 / 6, abs=0.01)


def test_what_is_settled_beforehand_turns_at_no_rate():
    must = replace(SEAL, is_must=True)

    assert spans_of(RedoProblem(steps=(OFF,), tasks=(must,), hour_rate=50))[1] == {}
    never = frozenset(["seal"])
    chooser = Chooser(RedoProblem(steps=(OFF,), tasks=(SEAL,), hour_rate=50))
    nothing = replace(chooser.best().selection, tasks=frozenset(), steps=frozenset())
    assert rate_spans(chooser, nothing, never, monotonic() + 60) == {}


def test_without_time_nothing_is_told():
    chooser = Chooser(RedoProblem(steps=(OFF,), tasks=(SEAL,), hour_rate=50))

    assert rate_spans(chooser, chooser.best().selection, frozenset(), monotonic()) == {}


@pytest.mark.parametrize("seed", range(20))
def test_a_choice_turns_at_the_rates_that_are_told_and_nowhere_between(seed):
    rng = random.Random(seed)
    problem = random_problem(seed + 900, most_steps=5, most_tasks=4)
    tasks = tuple(replace(task, benefit_hours=rng.choice([0, 0.5, 3])) for task in problem.tasks)
    problem = replace(problem, tasks=tasks, hour_rate=rng.choice(RATES))
    found = spans_of(problem)
    if found is None:
        return
    selection, spans = found
    lines = _lines(problem)
    for task, span in spans.items():
        is_in = task in selection.tasks
        low, high = span.low or 0, 1e5 if span.high is None else span.high
        # By no more than a cent outside of what is told, it is chosen otherwise.
        for beyond in (span.low and span.low - 0.01, span.high and span.high + 0.01):
            if beyond is not None and beyond >= 0:
                assert _favour(lines, task, beyond) * (1 if is_in else -1) <= 1e-9
        for share in (0.001, 0.3, 0.5, 0.7, 0.999):
            inside = low + share * (high - low)
            assert _favour(lines, task, inside) * (1 if is_in else -1) >= -1e-4


def _lines(problem):
    """Return the tasks, worth at no rate, and hours of every choice that is allowed."""
    costs, rate = Chooser(problem).costs, exact(problem.hour_rate)
    lines = []
    for selection in all_choices(problem):
        hours = costs.labour(selection) - sum(
            exact(task.benefit_hours) for task in problem.tasks if task.id in selection.tasks
        )
        lines.append((selection.tasks, float(costs.value(selection) + rate * hours), float(hours)))
    return lines


def _favour(lines, task, rate):
    """Return how much better the best with a task is than the best without, at an hour rate."""
    with_it = [worth - rate * hours for tasks, worth, hours in lines if task in tasks]
    without = [worth - rate * hours for tasks, worth, hours in lines if task not in tasks]
    return max(with_it, default=float("-inf")) - max(without, default=float("-inf"))
