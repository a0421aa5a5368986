"""What must come off for some tasks, and what do they cost? Exact sums over choices of work."""

from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from leaktrack.model.redo_problem import AnyOf, Need, RedoProblem


def exact(number: float) -> Fraction:
    """Return a number as it was typed: 0.1 is a tenth, not the nearest binary fraction.

    >>> exact(0.1) + exact(0.2) == exact(0.3)
    True
    """
    return Fraction(Decimal(repr(number)))


@dataclass(frozen=True, slots=True)
class Selection:
    """Tasks to do and steps that are off for them.

    Attributes:
        tasks: Ids of tasks.
        steps: Ids of steps, those off already among them.
    """

    tasks: frozenset[str]
    steps: frozenset[str]


@dataclass(frozen=True, slots=True)
class Costs:
    """What the parts of a problem cost, exactly.

    Attributes:
        hours: Of labour, by id; 0 for steps that are off already.
        money: The same.
        gain: Benefit of a task, less its labour and money; for steps what they cost, below zero.
    """

    hours: Mapping[str, Fraction]
    money: Mapping[str, Fraction]
    gain: Mapping[str, Fraction]

    def labour(self, selection: Selection) -> Fraction:
        """Return all hours of a selection."""
        return sum((self.hours[key] for key in (*selection.tasks, *selection.steps)), Fraction())

    def spent(self, selection: Selection) -> Fraction:
        """Return all money of a selection but for its labour."""
        return sum((self.money[key] for key in (*selection.tasks, *selection.steps)), Fraction())

    def value(self, selection: Selection) -> Fraction:
        """Return what a selection is worth beyond what it costs."""
        return sum((self.gain[key] for key in (*selection.tasks, *selection.steps)), Fraction())


def costs_of(problem: RedoProblem) -> Costs:
    """Return what steps and tasks cost."""
    rate = exact(problem.hour_rate)
    hours = {task.id: exact(task.hours) for task in problem.tasks}
    money = {task.id: exact(task.money) for task in problem.tasks}
    for step in problem.steps:
        is_free = step.is_done
        hours[step.id] = Fraction() if is_free else exact(step.hours) + exact(step.refit_hours)
        money[step.id] = Fraction() if is_free else exact(step.money)
    gain = {key: -rate * hours[key] - money[key] for key in hours}
    for task in problem.tasks:
        gain[task.id] += exact(task.benefit)
    return Costs(hours, money, gain)


def choices_in(needs: Iterable[Need]) -> Iterator[AnyOf]:
    """Return the choices of routes among some needs."""
    return (need for need in needs if isinstance(need, AnyOf))


def is_met(need: Need, steps: Collection[str]) -> bool:
    """Return whether a need is met where some steps are off."""
    if isinstance(need, AnyOf):
        return any(all(step in steps for step in route) for route in need.routes)
    return need in steps


def has_needs(problem: RedoProblem, selection: Selection) -> bool:
    """Return whether a selection has all that it needs."""
    chosen = selection.tasks | selection.steps
    return all(
        is_met(need, selection.steps)
        for one in problem.work
        if one.id in chosen
        for need in one.needs
    )


def reached(problem: RedoProblem, tasks: Collection[str]) -> frozenset[str] | None:
    """Return the steps that some tasks need; None where there is a choice of routes."""
    by_id = {one.id: one for one in problem.work}
    found: set[str] = set()
    waiting = [need for task in tasks for need in by_id[task].needs]
    while waiting:
        need = waiting.pop()
        if isinstance(need, AnyOf):
            if len(need.routes) > 1:
                return None
            waiting += need.routes[0]
        elif need not in found:
            found.add(need)
            waiting += by_id[need].needs
    return frozenset(found)


def narrowed(problem: RedoProblem, tasks: Collection[str]) -> RedoProblem:
    """Return the problem with some tasks only, and the steps that any route to them passes."""
    by_id = {one.id: one for one in problem.work}
    found: set[str] = set(tasks)
    waiting = [by_id[task] for task in tasks]
    while waiting:
        for need in waiting.pop().needs:
            routes = need.routes if isinstance(need, AnyOf) else ((need,),)
            for step in {step for route in routes for step in route} - found:
                found.add(step)
                waiting.append(by_id[step])
    return replace(
        problem,
        steps=tuple(step for step in problem.steps if step.id in found),
        tasks=tuple(task for task in problem.tasks if task.id in found),
    )


def routes_taken(
    problem: RedoProblem, selection: Selection, costs: Costs
) -> dict[str, tuple[str, ...]]:
    """Return the steps that each chosen task and step waits for.

    Of a choice it is one route that is off as a whole: the one with least labour, where several
    are. Through a step that is off already goes on what that step needed.
    """
    by_id = {step.id: step for step in problem.steps}

    def direct(needs: Iterable[Need]) -> Iterator[str]:
        for need in needs:
            if isinstance(need, str):
                yield need
                continue
            whole = [
                route for route in need.routes if all(step in selection.steps for step in route)
            ]
            yield from min(whole, key=lambda route: sum(costs.hours[step] for step in route))

    def waited_for(needs: Iterable[Need]) -> tuple[str, ...]:
        found: dict[str, None] = {}
        waiting = list(direct(needs))
        while waiting:
            step = waiting.pop()
            if step in found:
                continue
            found[step] = None
            if by_id[step].is_done:
                waiting += direct(by_id[step].needs)
        return tuple(step for step in found if not by_id[step].is_done)

    tasks = {
        task.id: waited_for(task.needs) for task in problem.tasks if task.id in selection.tasks
    }
    steps = {
        step.id: waited_for(step.needs)
        for step in problem.steps
        if step.id in selection.steps and not step.is_done
    }
    return tasks | steps
