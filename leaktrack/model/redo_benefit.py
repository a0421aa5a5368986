"""What is it worth to do a task now? The factors, each of which a person can see and doubt."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from uuid import UUID

from leaktrack.model.redo_plan import AccessStep, RedoDecision, RedoPlan, RedoTask
from leaktrack.model.redo_problem import RedoAnswer, TaskWhy, WorkKind
from leaktrack.model.redo_terms import RedoTerms, WorkEstimate


class ChanceFrom(Enum):
    """What says how likely a joint leaks on, or leaks again, if it is left."""

    LEAKS = "leaks"
    HISTORY = "history"
    CHECK_FAILED = "check_failed"
    CHECK_OPEN = "check_open"
    RIDES_ALONG = "rides_along"
    TYPED = "typed"


class Standing(Enum):
    """Where a factor's number comes from."""

    TYPED = "typed"
    RECORDED = "recorded"
    COMPUTED = "computed"
    COMMON_PRACTICE = "common_practice"
    OWN_PROPOSAL = "own_proposal"


@dataclass(frozen=True, slots=True)
class Factor:
    """One number that goes into what a task is worth.

    Attributes:
        name: What it is, in words.
        unit: "" for a chance or a plain number, "h", "money" or "money/h".
        about_id: The leak that it is about, if it is about one.
    """

    name: str
    value: float
    standing: Standing
    unit: str = ""
    about_id: UUID | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Benefit:
    """Expected cost of leaving a task.

    Attributes:
        chance: That it comes back as a job of its own.
        chance_from: What says so.
        about_ids: The leaks or the check that say so.
        later_hours: Labour of a separate teardown for it, by the cheapest way in.
        later_money: Parts and fluids of that teardown.
        mess: Money for lost oil, cleaning and the risk of a leak on the road.
        hour_rate: Money for an hour of labour.
        factors: All that went into these numbers, with where each comes from.
    """

    chance: float
    chance_from: ChanceFrom
    about_ids: tuple[UUID, ...] = ()
    later_hours: float
    later_money: float
    mess: float
    hour_rate: float
    factors: tuple[Factor, ...] = ()

    @property
    def later_cost(self) -> float:
        """Money that it costs if it comes back."""
        return self.later_hours * self.hour_rate + self.later_money + self.mess

    @property
    def worth(self) -> float:
        """Money that doing it now is worth."""
        return self.chance * self.later_cost


@dataclass(frozen=True, slots=True)
class WeighedTask:
    """A task with what doing it now is worth, and why it is done or left.

    Attributes:
        task: With the hours that are reckoned with; see ``WeighedRedo.estimates``.
        why: None where the teardown cannot be done as asked, or nobody asked why.
    """

    task: RedoTask
    benefit: Benefit
    why: TaskWhy | None = None

    @property
    def is_chosen(self) -> bool:
        """Whether it is done."""
        return self.why is not None and self.why.is_chosen

    @property
    def worth_it_chance(self) -> float | None:
        """The chance above which it is done, all else being equal; above 1 means never by that.

        Below 0: it is done whatever the chance. None where that is not known.
        """
        turn = self.why.worth_it_from if self.why is not None else None
        if turn is None or self.benefit.later_cost <= 0:
            return None
        return turn / self.benefit.later_cost

    @property
    def saved_hours(self) -> float | None:
        """Labour that doing it now saves against a teardown of its own later."""
        marginal = self.why.marginal_hours if self.why is not None else None
        return None if marginal is None else self.benefit.later_hours - marginal


@dataclass(frozen=True, slots=True)
class WeighedRedo:
    """All open tasks of an engine, weighed against what they cost in one teardown.

    Attributes:
        tasks: In the order of the records; those that are never to be done among them.
        answer: Its ids are those of the records, as text.
        terms: On which it was weighed.
        steps: All access steps of the engine, with the hours that are reckoned with.
        estimates: How long each piece of work takes, by the id of its step or task.
    """

    tasks: tuple[WeighedTask, ...]
    answer: RedoAnswer
    terms: RedoTerms
    steps: tuple[AccessStep, ...]
    estimates: Mapping[tuple[UUID, WorkKind], WorkEstimate]

    @property
    def chosen(self) -> tuple[WeighedTask, ...]:
        """What is done."""
        wanted = set(self.answer.tasks)
        return tuple(one for one in self.tasks if str(one.task.id) in wanted)

    @property
    def left(self) -> tuple[WeighedTask, ...]:
        """What is left, those that are never to be done last."""
        wanted = set(self.answer.tasks)
        left = [one for one in self.tasks if str(one.task.id) not in wanted]
        return tuple(sorted(left, key=lambda one: one.task.decision is RedoDecision.NEVER))

    @property
    def name_of(self) -> Mapping[str, str]:
        """Names of steps and tasks by the ids that the answer uses."""
        tasks = {str(one.task.id): one.task.name for one in self.tasks}
        return tasks | {str(step.id): step.name for step in self.steps}


@dataclass(frozen=True, slots=True, kw_only=True)
class Replan:
    """A choice made while the work goes on, beside the plan that was kept last.

    Attributes:
        since: That plan; None where none was kept.
        done: On that plan, and done.
        still: On that plan, and to be done as before.
        dropped: On that plan, open, but not worth it any more.
        found: Worth it, and not on that plan.
    """

    weighed: WeighedRedo
    since: RedoPlan | None
    done: tuple[RedoTask, ...]
    still: tuple[RedoTask, ...]
    dropped: tuple[RedoTask, ...]
    found: tuple[RedoTask, ...]
