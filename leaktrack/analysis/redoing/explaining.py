"""Why is a task done, or left? Found by solving again, not by rules of thumb."""

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from time import monotonic

from leaktrack.analysis.redoing.choosing import Chooser, Chosen, Fixed
from leaktrack.analysis.redoing.rating import rate_spans
from leaktrack.analysis.redoing.reaching import Selection, exact, reached
from leaktrack.model.redo_problem import RateSpan, Task, TaskWhy

MOST_SECONDS = 3.0
"""For all thresholds together; own judgement."""

_SHARE_OF_TASKS = 0.7  # of that time, for one task after the other; the rest is for hour rates


def explained(
    chooser: Chooser,
    chosen: Chosen,
    never: frozenset[str] = frozenset(),
    seconds: float = MOST_SECONDS,
    pause: Callable[[], None] = lambda: None,
) -> tuple[TaskWhy, ...]:
    """Return for each task what it costs alone and beside the others, and from when it is worth it.

    Args:
        chooser: The problem.
        chosen: What was chosen.
        never: Ids of tasks that were not to be chosen.
        seconds: For solving again; what is not found by then stays unknown.
        pause: Called before each task; may raise to stop.
    """
    began = monotonic()
    until = began + _SHARE_OF_TASKS * seconds
    hours = _Hours(chooser, until)
    done = []
    for task in chooser.problem.tasks:
        pause()
        done.append(_why(chooser, chosen, task, never, hours, is_in_time=monotonic() < until))
    pause()
    spans = (
        rate_spans(chooser, chosen.selection, never, began + seconds) if chosen.is_proven else {}
    )
    return tuple(_with_rates(one, spans.get(one.task)) for one in done)


def worth_it_from(
    chooser: Chooser, chosen: Chosen, task: Task, never: frozenset[str] = frozenset()
) -> Fraction | None:
    """Return the benefit above which a task is done, all else being equal.

    That is what the best choice without it is worth, less what the best with it is worth but for
    its own benefit. None where it cannot be done at all within the budgets, or cannot be left.
    """
    if task.is_must:
        return None
    is_in = task.id in chosen.selection.tasks
    others = never - {task.id}
    turned = (
        Fixed(left=others | {task.id}) if is_in else Fixed(done=frozenset([task.id]), left=others)
    )
    other = chooser.most_worth(turned)
    if other is None:
        return None
    here = chooser.costs.value(chosen.selection)
    with_it, without = (here, other) if is_in else (other, here)
    return without - (with_it - exact(task.benefit))


def _with_rates(why: TaskWhy, rates: RateSpan | None) -> TaskWhy:
    if rates is None:
        return why
    sides = [("below", rates.low), ("above", rates.high)]
    turns = [f"{side} an hour rate of {_told(exact(at))}" for side, at in sides if at is not None]
    if not turns:
        return replace(why, rates=rates)
    otherwise = "Left" if why.is_chosen else "Would be done"
    return replace(why, rates=rates, reason=f"{why.reason} {otherwise} {' or '.join(turns)}.")


class _Hours:
    """Labour of some tasks and nothing else, by the cheapest way in; None where unknown in time."""

    def __init__(self, chooser: Chooser, until: float) -> None:
        self._chooser = chooser
        self._until = until
        self._known: dict[frozenset[str], Fraction | None] = {}

    def of(self, tasks: frozenset[str]) -> Fraction | None:
        """Return the hours."""
        if tasks not in self._known:
            steps = reached(self._chooser.problem, tasks)
            if steps is not None:
                selection: Selection | None = Selection(tasks, steps)
            else:
                selection = self._chooser.cheapest(tasks) if monotonic() < self._until else None
            labour = None if selection is None else self._chooser.costs.labour(selection)
            self._known[tasks] = labour
        return self._known[tasks]


def _why(
    chooser: Chooser,
    chosen: Chosen,
    task: Task,
    never: frozenset[str],
    hours: _Hours,
    *,
    is_in_time: bool,
) -> TaskWhy:
    is_chosen = task.id in chosen.selection.tasks
    others = chosen.selection.tasks - {task.id}
    alone = hours.of(frozenset([task.id]))
    without, with_it = hours.of(others), hours.of(others | {task.id})
    marginal = None if with_it is None or without is None else with_it - without
    threshold = worth_it_from(chooser, chosen, task, never) if is_in_time else None
    return TaskWhy(
        task=task.id,
        is_chosen=is_chosen,
        alone_hours=None if alone is None else float(alone),
        marginal_hours=None if marginal is None else float(marginal),
        worth_it_from=None if threshold is None else float(threshold),
        reason=_reason(
            task, alone, marginal, threshold, is_chosen=is_chosen, is_never=task.id in never
        ),
    )


def _reason(
    task: Task,
    alone: Fraction | None,
    marginal: Fraction | None,
    threshold: Fraction | None,
    *,
    is_chosen: bool,
    is_never: bool,
) -> str:
    """Return the reason in one sentence."""
    hours = ""
    if alone is not None and marginal is not None:
        hours = f" It takes {_told(marginal)} h more now, {_told(alone)} h as a job of its own."
    if task.is_must:
        return f"Must be done.{hours}"
    if is_never and threshold is not None:
        worth = f"Worth {_told(exact(task.benefit))}; worth doing above {_told(threshold)}."
        return f"Never to be done. {worth}{hours}"
    if threshold is None:
        return f"{'Chosen' if is_chosen else 'Not chosen'}.{hours}"
    if is_chosen:
        return f"Worth {_told(exact(task.benefit))}; done above {_told(threshold)}.{hours}"
    return f"Worth {_told(exact(task.benefit))}; would be done above {_told(threshold)}.{hours}"


def _told(number: Fraction) -> str:
    return f"{float(number):.10g}" if number.denominator <= 100 else f"{float(number):.2f}"
