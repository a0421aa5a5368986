"""Write the plan of a teardown as tables that a spreadsheet opens: tasks, order, parts."""

import csv
import io
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import Enum
from pathlib import Path

from leaktrack.model.errors import BadInput
from leaktrack.model.redo_benefit import WeighedRedo
from leaktrack.model.redo_plan import AccessStep, RedoTask
from leaktrack.model.words import word

_FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n")
"""A spreadsheet runs a cell that begins so.

Source:
    OWASP, "CSV Injection"; there a tab, a carriage return and a line feed are named as well.
"""

Cell = str | int | float | None


class PlanTable(Enum):
    """Which table."""

    TASKS = "tasks"
    ORDER = "order"
    PARTS = "parts"


@dataclass(frozen=True, slots=True)
class PartLine:
    """A part or fluid that the teardown takes.

    Attributes:
        used_for: Names of the steps and tasks that take it.
    """

    name: str
    count: int
    is_single_use: bool
    used_for: tuple[str, ...]


def part_lines(weighed: WeighedRedo) -> tuple[PartLine, ...]:
    """Return what the chosen tasks and the steps that come off for them take, by name."""
    chosen = {*weighed.answer.tasks, *weighed.answer.steps}
    work: list[AccessStep | RedoTask] = [one.task for one in weighed.tasks]
    work += [step for step in weighed.steps if not step.is_done]
    found: dict[tuple[str, bool], tuple[str, int, list[str]]] = {}
    for one in work:
        if str(one.id) not in chosen:
            continue
        for part in one.parts:
            key = (part.name.casefold(), part.is_single_use)
            name, count, used_for = found.get(key, (part.name, 0, []))
            found[key] = (name, count + part.count, [*used_for, one.name])
    lines = [
        PartLine(name, count, is_single_use, tuple(dict.fromkeys(used_for)))
        for (_, is_single_use), (name, count, used_for) in found.items()
    ]
    return tuple(sorted(lines, key=lambda line: (not line.is_single_use, line.name.casefold())))


def write_table(weighed: WeighedRedo, table: PlanTable, path: Path) -> Path:
    """Write a table of a plan as CSV and return its path.

    The file begins with a byte order mark: without it, the spreadsheets that most workshops have
    take UTF-8 for their own code page and spoil every umlaut, and those that need no mark skip it.
    Decimals stand behind a point, lines end as RFC 4180 has it.

    Raises:
        BadInput: The file cannot be written there.
    """
    rows = _ROWS[table](weighed)
    try:
        path.write_bytes(csv_bytes(rows))
    except OSError as error:
        raise BadInput(
            f"{path.name} cannot be written: {error.strerror or error}. The plan is as it was. "
            "Choose another folder, or close the program that has the file open."
        ) from error
    return path


def csv_bytes(rows: Iterable[Sequence[Cell]]) -> bytes:
    r"""Return rows as the content of a CSV file, in which no text is run as a formula.

    >>> csv_bytes([["name", "h"], ["=1+1", -2.5]])
    b"\xef\xbb\xbfname,h\r\n'=1+1,-2.5\r\n"
    """
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerows([[_cell(each) for each in row] for row in rows])
    return text.getvalue().encode("utf-8-sig")


def _cell(value: Cell) -> str:
    if value is None:
        return ""
    if isinstance(value, str):
        # Numbers stay as they are: a minus before digits is no formula, but it may be in a text.
        return f"'{value}" if value.startswith(_FORMULA_STARTS) else value
    return f"{round(value, 4):.10g}"


def _tasks(weighed: WeighedRedo) -> Iterable[Sequence[Cell]]:
    yield (
        "task", "choice", "decision", "own_hours", "added_hours", "alone_hours", "parts_money",
        "cure_hours", "chance", "chance_from", "worth", "worth_it_above_chance",
    )  # fmt: skip
    for one in (*weighed.chosen, *weighed.left):
        why, benefit = one.why, one.benefit
        yield (
            one.task.name,
            "redo" if str(one.task.id) in weighed.answer.tasks else "leave",
            one.task.decision.value,
            one.task.hours,
            why.marginal_hours if why is not None else None,
            why.alone_hours if why is not None else None,
            one.task.money,
            one.task.cure_h,
            benefit.chance,
            word(benefit.chance_from),
            benefit.worth,
            one.worth_it_chance,
        )


def _order(weighed: WeighedRedo) -> Iterable[Sequence[Cell]]:
    yield ("starts_h", "ends_h", "hours", "what", "name", "person")
    schedule, names = weighed.answer.schedule, weighed.name_of
    if schedule is None:
        return
    for slot in sorted(schedule.slots, key=lambda each: (each.start_h, each.worker or 0)):
        yield (
            slot.start_h,
            slot.end_h,
            slot.end_h - slot.start_h,
            word(slot.kind),
            names.get(slot.id, slot.id),
            slot.worker,
        )


def _parts(weighed: WeighedRedo) -> Iterable[Sequence[Cell]]:
    yield ("part", "count", "single_use", "used_for")
    for line in part_lines(weighed):
        single = "yes" if line.is_single_use else "no"
        yield (line.name, line.count, single, "; ".join(line.used_for))


_ROWS: Mapping[PlanTable, Callable[[WeighedRedo], Iterable[Sequence[Cell]]]] = {
    PlanTable.TASKS: _tasks,
    PlanTable.ORDER: _order,
    PlanTable.PARTS: _parts,
}
