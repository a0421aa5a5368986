"""Read a redo problem from a JSON file; what is wrong with it is said with its place."""

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from graphlib import CycleError, TopologicalSorter
from math import isfinite
from pathlib import Path
from typing import Any

from leaktrack.model.errors import BadInput
from leaktrack.model.redo_problem import AnyOf, Need, RedoProblem, Step, Task

_LARGEST_BYTES = 50_000_000
_TOP = ("steps", "tasks", "hour_rate", "workers", "hours_budget", "money_budget")
_STEP = ("id", "hours", "refit_hours", "money", "done", "needs")
_TASK = (*("id", "hours", "benefit", "money", "must", "cure_h", "cure_blocks_refit", "needs"),)
_MOST_WORKERS = 1000


@dataclass(frozen=True, slots=True)
class NamedProblem:
    """A redo problem whose ids are all different, and what its author calls each of them."""

    problem: RedoProblem
    names: Mapping[str, str]


def read_redo_problem(path: Path) -> NamedProblem:
    """Return the problem that a file holds.

    Raises:
        BadInput: The file cannot be read, is no JSON, or has something wrong in it; the text says
            where.
    """
    try:
        if path.stat().st_size > _LARGEST_BYTES:
            raise BadInput(f"{path.name} is too large for a redo problem. Choose another file.")
        told = json.loads(path.read_bytes().decode("utf-8-sig"), parse_constant=_no_number)
    except OSError as error:
        raise BadInput(f"{path.name} cannot be opened: {error.strerror or error}.") from error
    except UnicodeDecodeError as error:
        raise BadInput(f"{path.name} is no text in UTF-8. Save it as JSON in UTF-8.") from error
    except RecursionError as error:
        raise BadInput(f"{path.name} is nested too deeply for a redo problem.") from error
    except json.JSONDecodeError as error:
        raise BadInput(
            f"{path.name} is no JSON: {error.msg} in line {error.lineno}, column {error.colno}. "
            "Correct that place."
        ) from error
    except ValueError as error:
        raise BadInput(f"{path.name}: {error}. Nothing was solved.") from error
    try:
        return problem_of(told)
    except BadInput as error:
        raise BadInput(f"{path.name}: {error} Nothing was solved; correct that place.") from error


def problem_of(told: object) -> NamedProblem:
    """Return the problem that parsed JSON tells.

    Raises:
        BadInput: Something is wrong; the text begins with its place.
    """
    top = _Fields(told, "the problem", _TOP)
    step_fields = [
        _Fields(one, f"steps[{number}]", _STEP) for number, one in enumerate(top.items("steps"))
    ]
    task_fields = [
        _Fields(one, f"tasks[{number}]", _TASK) for number, one in enumerate(top.items("tasks"))
    ]
    steps = tuple(_step(fields) for fields in step_fields)
    _check_ids(step_fields)
    _check_ids(task_fields)
    names = {step.id: step.id for step in steps}
    tasks = []
    for fields in task_fields:
        key = name = fields.name("id")
        while key in names:  # a task may be called as a step is
            key += " (task)"
        names[key] = name
        tasks.append(_task(fields, key))
    problem = RedoProblem(
        steps=steps,
        tasks=tuple(tasks),
        hour_rate=top.number("hour_rate"),
        workers=top.count("workers", 1),
        hours_budget=top.limit("hours_budget"),
        money_budget=top.limit("money_budget"),
    )
    _check_needs(steps, step_fields, steps)
    _check_needs(problem.tasks, task_fields, steps)
    _check_circles(steps)
    return NamedProblem(problem, names)


def _step(fields: "_Fields") -> Step:
    return Step(
        id=fields.name("id"),
        hours=fields.number("hours"),
        refit_hours=fields.number("refit_hours", 0.0),
        money=fields.number("money", 0.0),
        is_done=fields.truth("done"),
        needs=fields.needs(),
    )


def _task(fields: "_Fields", key: str) -> Task:
    return Task(
        id=key,
        hours=fields.number("hours"),
        benefit=fields.number("benefit", can_be_negative=True),
        money=fields.number("money", 0.0),
        is_must=fields.truth("must"),
        cure_h=fields.number("cure_h", 0.0),
        does_cure_block_refit=fields.truth("cure_blocks_refit"),
        needs=fields.needs(),
    )


