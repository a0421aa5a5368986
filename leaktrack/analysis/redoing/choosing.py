"""Choose the tasks of one teardown: the exact best by a solver of mixed-integer programs.

HiGHS, as SciPy brings it along, rather than a solver of constraints: nothing more is to be
installed, it starts at once, and choices of this kind are nearly linear programs: without budgets
and alternatives their linear relaxation is whole by itself.

Source:
    J.-C. Picard, "Maximal closure of a graph and applications to combinatorial problems",
    Management Science 22(11), 1976 (choosing projects that share what they need); from memory.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import reduce
from math import gcd, lcm
from time import monotonic
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csr_array

from leaktrack.analysis.redoing.reaching import (
    Costs,
    Selection,
    choices_in,
    costs_of,
    exact,
    has_needs,
    narrowed,
    reached,
)
from leaktrack.model.redo_problem import AnyOf, Need, RedoProblem

MOST_SECONDS = 6.0
"""For finding the best value; whoever waits longer gets the best so far, with its gap."""

_TIE_SECONDS = 3.0
# Beyond this, sums of whole numbers are no longer exact to the solver's tolerances.
_LARGEST_WHOLE = 1e8
_SLACK = 1e-9  # of the largest number, where numbers are too many-figured to be made whole


@dataclass(frozen=True, slots=True)
class Chosen:
    """The best selection found.

    Attributes:
        most_value: No selection could be worth more.
        is_proven: This one is the best, ties included.
    """

    selection: Selection
    most_value: Fraction
    is_proven: bool


@dataclass(frozen=True, slots=True)
class Fixed:
    """What is settled beforehand.

    Attributes:
        done: Tasks that are done whatever they cost, beside those that must be.
        left: Tasks that are not done.
        has_budgets: Whether budgets hold.
        has_musts: Whether what must be done is done.
    """

    done: frozenset[str] = frozenset()
    left: frozenset[str] = frozenset()
    has_budgets: bool = True
    has_musts: bool = True


class Chooser:
    """One problem, made ready to be solved several times with something settled beforehand.

    Args:
        problem: A sound one.
        seconds: How long to look for the best value.
    """

    def __init__(self, problem: RedoProblem, seconds: float = MOST_SECONDS) -> None:
        self.problem = problem
        self.costs: Costs = costs_of(problem)
        self._cost = {key: -gain for key, gain in self.costs.gain.items()}
        self._seconds = seconds
        self._ids = [*(task.id for task in problem.tasks), *(step.id for step in problem.steps)]
        self._place = {key: place for place, key in enumerate(self._ids)}
        choices = {choice for one in problem.work for choice in choices_in(one.needs)}
        self._routes: dict[tuple[AnyOf, int], int] = {}
        for choice in sorted(choices, key=lambda one: one.routes):
            for number in range(len(choice.routes)):
                self._routes[choice, number] = len(self._ids) + len(self._routes)
        self._count = len(self._ids) + len(self._routes)
        self._needs = self._needed()

    def best(self, fixed: Fixed = Fixed()) -> Chosen | None:
        """Return the selection worth most; of equal ones the one with fewest tasks, least labour.

        None where no selection meets all that must be.
        """
        found = self._solved(self._cost, fixed, self._seconds)
        if found is None:
            return None
        selection, bound, is_proven = found
        worth = self.costs.value(selection)
        if not is_proven:
            return Chosen(selection, max(worth, -bound), is_proven=False)
        return Chosen(*self._settled(selection, fixed), is_proven=True)

    def first(self, seconds: float, fixed: Fixed = Fixed()) -> Chosen | None:
        """Return what is worth most as far as found in a time; of equal ones, any.

        None also where nothing was found in the time; whether there is anything, ``best`` tells.
        """
        found = self._solved(self._cost, fixed, seconds)
        if found is None:
            return None
        selection, bound, is_proven = found
        worth = self.costs.value(selection)
        return Chosen(selection, worth if is_proven else max(worth, -bound), is_proven)

    def most_worth(self, fixed: Fixed) -> Fraction | None:
        """Return what the best selection is worth; None where none meets all that must be."""
        found = self._solved(self._cost, fixed, self._seconds)
        return None if found is None else self.costs.value(found[0])

    def least_by(
        self, goals: Sequence[Mapping[str, Fraction]], fixed: Fixed, seconds: float
    ) -> Selection | None:
        """Return a selection with the least sum of the first goal, of these of the next, and so on.

        None where none was found in time, or none meets all that must be.
        """
        kept: list[tuple[Mapping[str, Fraction], Fraction]] = []
        until, selection = monotonic() + seconds, None
        for goal in goals:
            found = self._solved(goal, fixed, until - monotonic(), kept)
            if found is None or not found[2]:
                return None
            selection = found[0]
            kept.append((goal, _total(goal, selection)))
        return selection

    def cheapest(self, tasks: frozenset[str]) -> Selection | None:
        """Return some tasks, no others, with the steps that cost least; budgets do not count."""
        steps = reached(self.problem, tasks)
        if steps is not None:  # there is one way in only
            return Selection(tasks, steps)
        near = Chooser(narrowed(self.problem, tasks), self._seconds)
        fixed = near._only(tasks)
        found = near._solved(near._cost, fixed, self._seconds)
        if found is None:
            return None
        kept = [(near._cost, _total(near._cost, found[0]))]
        least = near._solved(near.costs.hours, fixed, self._seconds, kept)
        return (least or found)[0]

    def least(self, tasks: frozenset[str], amounts: Mapping[str, Fraction]) -> Fraction | None:
        """Return the least sum of amounts by which some tasks can be done, and no others."""
        found = self._solved(amounts, self._only(tasks), self._seconds)
        return None if found is None else _total(amounts, found[0])

    def _only(self, tasks: frozenset[str]) -> Fixed:
        others = frozenset(task.id for task in self.problem.tasks) - tasks
        return Fixed(tasks, others, has_budgets=False, has_musts=False)

    def _settled(self, selection: Selection, fixed: Fixed) -> tuple[Selection, Fraction]:
        """Return the selection that wins among all of equal value, and that value."""
        costs, worth = self.costs, self.costs.value(selection)
        tasks = {task.id: Fraction(1) for task in self.problem.tasks}
        steps = {step.id: Fraction(1) for step in self.problem.steps}
        kept: list[tuple[Mapping[str, Fraction], Fraction]] = [(self._cost, -worth)]
        until = monotonic() + _TIE_SECONDS
        for measure in (tasks, costs.hours, steps):
            if monotonic() > until:
                break
            found = self._solved(measure, fixed, until - monotonic(), kept)
            if found is None:  # the solver's rounding: what is at hand is as good
                break
            better = found[0]
            if costs.value(better) < worth:
                break
            if _total(measure, better) <= _total(measure, selection):
                selection = better
            kept.append((measure, _total(measure, selection)))
        return selection, worth

    def _solved(
        self,
        goal: Mapping[str, Fraction],
        fixed: Fixed,
        seconds: float,
        kept: Sequence[tuple[Mapping[str, Fraction], Fraction]] = (),
    ) -> tuple[Selection, Fraction, bool] | None:
        """Return the selection with the least sum of a goal, its lower bound, and whether it is it.

        Args:
            goal: What each task and step adds to the sum.
            fixed: What is settled.
            seconds: To look for it.
            kept: Sums of the selection that must not become larger than told.
        """
        low, high = np.zeros(self._count), np.ones(self._count)
        for task in self.problem.tasks:
            place = self._place[task.id]
            low[place] = (task.is_must and fixed.has_musts) or task.id in fixed.done
            high[place] = task.id not in fixed.left
        if (low > high).any():
            return None
        if not self._count:
            return Selection(frozenset(), frozenset()), Fraction(), True
        rules = [self._needs] if self._needs is not None else []
        rules += [self._at_most(*one) for one in kept]
        if fixed.has_budgets:
            rules += self._budgets()
        row, factor = _whole([goal.get(key, Fraction()) for key in self._ids])
        answer: Any = milp(
            np.concatenate([row, np.zeros(len(self._routes))]),
            integrality=np.ones(self._count, np.int64),
            bounds=Bounds(low, high),
            constraints=rules,
            options={"mip_rel_gap": 0.0, "time_limit": max(seconds, 0.01)},
        )
        if answer.x is None:
            return None
        is_on = np.round(answer.x).astype(bool)
        count = len(self.problem.tasks)
        selection = Selection(
            frozenset(key for key, on in zip(self._ids[:count], is_on, strict=False) if on),
            frozenset(key for key, on in zip(self._ids[count:], is_on[count:], strict=False) if on),
        )
        if not has_needs(self.problem, selection):
            return None
        bound = Fraction(float(answer.mip_dual_bound)) / (factor or 1)
        return selection, bound, bool(answer.status == 0)

    def _budgets(self) -> list[LinearConstraint]:
        limits = (
            (self.costs.hours, self.problem.hours_budget),
            (self.costs.money, self.problem.money_budget),
        )
        return [
            self._at_most(amounts, exact(limit)) for amounts, limit in limits if limit is not None
        ]

    def _at_most(self, amounts: Mapping[str, Fraction], limit: Fraction) -> LinearConstraint:
        row, factor = _whole([amounts.get(key, Fraction()) for key in self._ids])
        weights = np.zeros((1, self._count))
        weights[0, : len(row)] = row
        # Half a unit of slack where all sums are whole: no sum lies between.
        slack = 0.5 if factor is not None else _SLACK * float(np.abs(weights).max(initial=1.0))
        top = float(limit * factor // 1 if factor is not None else limit) + slack
        return LinearConstraint(csr_array(weights), -np.inf, top)

    def _needed(self) -> LinearConstraint | None:
        """Return that what is chosen has what it needs: one row for each need."""
        rows: list[list[tuple[int, float]]] = []
        for one in self.problem.work:
            rows += [self._row(self._place[one.id], need) for need in one.needs]
        for (choice, number), place in self._routes.items():
            rows += [[(place, 1.0), (self._place[key], -1.0)] for key in choice.routes[number]]
        if not rows:
            return None
        entries = [
            (row, column, value) for row, cells in enumerate(rows) for column, value in cells
        ]
        at_row, at_column, values = (np.array(each) for each in zip(*entries, strict=True))
        shape = (len(rows), self._count)
        return LinearConstraint(csr_array((values, (at_row, at_column)), shape=shape), -np.inf, 0.0)

    def _row(self, owner: int, need: Need) -> list[tuple[int, float]]:
        if isinstance(need, str):
            return [(owner, 1.0), (self._place[need], -1.0)]
        routes = [self._routes[need, number] for number in range(len(need.routes))]
        return [(owner, 1.0), *((place, -1.0) for place in routes)]


def _total(measure: Mapping[str, Fraction], selection: Selection) -> Fraction:
    keys = (*selection.tasks, *selection.steps)
    return sum((measure[key] for key in keys if key in measure), Fraction())


def _whole(numbers: Sequence[Fraction]) -> tuple[NDArray[np.float64], Fraction | None]:
    """Return numbers times what makes them whole and small, and that factor.

    Where they have too many figures for that, they stay as they are, and the factor is None.
    """
    denominator = lcm(*(number.denominator for number in numbers)) if numbers else 1
    whole = [int(number * denominator) for number in numbers]
    common = reduce(gcd, whole, 0) or 1
    if sum(abs(number) for number in whole) // common > _LARGEST_WHOLE:
        return np.array([float(number) for number in numbers]), None
    factor = Fraction(denominator, common)
    return np.array([float(number // common) for number in whole]), factor
