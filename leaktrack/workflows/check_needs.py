"""Refuse needs of a teardown that cannot be right, and keep them right when a step goes."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import product
from typing import TypeVar
from uuid import UUID

from leaktrack.model.errors import BadInput
from leaktrack.model.redo_plan import AccessStep, AnyOf, RedoTask, StepNeed, steps_in

T = TypeVar("T", AccessStep, RedoTask)


def check_needs(name: str, needs: Sequence[StepNeed], steps: Sequence[AccessStep]) -> None:
    """Refuse needs for steps that are not there, and choices that leave nothing to choose.

    Args:
        name: Of what has these needs.
        needs: What must be off.
        steps: All access steps of the engine.

    Raises:
        BadInput: The first such need.
    """
    if not set(steps_in(needs)) <= {step.id for step in steps}:
        raise BadInput(
            f"One of the access steps that {name} needs is not there any more. Nothing was "
            "changed. Choose from the steps of this engine."
        )
    for number, need in enumerate(needs, start=1):
        if isinstance(need, AnyOf) and (not need.routes or not all(need.routes)):
            raise BadInput(
                f"{name}: in need {number} there is a way in without any access step. Nothing was "
                "changed. Name at least one step for each way in, or take the choice away."
            )


def without_step(record: T, gone: AccessStep) -> T:
    """Return a step or task that needs, in place of a step that goes, what that step needed.

    So nothing is forgotten. A way in that is empty then makes its choice needless.
    """
    inherited = [need for need in gone.needs if need != record.id]
    kept: dict[StepNeed, None] = {}
    for need in record.needs:
        if need == gone.id:
            continue
        if not isinstance(need, AnyOf) or gone.id not in steps_in([need]):
            kept[need] = None
            continue
        routes = dict.fromkeys(
            way for route in need.routes for way in _ways_around(route, gone.id, inherited)
        )
        if all(routes):
            kept |= dict.fromkeys(_need(tuple(routes)))
    if gone.id in record.needs:
        kept |= dict.fromkeys(inherited)
    return replace(record, needs=tuple(kept))


def _ways_around(
    route: tuple[UUID, ...], gone: UUID, inherited: Sequence[StepNeed]
) -> Iterator[tuple[UUID, ...]]:
    """Yield a way in without a step; several, where that step could be reached by several."""
    if gone not in route:
        yield route
        return
    rest = [step_id for step_id in route if step_id != gone]
    choices = [need.routes if isinstance(need, AnyOf) else ((need,),) for need in inherited]
    for ways in product(*choices):
        yield tuple(dict.fromkeys([*rest, *(step_id for way in ways for step_id in way)]))


def _need(routes: tuple[tuple[UUID, ...], ...]) -> tuple[StepNeed, ...]:
    """Return needs for a choice of ways in; one way is no choice."""
    return routes[0] if len(routes) == 1 else (AnyOf(routes),)
