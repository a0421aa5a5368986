"""Is the choice of work always the best, and how long does it take for large engines?"""

import random
import time

from leaktrack.analysis.redoing.choosing import Chooser
from leaktrack.analysis.redoing.explaining import explained
from leaktrack.analysis.redoing.networking import teardown
from leaktrack.analysis.redoing.ordering import ordered
from leaktrack.analysis.redoing.reaching import routes_taken
from leaktrack.model.redo_problem import AnyOf, RedoProblem, Step, Task
from tests.random_redo import best_by_trying, key_of, random_problem

PROBLEMS = 2000
SEED = 100_000
SIZES = ((10, 15), (40, 60), (100, 150), (200, 300), (400, 600))
_BUDGET_SHARE = 0.6
"""Of the labour that would be chosen without a budget: this makes choosing hardest."""


def report(problems: int = PROBLEMS, seed: int = SEED) -> None:
    """Compare with every choice there is, then print the times of larger and larger engines."""
    wrong = infeasible = 0
    for number in range(problems):
        problem = random_problem(seed + number)
        found, best = Chooser(problem).best(), best_by_trying(problem)
        wrong += (None if found is None else key_of(problem, found.selection)) != best
        infeasible += best is None
    print(
        f"{problems} random problems with alternatives, budgets and ties, {infeasible} of them "
        f"impossible: {wrong} not as exhaustive search has it"
    )
    print(
        f"\n{'tasks':>5} {'steps':>5} {'budget':>6}  {'chosen':>6} {'choose':>8} {'gap':>6} "
        f"{'order':>8} {'ready':>8} {'at best':>8} {'why':>8}"
    )
    for tasks, steps in SIZES:
        free = large_problem(1, tasks, steps)
        labour = _time(free, tasks, steps, "no")
        _time(large_problem(1, tasks, steps, labour * _BUDGET_SHARE), tasks, steps, "yes")


def large_problem(seed: int, tasks: int, steps: int, budget: float | None = None) -> RedoProblem:
    """Return an invented engine: access in layers, some alternatives, tasks deep and shallow."""
    rng = random.Random(seed)
    made: list[Step] = []
    for number in range(steps):
        near = [step.id for step in made[max(0, number - 12) :]]
        needs: list[str | AnyOf] = []
        if near and rng.random() < 0.8:
            needs.append(rng.choice(near))
        if len(near) > 3 and rng.random() < 0.2:
            needs.append(AnyOf((tuple(rng.sample(near, 1)), tuple(rng.sample(near, 2)))))
        made.append(
            Step(
                id=f"step {number}",
                hours=round(rng.uniform(0.1, 3), 1),
                refit_hours=round(rng.uniform(0.1, 3), 1),
                money=rng.choice([0, 0, 5, 12, 30]),
                is_done=rng.random() < 0.03,
                needs=tuple(needs),
            )
        )
    names = [step.id for step in made]
    return RedoProblem(
        steps=tuple(made),
        tasks=tuple(_task(rng, number, names) for number in range(tasks)),
        hour_rate=85,
        workers=2,
        hours_budget=None if budget is None else round(budget, 1),
    )


def _task(rng: random.Random, number: int, names: list[str]) -> Task:
    needs: list[str | AnyOf] = list(rng.sample(names, rng.randint(1, 2)))
    if rng.random() < 0.2:
        needs.append(AnyOf(tuple((name,) for name in rng.sample(names, 2))))
    return Task(
        id=f"task {number}",
        hours=round(rng.uniform(0.3, 3), 1),
        benefit=rng.randint(50, 2500),
        money=rng.randint(0, 80),
        cure_h=rng.choice([0, 0, 1, 12, 24]),
        does_cure_block_refit=rng.random() < 0.3,
        needs=tuple(needs),
    )


def _time(problem: RedoProblem, tasks: int, steps: int, budget: str) -> float:
    began = time.perf_counter()
    chooser = Chooser(problem)
    chosen = chooser.best()
    choosing = time.perf_counter() - began
    assert chosen is not None
    began = time.perf_counter()
    waits = routes_taken(problem, chosen.selection, chooser.costs)
    schedule = ordered(teardown(problem, chosen.selection, waits), problem.workers)
    ordering = time.perf_counter() - began
    began = time.perf_counter()
    explained(chooser, chosen)
    asking = time.perf_counter() - began
    gap = float(chosen.most_value - chooser.costs.value(chosen.selection))
    print(
        f"{tasks:5} {steps:5} {budget:>6}  {len(chosen.selection.tasks):6} {choosing:6.2f} s "
        f"{gap:6.1f} {ordering:6.2f} s {schedule.ready_h:6.1f} h {schedule.least_h:6.1f} h "
        f"{asking:6.2f} s",
        flush=True,
    )
    return float(chooser.costs.labour(chosen.selection))
