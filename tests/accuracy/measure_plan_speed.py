"""How soon does a toggle in the window answer, for engines of the usual and of a large size?"""

import statistics
import time
from dataclasses import replace
from uuid import UUID

from leaktrack.model.redo_benefit import Benefit, ChanceFrom
from leaktrack.model.redo_plan import AccessStep, AnyOf, RedoDecision, RedoTask, StepNeed
from leaktrack.model.redo_problem import Need, RedoProblem
from leaktrack.model.redo_terms import RedoTerms
from leaktrack.workflows.estimate_times import estimates
from leaktrack.workflows.weigh_in_stages import (
    TeardownRecords,
    Weighing,
    changed,
    choose,
    choose_at_once,
    explain,
    order,
)
from leaktrack.workflows.weigh_redo import RedoInputs
from tests.accuracy.measure_redo import large_problem

SIZES = ((10, 15), (40, 60), (100, 150))
TOGGLES = 12
BUDGET_SHARE = 0.6
GOAL_MS = 200


def report() -> None:
    """Toggle tasks of invented engines, and print how long each stage of the answer takes."""
    print(f"{TOGGLES} toggles each; the first answer should stand within {GOAL_MS} ms")
    print(
        f"{'tasks':>5} {'steps':>5} {'budget':>6}  {'first':>7} {'slowest':>7} {'CPU':>7} "
        f"{'proven':>6} {'settled':>8} {'order':>7} {'why':>7}"
    )
    for tasks, steps in SIZES:
        free = weighing_of(large_problem(1, tasks, steps))
        labour = choose(free).weighed.answer.labour_hours or 0.0
        _measure(free, tasks, steps, "no")
        terms = replace(free.inputs.terms, hours_budget=round(labour * BUDGET_SHARE, 1))
        limited = replace(free, inputs=replace(free.inputs, terms=terms))
        _measure(limited, tasks, steps, "yes")


def weighing_of(problem: RedoProblem) -> Weighing:
    """Return a problem as if it had been gathered from the records of an engine."""
    ids = {one.id: UUID(int=number) for number, one in enumerate(problem.work, start=1)}
    engine_id = UUID(int=0)

    def need_of(need: Need) -> StepNeed:
        if isinstance(need, str):
            return ids[need]
        return AnyOf(tuple(tuple(ids[step] for step in route) for route in need.routes))

    steps = tuple(
        AccessStep(
            id=ids[step.id],
            engine_id=engine_id,
            name=step.id,
            hours=step.hours,
            refit_hours=step.refit_hours,
            money=step.money,
            is_done=step.is_done,
            needs=tuple(map(need_of, step.needs)),
            position=number,
        )
        for number, step in enumerate(problem.steps)
    )
    tasks = tuple(
        RedoTask(
            id=ids[task.id],
            engine_id=engine_id,
            name=task.id,
            hours=task.hours,
            money=task.money,
            cure_h=task.cure_h,
            needs=tuple(map(need_of, task.needs)),
            does_cure_block_refit=task.does_cure_block_refit,
        )
        for task in problem.tasks
    )
    benefits = tuple(
        Benefit(
            chance=0.5,
            chance_from=ChanceFrom.RIDES_ALONG,
            later_hours=0.0,
            later_money=2 * task.benefit,
            mess=0.0,
            hour_rate=problem.hour_rate,
        )
        for task in problem.tasks
    )
    terms = RedoTerms(engine_id=engine_id, hour_rate=problem.hour_rate, workers=problem.workers)
    inputs = RedoInputs(tasks, steps, {}, estimates(steps, tasks, {}), terms)
    return Weighing(TeardownRecords(tasks, steps, terms), inputs, benefits)


def _measure(weighing: Weighing, tasks: int, steps: int, budget: str) -> None:
    times: dict[str, list[float]] = {"first": [], "cpu": [], "settled": [], "order": [], "why": []}
    proven = 0
    for toggle in range(TOGGLES):
        place = toggle * 7 % tasks
        decision = (RedoDecision.NEVER, RedoDecision.MUST)[toggle % 2]
        now = list(weighing.read.tasks)
        now[place] = replace(now[place], decision=decision)
        read = replace(weighing.read, tasks=tuple(now), terms=weighing.inputs.terms)
        began, worked = time.perf_counter(), time.process_time()
        near = changed(weighing, read)
        assert near is not None
        first = choose_at_once(near)
        times["first"].append(time.perf_counter() - began)
        times["cpu"].append(time.process_time() - worked)
        proven += first is not None and first.chosen is not None and first.chosen.is_proven
        if toggle < 3:  # the slow stages are the same for each
            began = time.perf_counter()
            staged = choose(near)
            times["settled"].append(time.perf_counter() - began)
            began = time.perf_counter()
            staged = order(staged)
            times["order"].append(time.perf_counter() - began)
            began = time.perf_counter()
            explain(staged)
            times["why"].append(time.perf_counter() - began)
    middle = {name: 1000 * statistics.median(each) for name, each in times.items()}
    slowest = 1000 * max(times["first"])
    print(
        f"{tasks:5} {steps:5} {budget:>6}  {middle['first']:4.0f} ms {slowest:4.0f} ms "
        f"{middle['cpu']:4.0f} ms {proven:3}/{TOGGLES} {middle['settled']:5.0f} ms "
        f"{middle['order']:4.0f} ms {middle['why']:4.0f} ms",
        flush=True,
    )
