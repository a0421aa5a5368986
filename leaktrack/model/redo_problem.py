"""A redo problem: which work to do in one teardown; and the answer to it, with its order."""

from dataclasses import dataclass
from enum import Enum


@dataclass(frozen=True, slots=True)
class AnyOf:
    """A choice of routes: the steps of one of them must all be off."""

    routes: tuple[tuple[str, ...], ...]


Need = str | AnyOf
"""A step that must be off, by its id, or a choice of routes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """Access work: something that must come off, drain or move aside.

    Attributes:
        hours: Person-hours to take it off.
        refit_hours: Person-hours to put it back.
        money: Single-use parts and fluids.
        is_done: Off already: it costs nothing now, and its refit will happen anyway.
        needs: What must be off before it.
    """

    id: str
    hours: float
    refit_hours: float = 0.0
    money: float = 0.0
    is_done: bool = False
    needs: tuple[Need, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """Work that may be done in the teardown.

    Attributes:
        hours: Person-hours of its own.
        benefit: Money that doing it now is worth: the expected cost of leaving it.
        money: Parts and materials.
        is_must: It is done whatever it costs.
        benefit_hours: Labour in the benefit, in hours: so much of it goes with the hour rate.
        cure_h: Hours that must pass afterwards before the engine is ready; nobody works on it.
        does_cure_block_refit: What it needs off may go back on only after the cure.
        needs: What must be off before it.
    """

    id: str
    hours: float
    benefit: float
    benefit_hours: float = 0.0
    money: float = 0.0
    is_must: bool = False
    cure_h: float = 0.0
    does_cure_block_refit: bool = False
    needs: tuple[Need, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class RedoProblem:
    """Which tasks to do, so that benefit less labour less money is largest.

    Attributes:
        hour_rate: Money for an hour of labour.
        hours_budget: Upper limit on all labour: taking off, tasks, refitting.
        money_budget: Upper limit on parts and the money of steps; labour does not count.

    Raises:
        ValueError: Two of its steps and tasks have the same id.
    """

    steps: tuple[Step, ...]
    tasks: tuple[Task, ...]
    hour_rate: float
    workers: int = 1
    hours_budget: float | None = None
    money_budget: float | None = None

    def __post_init__(self) -> None:
        if len({one.id for one in self.work}) < len(self.work):
            raise ValueError("steps and tasks of a redo problem need different ids")

    @property
    def work(self) -> tuple[Task | Step, ...]:
        """All tasks and steps."""
        return (*self.tasks, *self.steps)


class SolvedState(Enum):
    """How good an answer is."""

    OPTIMAL = "optimal"
    FEASIBLE = "feasible"
    INFEASIBLE = "infeasible"


class WorkKind(Enum):
    """What a slot of a schedule is."""

    TAKE_OFF = "take-off"
    TASK = "task"
    CURE = "cure"
    REFIT = "refit"


@dataclass(frozen=True, slots=True)
class Slot:
    """One piece of work in a schedule.

    Attributes:
        id: Of the step or task.
        worker: Who does it, counted from 1; None for a cure, which needs nobody.
        start_h: Hours of work from the beginning.
        end_h: The same.
    """

    id: str
    kind: WorkKind
    worker: int | None
    start_h: float
    end_h: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Schedule:
    """When to do what.

    Attributes:
        ready_h: When all work and all cures are over.
        least_h: Nobody could be ready before; the same as ``ready_h`` where it is proven best.
    """

    slots: tuple[Slot, ...]
    ready_h: float
    least_h: float


@dataclass(frozen=True, slots=True)
class RateSpan:
    """Between which hour rates a task stays done, or left, as it is at the rate of the problem.

    Attributes:
        low: Below this it is chosen otherwise; None where it never is.
        high: Above this, likewise.
    """

    low: float | None
    high: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class TaskWhy:
    """Why a task is done or left.

    Attributes:
        alone_hours: Labour if it were the only one, by the cheapest way in.
        marginal_hours: Labour that it adds to the other chosen tasks.
        worth_it_from: Benefit from which on it is done, all else being equal; None where nothing
            would make it possible, or where there was no time to find out.
        rates: At which hour rates that stays so; None where it is settled beforehand, or where
            there was no time to find out.
    """

    task: str
    is_chosen: bool
    alone_hours: float | None
    marginal_hours: float | None
    worth_it_from: float | None
    reason: str
    rates: RateSpan | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class RedoAnswer:
    """What to do.

    Attributes:
        tasks: Ids of the chosen ones, in the order of the problem.
        steps: Ids of what must be off for them, those off already among them.
        value: Benefits of chosen tasks, less labour, less money.
        most_value: No choice could be worth more; the same as ``value`` where it is proven best.
        conflict: In words, what makes it infeasible; empty otherwise.
    """

    state: SolvedState
    tasks: tuple[str, ...] = ()
    steps: tuple[str, ...] = ()
    value: float | None = None
    most_value: float | None = None
    labour_hours: float | None = None
    money: float | None = None
    schedule: Schedule | None = None
    why: tuple[TaskWhy, ...] = ()
    conflict: str = ""
