"""Read a redo problem from a JSON file; what is wrong with it is said with its place."""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from leaktrack.model.errors import BadInput
from leaktrack.model.redo_problem import RedoProblem, Step, Task
from leaktrack.workflows.read_fields import Fields, check_circles, check_ids, check_needs

_LARGEST_BYTES = 50_000_000
_TOP = ("steps", "tasks", "hour_rate", "workers", "hours_budget", "money_budget")
_STEP = ("id", "hours", "refit_hours", "money", "done", "needs")
_TASK = (*("id", "hours", "benefit", "money", "must", "cure_h", "cure_blocks_refit", "needs"),)


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
    top = Fields(told, "the problem", _TOP)
    step_fields = [
        Fields(one, f"steps[{number}]", _STEP) for number, one in enumerate(top.items("steps"))
    ]
    task_fields = [
        Fields(one, f"tasks[{number}]", _TASK) for number, one in enumerate(top.items("tasks"))
    ]
    steps = tuple(_step(fields) for fields in step_fields)
    check_ids(step_fields)
    check_ids(task_fields)
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
    names_of_steps = [step.id for step in steps]
    check_needs([step.needs for step in steps], step_fields, names_of_steps)
    check_needs([task.needs for task in tasks], task_fields, names_of_steps)
    places = {step.id: one.place for step, one in zip(steps, step_fields, strict=True)}
    check_circles({step.id: step.needs for step in steps}, places)
    return NamedProblem(problem, names)


def _step(fields: Fields) -> Step:
    return Step(
        id=fields.name("id"),
        hours=fields.number("hours"),
        refit_hours=fields.number("refit_hours", 0.0),
        money=fields.number("money", 0.0),
        is_done=fields.truth("done"),
        needs=fields.needs(),
    )


def _task(fields: Fields, key: str) -> Task:
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


def _no_number(told: str) -> float:
    raise ValueError(f"{told} is no number")
