from dataclasses import replace

import networkx
import pytest

from leaktrack.analysis.redoing.choosing import Chooser
from leaktrack.analysis.redoing.reaching import costs_of
from leaktrack.model.redo_problem import AnyOf, RedoProblem, Step, Task
from tests.random_redo import best_by_trying, key_of, random_problem


def free(name, cost, *needs):
    """A step that costs money only, as in textbooks."""
    return Step(id=name, hours=0, money=cost, needs=needs)


def project(name, profit, *needs):
    return Task(id=name, hours=0, benefit=profit, needs=needs)


def best(steps, tasks, **more):
    problem = RedoProblem(steps=tuple(steps), tasks=tuple(tasks), hour_rate=1, **more)
    found = Chooser(problem).best()
    return found.selection.tasks, float(costs_of(problem).value(found.selection))


@pytest.mark.parametrize("block", range(6))
def test_the_choice_is_the_best_of_all(block):
    for seed in range(block * 25, (block + 1) * 25):
        problem = random_problem(seed)

        found = Chooser(problem).best()

        told = None if found is None else key_of(problem, found.selection)
        assert told == best_by_trying(problem), seed


def test_a_chain_of_projects_is_taken_whole():
    """A web textbook's example: +10 and +8 over costs of 4 and 3 are worth 11 together."""
    steps = [free("db", 4), free("auth", 3)]
    api = project("api", 10, "db")
    dashboard = project("dashboard", 8, "db", "auth")

    tasks, value = best(steps, [api, dashboard])

    assert (tasks, value) == ({"api", "dashboard"}, 11)


COVER, SOLENOID = project("cover", 90, "intake"), project("solenoid", 35, "intake")
FRONT, REAR = project("front seal", 60, "timing"), project("rear seal", 120, "out", "flywheel")
PAN = project("pan bead", 25, "out", "pan")


def teardown(out, pan_worth=25):
    """Five seals over five pieces of access: computed by hand and by a minimum cut."""
    steps = [
        free("intake", 20),
        free("out", out),
        free("flywheel", 30, "out"),
        free("pan", 45, "out"),
        free("timing", 70, "pan"),
    ]
    return best(steps, [COVER, SOLENOID, FRONT, REAR, replace(PAN, benefit=pan_worth)])


def test_with_the_engine_out_the_rear_seal_is_worth_it():
    assert teardown(out=0) == ({"cover", "solenoid", "rear seal"}, 195)


def test_with_the_engine_in_it_is_not():
    assert teardown(out=150) == ({"cover", "solenoid"}, 105)


def test_a_dearer_leak_brings_the_pan_in():
    tasks, value = teardown(out=0, pan_worth=60)

    assert value == 210
    assert "pan bead" in tasks


def pair(front):
    """Two seals that share access: alone -15 and -20, together +10."""
    steps = [free("timing", 70), free("pan", 45)]
    tasks = [project("front", front, "timing", "pan"), project("pan bead", 25, "pan")]
    return best(steps, tasks)


def test_two_seals_may_be_worth_it_only_together():
    assert pair(front=100) == ({"front", "pan bead"}, 10)


def test_of_equal_choices_the_smallest_is_taken():
    assert pair(front=90) == (frozenset(), 0)


def test_what_is_not_worth_it_is_left():
    assert pair(front=89) == (frozenset(), 0)


@pytest.mark.parametrize("seed", range(40))
def test_without_budgets_it_is_a_minimum_cut(seed):
    """Closure by minimum cut (Picard 1976), solved by NetworkX."""
    problem = random_problem(
        seed + 5000, most_steps=12, most_tasks=10, has_budgets=False, has_choices=False
    )
    costs = costs_of(problem)
    graph = networkx.DiGraph()
    graph.add_nodes_from(["source", "sink"])
    for one in problem.work:
        gain = float(costs.gain[one.id])
        if gain > 0:
            graph.add_edge("source", one.id, capacity=gain)
        else:
            graph.add_edge(one.id, "sink", capacity=-gain)
        for need in one.needs:
            graph.add_edge(one.id, need)  # no capacity: it cannot be cut
    profits = sum(max(float(gain), 0.0) for gain in costs.gain.values())

    found = Chooser(problem).best()

    cut = networkx.minimum_cut_value(graph, "source", "sink")
    assert float(costs.value(found.selection)) == pytest.approx(profits - cut)


@pytest.mark.parametrize("seed", range(30))
def test_cheaper_access_never_drops_a_task(seed):
    problem = random_problem(
        seed + 9000, most_steps=10, most_tasks=8, has_budgets=False, has_choices=seed % 2 == 0
    )
    before = Chooser(problem).best().selection.tasks
    for step in problem.steps:
        cheaper = replace(step, hours=step.hours / 2, money=0)
        steps = tuple(cheaper if one is step else one for one in problem.steps)

        after = Chooser(replace(problem, steps=steps)).best().selection.tasks

        assert before <= after


def test_tenths_of_hours_make_no_false_difference():
    """0.1 + 0.2 is 0.3 for people, and a budget of 0.3 h is enough."""
    steps = (Step(id="a", hours=0.1), Step(id="b", hours=0.2))
    task = Task(id="t", hours=0, benefit=9, needs=("a", "b"))
    problem = RedoProblem(steps=steps, tasks=(task,), hour_rate=1, hours_budget=0.3)

    assert Chooser(problem).best().selection.tasks == {"t"}


def test_the_cheaper_route_is_taken_unless_the_other_comes_off_anyway():
    aside, off = Step(id="move aside", hours=1), Step(id="disconnect", hours=2)
    either = AnyOf((("move aside",), ("disconnect",)))
    seal = Task(id="seal", hours=1, benefit=900, needs=(either,))
    pump = Task(id="pump", hours=1, benefit=900, needs=("disconnect",))

    alone = Chooser(RedoProblem(steps=(aside, off), tasks=(seal,), hour_rate=50)).best()
    both = Chooser(RedoProblem(steps=(aside, off), tasks=(seal, pump), hour_rate=50)).best()

    assert alone.selection.steps == {"move aside"}
    assert both.selection.steps == {"disconnect"}


def test_numbers_of_many_figures_are_no_hindrance():
    steps = (Step(id="a", hours=0.123456789012345, money=1e-9),)
    task = Task(id="t", hours=3.3333333333333335, benefit=1234567.123456789, needs=("a",))

    found = Chooser(RedoProblem(steps=steps, tasks=(task,), hour_rate=77.7777777)).best()

    assert found.is_proven
    assert found.selection.tasks == {"t"}


def test_nothing_to_do_is_an_answer():
    found = Chooser(RedoProblem(steps=(), tasks=(), hour_rate=0)).best()

    assert found.is_proven
    assert not found.selection.tasks
