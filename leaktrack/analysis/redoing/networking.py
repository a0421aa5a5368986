"""Which piece of work waits for which? The network of one teardown, with heads and tails."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from graphlib import TopologicalSorter

from leaktrack.analysis.redoing.reaching import Selection
from leaktrack.model.redo_problem import RedoProblem, WorkKind


@dataclass(frozen=True, slots=True)
class Piece:
    """One piece of work, or one wait.

    Attributes:
        id: Of the step or task.
        hours: How long it takes.
        needs_hands: Whether somebody must do it; nobody works on a cure.
        after: Places, in the network, of what must be over before it starts.
    """

    id: str
    kind: WorkKind
    hours: float
    needs_hands: bool
    after: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Network:
    """Pieces of work, each after those it waits for.

    Attributes:
        heads: How long all that must come before each piece takes at the least.
        tails: How long each piece and all that must come after it takes at the least.
    """

    pieces: tuple[Piece, ...]
    heads: tuple[float, ...]
    tails: tuple[float, ...]

    @property
    def length(self) -> float:
        """Length of the critical path: nobody, however many, could be ready before."""
        return max(self.tails, default=0.0)

    def slacks(self) -> tuple[float, ...]:
        """Return how long each piece may be late without making all of it late."""
        return tuple(
            self.length - head - tail for head, tail in zip(self.heads, self.tails, strict=True)
        )


def network(pieces: Sequence[Piece]) -> Network:
    """Return the network of some pieces of work; its order is that of the pieces.

    Args:
        pieces: Each waits only for pieces before it.

    Source:
        The critical path method: J. E. Kelley, M. R. Walker, "Critical-path planning and
        scheduling", Eastern Joint Computer Conference, 1959; from memory.
    """
    heads, tails = [0.0] * len(pieces), [0.0] * len(pieces)
    for place, piece in enumerate(pieces):
        heads[place] = max(
            (heads[before] + pieces[before].hours for before in piece.after), default=0.0
        )
    for place in range(len(pieces) - 1, -1, -1):
        tails[place] += pieces[place].hours
        for before in pieces[place].after:
            tails[before] = max(tails[before], tails[place])
    return Network(tuple(pieces), tuple(heads), tuple(tails))


def teardown(
    problem: RedoProblem, selection: Selection, waits: Mapping[str, Sequence[str]]
) -> Network:
    """Return the network of a teardown: take off, work and cure, refit.

    A step is refitted after every task, and every refit of a step, that needed it off; where a
    task's cure blocks the refit, after that cure. What is off already is not refitted here.

    Args:
        problem: What there is to do.
        selection: What of it is done.
        waits: The steps that each chosen task and step waits for.
    """
    steps = {
        step.id: step for step in problem.steps if step.id in selection.steps and not step.is_done
    }
    tasks = {task.id: task for task in problem.tasks if task.id in selection.tasks}
    order = list(TopologicalSorter({key: waits[key] for key in steps}).static_order())
    plan = _Plan([], {})
    for key in order:
        plan.add(key, WorkKind.TAKE_OFF, steps[key].hours, waits[key])
    for key, task in tasks.items():
        plan.add(key, WorkKind.TASK, task.hours, waits[key])
        if task.cure_h > 0:
            plan.add_after(key, WorkKind.CURE, task.cure_h, [(key, WorkKind.TASK)])
    for key in reversed(order):
        after = [(key, WorkKind.TAKE_OFF)]
        for other in (other for other, needs in waits.items() if key in needs):
            after.append((other, WorkKind.REFIT if other in steps else WorkKind.TASK))
            if other in tasks and tasks[other].does_cure_block_refit and tasks[other].cure_h > 0:
                after.append((other, WorkKind.CURE))
        plan.add_after(key, WorkKind.REFIT, steps[key].refit_hours, after)
    return network(plan.pieces)


@dataclass(frozen=True, slots=True)
class _Plan:
    """Pieces of work as they are gathered, and where each stands among them."""

    pieces: list[Piece]
    places: dict[tuple[str, WorkKind], int]

    def add(self, key: str, kind: WorkKind, hours: float, steps: Sequence[str]) -> None:
        """Add work that begins once some steps are off."""
        self.add_after(key, kind, hours, [(step, WorkKind.TAKE_OFF) for step in steps])

    def add_after(
        self, key: str, kind: WorkKind, hours: float, after: Sequence[tuple[str, WorkKind]]
    ) -> None:
        """Add work that begins once other work is over."""
        places = tuple(self.places[one] for one in after)
        self.places[key, kind] = len(self.pieces)
        self.pieces.append(Piece(key, kind, hours, kind is not WorkKind.CURE, places))
