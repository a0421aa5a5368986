"""What comes off and what it gives access to, as a tree; what of it is chosen."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from enum import Enum
from uuid import UUID

from leaktrack.model.redo_plan import AccessStep, AnyOf, RedoTask, StepNeed


class NodeState(Enum):
    """What becomes of a step or task in the plan."""

    COMES_OFF = "comes_off"
    STAYS_ON = "stays_on"
    IS_OFF = "is_off"
    CHOSEN = "chosen"
    LEFT = "left"
    DONE = "done"
    OPEN = "open"
    """Not worked out yet."""


CHOSEN_STATES = frozenset({NodeState.COMES_OFF, NodeState.CHOSEN})


@dataclass(frozen=True, slots=True)
class Picked:
    """What a plan chooses.

    Attributes:
        tasks: Ids of the chosen tasks.
        steps: Ids of the steps that come off for them.
        ways: The steps that each of these waits for, by the ways that are taken.
    """

    tasks: frozenset[UUID]
    steps: frozenset[UUID]
    ways: Mapping[UUID, tuple[UUID, ...]]


@dataclass(eq=False, slots=True)
class PlanNode:
    """A step or task with what it gives access to.

    Attributes:
        also: Names of other steps that it needs, beside the one above it.
        ways: Ways in by which it can be reached, as names, where there is a choice; the one that
            is taken comes first.
    """

    record: AccessStep | RedoTask
    state: NodeState
    also: tuple[str, ...] = ()
    ways: tuple[tuple[str, ...], ...] = ()
    parent: "PlanNode | None" = None
    children: list["PlanNode"] = field(default_factory=list)

    @property
    def row(self) -> int:
        """Its place among those beside it."""
        return self.parent.children.index(self) if self.parent is not None else 0

    def walk(self) -> Iterator["PlanNode"]:
        """Yield it and all below it."""
        yield self
        for child in self.children:
            yield from child.walk()


def plan_tree(
    tasks: Sequence[RedoTask], steps: Sequence[AccessStep], picked: Picked | None
) -> tuple[PlanNode, ...]:
    """Return the roots: steps before which nothing must come off, and tasks that need none.

    Each hangs below the last step that it waits for; where it is reached by a choice of ways, below
    the one that is taken.

    Args:
        tasks: All tasks of the engine.
        steps: All its access steps.
        picked: What is chosen; None where that is not known.
    """
    by_id = {step.id: step for step in steps}
    depths = _depths(steps, by_id, picked)
    work: tuple[AccessStep | RedoTask, ...] = (*steps, *tasks)
    nodes = {
        one.id: PlanNode(one, _state(one, picked), ways=_ways(one.needs, by_id, picked))
        for one in work
    }
    roots = []
    for one in work:
        node = nodes[one.id]
        direct = [need for need in _direct(one.needs, picked) if need in by_id and need != one.id]
        if not direct:
            roots.append(node)
            continue
        above = max(direct, key=lambda need: (depths[need], by_id[need].position))
        node.parent = nodes[above]
        node.also = tuple(by_id[need].name for need in direct if need != above)
        nodes[above].children.append(node)
    return tuple(roots)


def _state(record: AccessStep | RedoTask, picked: Picked | None) -> NodeState:
    if record.is_done:
        return NodeState.DONE if isinstance(record, RedoTask) else NodeState.IS_OFF
    if picked is None:
        return NodeState.OPEN
    if isinstance(record, RedoTask):
        return NodeState.CHOSEN if record.id in picked.tasks else NodeState.LEFT
    return NodeState.COMES_OFF if record.id in picked.steps else NodeState.STAYS_ON


def _direct(needs: Sequence[StepNeed], picked: Picked | None) -> list[UUID]:
    """Return the steps needed at once, by the way that is taken."""
    found: list[UUID] = []
    for need in needs:
        found += _taken(need, picked) if isinstance(need, AnyOf) else (need,)
    return list(dict.fromkeys(found))


def _taken(need: AnyOf, picked: Picked | None) -> tuple[UUID, ...]:
    """Return the way that is taken; where none is, the first."""
    if picked is not None:
        for route in need.routes:
            if all(step in picked.steps for step in route):
                return route
    return need.routes[0] if need.routes else ()


def _ways(
    needs: Sequence[StepNeed], by_id: Mapping[UUID, AccessStep], picked: Picked | None
) -> tuple[tuple[str, ...], ...]:
    ways: list[tuple[str, ...]] = []
    for need in needs:
        if isinstance(need, AnyOf):
            first = _taken(need, picked)
            order = (first, *(route for route in need.routes if route != first))
            ways += [tuple(by_id[step].name for step in route if step in by_id) for route in order]
    return tuple(ways)


def _depths(
    steps: Sequence[AccessStep], by_id: Mapping[UUID, AccessStep], picked: Picked | None
) -> dict[UUID, int]:
    """Return how many steps come off before each one, one after the other."""
    depths: dict[UUID, int] = {}
    under_way: set[UUID] = set()

    def depth(step_id: UUID) -> int:
        if step_id not in depths:
            if step_id in under_way:  # a loop is refused elsewhere; here it must only end
                return 0
            under_way.add(step_id)
            below = [need for need in _direct(by_id[step_id].needs, picked) if need in by_id]
            depths[step_id] = 1 + max(map(depth, below), default=-1)
        return depths[step_id]

    for step in steps:
        depth(step.id)
    return depths
