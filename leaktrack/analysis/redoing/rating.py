"""At which hour rates would the choice be another? Found by solving again, not by rules of thumb.

What a selection is worth falls or rises in a straight line with the hour rate, so the best choice
is the upper rim of many such lines. Its corners are found one by one: where two lines that are best
somewhere meet, either nothing is better, and that is a corner, or a third line is found.

Source:
    M. J. Eisner, D. G. Severance, "Mathematical techniques for efficient record segmentation in
    large shared databases", Journal of the ACM 23(4), 1976 (walking along such a rim); from memory.
"""

from dataclasses import dataclass
from fractions import Fraction
from time import monotonic

from leaktrack.analysis.redoing.choosing import Chooser, Fixed
from leaktrack.analysis.redoing.reaching import Selection, exact
from leaktrack.model.redo_problem import RateSpan

_BETTER = Fraction(1, 100_000)
"""Money; what the solver finds better by less than this is its rounding."""


def rate_spans(
    chooser: Chooser, selection: Selection, never: frozenset[str], until: float
) -> dict[str, RateSpan]:
    """Return between which hour rates each task stays done, or left, all else being equal.

    Labour in benefits goes with the rate, see ``Task.benefit_hours``.

    Args:
        chooser: The problem.
        selection: The best one at its hour rate.
        never: Ids of tasks that are not to be done.
        until: When to stop looking, by ``time.monotonic``.

    Returns:
        By task; those that must or must never be done are left out, as are those about which too
        little was found out in time.
    """
    rim = _Rim(chooser, Fixed(left=never), until)
    here = rim.line(selection)
    above, is_above_known = _corners(rim, here, rim.at_the_highest())
    below, is_below_known = _corners(rim, here, rim.best_at(Fraction()))
    spans = {}
    for task in chooser.problem.tasks:
        if task.is_must or task.id in never:
            continue
        is_in = task.id in selection.tasks
        high = _turn(above, task.id, is_in=is_in)
        low = _turn(below, task.id, is_in=is_in)
        if (high is not None or is_above_known) and (low is not None or is_below_known):
            spans[task.id] = RateSpan(
                None if low is None else float(low), None if high is None else float(high)
            )
    return spans


@dataclass(frozen=True, slots=True)
class _Line:
    """A selection, and what it is worth: so much at no rate, less so much for each of the rate."""

    selection: Selection
    worth: Fraction
    hours: Fraction

    def at(self, rate: Fraction) -> Fraction:
        return self.worth - rate * self.hours


@dataclass(frozen=True, slots=True)
class _Corner:
    """From this rate on, away from today's, another selection is best."""

    rate: Fraction
    beyond: _Line


class _OutOfTime(Exception):
    pass


class _Rim:
    """Solves one problem at other hour rates."""

    def __init__(self, chooser: Chooser, fixed: Fixed, until: float) -> None:
        self._chooser, self._fixed, self._until = chooser, fixed, until
        costs, rate = chooser.costs, exact(chooser.problem.hour_rate)
        self._hours = dict(costs.hours)
        for task in chooser.problem.tasks:
            self._hours[task.id] -= exact(task.benefit_hours)
        self._worth = {key: gain + rate * self._hours[key] for key, gain in costs.gain.items()}

    def line(self, selection: Selection) -> _Line:
        """Return the line of a selection."""
        keys = (*selection.tasks, *selection.steps)
        return _Line(
            selection,
            sum((self._worth[key] for key in keys), Fraction()),
            sum((self._hours[key] for key in keys), Fraction()),
        )

    def best_at(self, rate: Fraction) -> _Line | None:
        """Return what is best at a rate; None where there was no time to find out."""
        goal = {key: rate * self._hours[key] - worth for key, worth in self._worth.items()}
        return self._found([goal])

    def at_the_highest(self) -> _Line | None:
        """Return what is best at rates beyond all corners: least hours, then most worth."""
        return self._found([self._hours, {key: -worth for key, worth in self._worth.items()}])

    def _found(self, goals: list[dict[str, Fraction]]) -> _Line | None:
        seconds = self._until - monotonic()
        if seconds <= 0:
            return None
        selection = self._chooser.least_by(goals, self._fixed, seconds)
        return None if selection is None else self.line(selection)


def _corners(rim: _Rim, here: _Line, far: _Line | None) -> tuple[list[_Corner], bool]:
    """Return the corners from here on, the nearest first, and whether these are all."""
    found: list[_Corner] = []
    if far is None:
        return found, False
    try:
        _gather(rim, here, far, found)
    except _OutOfTime:
        return found, False
    return found, True


def _gather(rim: _Rim, near: _Line, far: _Line, found: list[_Corner]) -> None:
    """Find corner after corner, away from today's rate; those found before time ran out count."""
    waiting = [far]
    while waiting:
        far = waiting[-1]
        if near.hours == far.hours:  # the same line, or one that lies below it everywhere
            near = waiting.pop()
            continue
        meet = (near.worth - far.worth) / (near.hours - far.hours)
        between = rim.best_at(meet)
        if between is None:
            raise _OutOfTime
        if between.at(meet) > near.at(meet) + _BETTER:
            waiting.append(between)
            continue
        found.append(_Corner(meet, far))
        near = waiting.pop()


def _turn(corners: list[_Corner], task: str, *, is_in: bool) -> Fraction | None:
    """Return the nearest rate at which a task is chosen otherwise."""
    turned = (one.rate for one in corners if (task in one.beyond.selection.tasks) is not is_in)
    return next(turned, None)