class _Fields:
    """The fields of one JSON object, each with its place in the file."""

    def __init__(self, told: object, place: str, known: Sequence[str]) -> None:
        if not isinstance(told, dict):
            raise BadInput(f"{place} must be an object in braces, not {_shown(told)}.")
        strange = [key for key in told if key not in known]
        if strange:
            raise BadInput(f"{place} has a field {strange[0]!r} that nobody knows.")
        self.place = place
        self._told: dict[str, Any] = told

    def items(self, key: str) -> list[object]:
        """Return a list that must be there."""
        found = self._needed(key)
        if not isinstance(found, list):
            raise self.complaint(key, f"must be a list, not {_shown(found)}")
        return found

    def name(self, key: str) -> str:
        """Return a text that must be there."""
        found = self._needed(key)
        if not isinstance(found, str) or not found:
            raise self.complaint(key, f"must be a text, not {_shown(found)}")
        return found

    def number(
        self, key: str, default: float | None = None, *, can_be_negative: bool = False
    ) -> float:
        """Return a number; it must be there where there is no default."""
        found = self._needed(key) if default is None else self._told.get(key, default)
        is_number = isinstance(found, int | float) and not isinstance(found, bool)
        if not is_number or not isfinite(found):
            raise self.complaint(key, f"must be a number, not {_shown(found)}")
        if found < 0 and not can_be_negative:
            raise self.complaint(key, f"is {found:g}, but cannot be below 0")
        return float(found)

    def count(self, key: str, default: int) -> int:
        """Return a whole number from 1 on."""
        found = self._told.get(key, default)
        is_whole = isinstance(found, int | float) and not isinstance(found, bool)
        if not is_whole or found != int(found) or not 1 <= found <= _MOST_WORKERS:
            raise self.complaint(
                key, f"must be a whole number from 1 to {_MOST_WORKERS}, not {_shown(found)}"
            )
        return int(found)

    def limit(self, key: str) -> float | None:
        """Return a number, or None for no limit."""
        return None if self._told.get(key) is None else self.number(key)

    def truth(self, key: str) -> bool:
        """Return true or false."""
        found = self._told.get(key, False)
        if not isinstance(found, bool):
            raise self.complaint(key, f"must be true or false, not {_shown(found)}")
        return found

    def needs(self) -> tuple[Need, ...]:
        """Return what is needed."""
        found = self._told.get("needs", [])
        if not isinstance(found, list):
            raise self.complaint("needs", f"must be a list, not {_shown(found)}")
        return tuple(self._need(number, one) for number, one in enumerate(found))

    def complaint(self, key: str, what: str) -> BadInput:
        """Return the error that says what is wrong with a field."""
        return BadInput(f"{self.place}.{key} {what}.")

    def _need(self, number: int, told: object) -> Need:
        key = f"needs[{number}]"
        if isinstance(told, str) and told:
            return told
        if not isinstance(told, dict) or list(told) != ["any_of"]:
            wanted = 'must be a step\'s id or {"any_of": [[...], ...]}'
            raise self.complaint(key, f"{wanted}, not {_shown(told)}")
        routes = told["any_of"]
        if not isinstance(routes, list) or not routes:
            raise self.complaint(f"{key}.any_of", "must be a list with at least one route")
        for place, route in enumerate(routes):
            if not isinstance(route, list) or not all(isinstance(one, str) for one in route):
                what = f"must be a list of steps' ids, not {_shown(route)}"
                raise self.complaint(f"{key}.any_of[{place}]", what)
        return AnyOf(tuple(tuple(route) for route in routes))

    def _needed(self, key: str) -> Any:
        if key not in self._told:
            raise BadInput(f"{self.place} has no {key!r}.")
        return self._told[key]


def _no_number(told: str) -> float:
    raise ValueError(f"{told} is no number")


def _check_ids(fields: Sequence[_Fields]) -> None:
    first: dict[str, str] = {}
    for one in fields:
        name = one.name("id")
        if name in first:
            raise one.complaint("id", f"is {name!r}, as that of {first[name]} is")
        first[name] = one.place


def _check_needs(
    owners: Sequence[Step | Task], fields: Sequence[_Fields], steps: Sequence[Step]
) -> None:
    known = {step.id for step in steps}
    for owner, one in zip(owners, fields, strict=True):
        for number, need in enumerate(owner.needs):
            missing = next((step for step in _ids(need) if step not in known), None)
            if missing is not None:
                raise one.complaint(f"needs[{number}]", f"names {missing!r}, which is no step")


def _check_circles(steps: Sequence[Step]) -> None:
    """Refuse steps that wait for each other, by whatever route."""
    number = {step.id: place for place, step in enumerate(steps)}
    waits = {step.id: {one for need in step.needs for one in _ids(need)} for step in steps}
    try:
        TopologicalSorter(waits).prepare()
    except CycleError as error:
        circle = list(reversed(error.args[1]))
        chain = " needs ".join(repr(step) for step in circle)
        raise BadInput(
            f"steps[{number[circle[0]]}].needs goes round in a circle: {chain}."
        ) from error


def _ids(need: Need) -> Iterator[str]:
    if isinstance(need, AnyOf):
        yield from (step for route in need.routes for step in route)
    else:
        yield need


def _shown(told: object) -> str:
    """Return what stands there, shortened."""
    text = json.dumps(told, ensure_ascii=False)
    return text if len(text) <= 40 else text[:37] + "..."
