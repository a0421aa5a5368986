"""Solve a redo problem: what to do in one teardown, in which order, and why."""

from collections.abc import Mapping
from dataclasses import replace
from types import MappingProxyType
from typing import TYPE_CHECKING

from leaktrack.model.redo_problem import RedoAnswer, RedoProblem, SolvedState
from leaktrack.workflows.project import Progress, silent

if TYPE_CHECKING:
    from leaktrack.analysis.redoing.choosing import Chooser, Chosen

_STEPS = 3
_QUICK_ORDER_SECONDS = 0.03
"""For looking for a better order where a first answer is wanted at once."""

_UNNAMED: Mapping[str, str] = MappingProxyType({})


def solved(
    problem: RedoProblem,
    progress: Progress = silent,
    *,
    never: frozenset[str] = frozenset(),
    names: Mapping[str, str] = _UNNAMED,
    is_explained: bool = True,
) -> RedoAnswer:
    """Return the best choice of tasks with its order and the reasons.

    Args:
        problem: What there is to choose from.
        progress: Called as it goes on.
        never: Ids of tasks that are not to be chosen; what they would be worth is told all the
            same.
        names: What people call tasks and budgets, where that is not their id.
        is_explained: Whether to find out why. Without that, the answer is there at once: the choice
            is as good, its order is looked for only briefly.

    Raises:
        Cancelled: Stopped by ``progress``.
    """
    # The solver takes a moment to load, and only those who plan need it.
    from leaktrack.analysis.redoing.choosing import Chooser, Fixed
    from leaktrack.analysis.redoing.conflicting import conflict
    from leaktrack.analysis.redoing.explaining import explained

    progress(0, _STEPS, "choosing")
    chooser = Chooser(problem)
    chosen = chooser.best(Fixed(left=never))
    if chosen is None:
        said = conflict(chooser, names, never) or (
            "No choice was found that meets all that must be."
        )
        return RedoAnswer(state=SolvedState.INFEASIBLE, conflict=said)
    answer = _answer(chooser, chosen, progress, is_quick=not is_explained)
    if not is_explained:
        return answer
    progress(2, _STEPS, "asking why")
    why = explained(chooser, chosen, never, pause=lambda: progress(2, _STEPS, "asking why"))
    progress(_STEPS, _STEPS, "")
    return replace(answer, why=why)


def _answer(
    chooser: "Chooser", chosen: "Chosen", progress: Progress, *, is_quick: bool
) -> RedoAnswer:
    from leaktrack.analysis.redoing.networking import teardown
    from leaktrack.analysis.redoing.ordering import MOST_SECONDS, ordered
    from leaktrack.analysis.redoing.reaching import routes_taken

    problem, costs, selection = chooser.problem, chooser.costs, chosen.selection
    progress(1, _STEPS, "ordering")
    waits = routes_taken(problem, selection, costs)
    seconds = _QUICK_ORDER_SECONDS if is_quick else MOST_SECONDS
    schedule = ordered(teardown(problem, selection, waits), problem.workers, seconds)
    return RedoAnswer(
        state=SolvedState.OPTIMAL if chosen.is_proven else SolvedState.FEASIBLE,
        tasks=tuple(task.id for task in problem.tasks if task.id in selection.tasks),
        steps=tuple(step.id for step in problem.steps if step.id in selection.steps),
        value=float(costs.value(selection)),
        most_value=float(chosen.most_value),
        labour_hours=float(costs.labour(selection)),
        money=float(costs.spent(selection)),
        schedule=schedule,
    )
