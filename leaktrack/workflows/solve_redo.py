"""Solve a redo problem: what to do in one teardown, in which order, and why."""

from typing import TYPE_CHECKING

from leaktrack.model.redo_problem import RedoAnswer, RedoProblem, SolvedState
from leaktrack.workflows.project import Progress, silent

if TYPE_CHECKING:
    from leaktrack.analysis.redoing.choosing import Chooser, Chosen

_STEPS = 3


def solved(problem: RedoProblem, progress: Progress = silent) -> RedoAnswer:
    """Return the best choice of tasks with its order and the reasons.

    Raises:
        Cancelled: Stopped by ``progress``.
    """
    # The solver takes a moment to load, and only those who plan need it.
    from leaktrack.analysis.redoing.choosing import Chooser
    from leaktrack.analysis.redoing.conflicting import conflict

    progress(0, _STEPS, "choosing")
    chooser = Chooser(problem)
    chosen = chooser.best()
    if chosen is None:
        said = conflict(chooser) or "No choice was found that meets all that must be."
        return RedoAnswer(state=SolvedState.INFEASIBLE, conflict=said)
    return _answer(chooser, chosen, progress)


def _answer(chooser: "Chooser", chosen: "Chosen", progress: Progress) -> RedoAnswer:
    from leaktrack.analysis.redoing.explaining import explained
    from leaktrack.analysis.redoing.networking import teardown
    from leaktrack.analysis.redoing.ordering import ordered
    from leaktrack.analysis.redoing.reaching import routes_taken

    problem, costs, selection = chooser.problem, chooser.costs, chosen.selection
    progress(1, _STEPS, "ordering")
    waits = routes_taken(problem, selection, costs)
    schedule = ordered(teardown(problem, selection, waits), problem.workers)
    progress(2, _STEPS, "asking why")
    why = explained(chooser, chosen, pause=lambda: progress(2, _STEPS, "asking why"))
    progress(_STEPS, _STEPS, "")
    return RedoAnswer(
        state=SolvedState.OPTIMAL if chosen.is_proven else SolvedState.FEASIBLE,
        tasks=tuple(task.id for task in problem.tasks if task.id in selection.tasks),
        steps=tuple(step.id for step in problem.steps if step.id in selection.steps),
        value=float(costs.value(selection)),
        most_value=float(chosen.most_value),
        labour_hours=float(costs.labour(selection)),
        money=float(costs.spent(selection)),
        schedule=schedule,
        why=why,
    )
