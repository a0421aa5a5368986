"""Read the library of access steps and tasks: the program's file, then the user's own.

The user's file stands beside the settings. What has the same id there replaces what the program
brings along; what has another is added.
"""

import re
import tomllib
from collections.abc import Mapping, Sequence
from enum import Enum
from pathlib import Path
from typing import Any, TypeVar

from leaktrack.model.caution import Caution
from leaktrack.model.engine import SealKind
from leaktrack.model.errors import BadInput
from leaktrack.model.redo_library import LibraryStep, LibraryTask, RedoLibrary
from leaktrack.model.redo_plan import RedoPart
from leaktrack.workflows.project import Project
from leaktrack.workflows.read_fields import Fields, check_circles, check_ids, check_needs

FILE_NAME = "redo_library.toml"

_BOTH = ("id", "name", "hours", "money", "needs", "parts", "tools", "cautions")
_STEP = (*_BOTH, "refit_hours")
_TASK = (*_BOTH, "cure_h", "cure_blocks_refit", "fits", "seal_kinds")
_PART = ("name", "count", "single_use")
_HEADER = re.compile(r"^\s*\[\[\s*(step|task)\s*\]\]")

E = TypeVar("E", bound=Enum)
T = TypeVar("T", LibraryStep, LibraryTask)


_EMPTY = RedoLibrary((), ())


def redo_library(project: Project) -> RedoLibrary:
    """Return the library, with what the user's own file changes.

    Raises:
        BadInput: A file cannot be read, or something in it cannot be right; the text says where.
    """
    shipped = read_library(project.resources_folder / FILE_NAME)
    own = own_library_file(project)
    if own is None or not own.exists():
        return shipped
    return read_library(own, shipped)


def own_library_file(project: Project) -> Path | None:
    """Return where the user may write a library of their own; None for nowhere."""
    weights = project.own_weights_file
    return None if weights is None else weights.with_name(FILE_NAME)


def read_library(path: Path, base: RedoLibrary = _EMPTY) -> RedoLibrary:
    """Return the library that a file holds, on top of another.

    Raises:
        BadInput: The file cannot be read, or something in it cannot be right; the text says where.
    """
    try:
        text = path.read_text(encoding="utf-8-sig")
        told = tomllib.loads(text)
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        raise BadInput(
            f"The library {path} cannot be read: {error}. Nothing was changed. Correct that "
            "place, or remove your own file to use what the program brings along."
        ) from error
    try:
        return _library(told, _lines(text), base)
    except BadInput as error:
        raise BadInput(f"The library {path}: {error} Nothing was changed; correct it.") from error


def _library(
    told: Mapping[str, Any], lines: Mapping[str, Sequence[int]], base: RedoLibrary
) -> RedoLibrary:
    top = Fields(dict(told), "the file", ("step", "task"))
    step_fields, task_fields = (
        [
            Fields(one, _place(kind, number, one, lines), known)
            for number, one in enumerate(top.items(kind) if kind in told else [])
        ]
        for kind, known in (("step", _STEP), ("task", _TASK))
    )
    check_ids([*step_fields, *task_fields])
    steps = [_step(one) for one in step_fields]
    tasks = [_task(one) for one in task_fields]
    all_steps = _laid_over(base.steps, steps)
    names = [step.id for step in all_steps]
    check_needs([step.needs for step in steps], step_fields, names)
    check_needs([task.needs for task in tasks], task_fields, names)
    places = {step.id: f"step {step.id!r}" for step in all_steps}
    places |= {step.id: one.place for step, one in zip(steps, step_fields, strict=True)}
    check_circles({step.id: step.needs for step in all_steps}, places)
    return RedoLibrary(all_steps, _laid_over(base.tasks, tasks))


def _laid_over(base: Sequence[T], own: Sequence[T]) -> tuple[T, ...]:
    return tuple(({one.id: one for one in base} | {one.id: one for one in own}).values())


def _step(fields: Fields) -> LibraryStep:
    return LibraryStep(
        id=fields.name("id"),
        name=fields.name("name"),
        hours=fields.number("hours"),
        refit_hours=fields.number("refit_hours", 0.0),
        money=fields.number("money", 0.0),
        needs=fields.needs(),
        parts=_parts(fields),
        tools=fields.texts("tools"),
        cautions=_members(fields, "cautions", Caution),
    )


def _task(fields: Fields) -> LibraryTask:
    return LibraryTask(
        id=fields.name("id"),
        name=fields.name("name"),
        hours=fields.number("hours"),
        money=fields.number("money", 0.0),
        cure_h=fields.number("cure_h", 0.0),
        does_cure_block_refit=fields.truth("cure_blocks_refit"),
        needs=fields.needs(),
        fits=fields.texts("fits"),
        seal_kinds=_members(fields, "seal_kinds", SealKind),
        parts=_parts(fields),
        tools=fields.texts("tools"),
        cautions=_members(fields, "cautions", Caution),
    )


def _parts(fields: Fields) -> tuple[RedoPart, ...]:
    return tuple(
        RedoPart(one.name("name"), one.count("count", 1), one.truth("single_use", default=True))
        for one in fields.objects("parts", _PART)
    )


def _members(fields: Fields, key: str, kind: type[E]) -> tuple[E, ...]:
    known = {member.value: member for member in kind}
    told = fields.texts(key)
    strange = next((one for one in told if one not in known), None)
    if strange is not None:
        raise fields.complaint(key, f"has {strange!r}; known are {', '.join(known)}")
    return tuple(known[one] for one in told)


def _lines(text: str) -> Mapping[str, Sequence[int]]:
    """Return the lines on which the steps and the tasks of a file begin."""
    found: dict[str, list[int]] = {"step": [], "task": []}
    for number, line in enumerate(text.splitlines(), start=1):
        header = _HEADER.match(line)
        if header:
            found[header[1]].append(number)
    return found


def _place(kind: str, number: int, told: object, lines: Mapping[str, Sequence[int]]) -> str:
    """Return where a step or task stands, such as "line 12, step 'intake'"."""
    name = told.get("id") if isinstance(told, dict) else None
    called = f"{kind} {name!r}" if isinstance(name, str) and name else f"{kind}[{number}]"
    known = lines[kind]
    return f"line {known[number]}, {called}" if number < len(known) else called
