"""Write the plan of a teardown as tables that a spreadsheet opens: tasks, order, parts."""

import csv
import io
from collections.abc import Callable, Iterable, Mapping, Sequence
from enum import Enum
from pathlib import Path

from leaktrack.model.errors import BadInput
from leaktrack.model.redo_benefit import WeighedRedo
from leaktrack.model.words import word
from leaktrack.model.work_sheet import WorkSheet
from leaktrack.workflows.keep_cache import write_for_others

_FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n")
"""A spreadsheet runs a cell that begins so.

Source:
    OWASP, "CSV Injection"; there a tab, a carriage return and a line feed are named as well.
"""

Cell = str | int | float | None
Rows = Iterable[Sequence[Cell]]


class PlanTable(Enum):
    """Which table."""

    TASKS = "tasks"
    ORDER = "order"
    PARTS = "parts"


def write_table(
    weighed: WeighedRedo, sheet: WorkSheet | None, table: PlanTable, path: Path
) -> Path:
    """Write a table of a plan as CSV and return its path.

    The file begins with a byte order mark: without it, the spreadsheets that most workshops have
    take UTF-8 for their own code page and spoil every umlaut, and those that need no mark skip it.
    Decimals stand behind a point, lines end as RFC 4180 has it.

    Args:
        weighed: The plan.
        sheet: Its work sheet; without one there are no rows of parts and of the order.
        table: Which table.
        path: Where it goes; a file that is there is overwritten.

    Raises:
        BadInput: The file cannot be written there.
    """
    rows = _ROWS[table](weighed, sheet)
    try:
        write_for_others(path, csv_bytes(rows))
    except OSError as error:
        raise BadInput(
            f"{path.name} cannot be written: {error.strerror or error}. The plan and what was "
            "there are as they were. Choose another folder, or close the program that has the "
            "file open."
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


def _tasks(weighed: WeighedRedo, sheet: WorkSheet | None) -> Rows:
    del sheet
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


def _order(weighed: WeighedRedo, sheet: WorkSheet | None) -> Rows:
    del weighed
    yield ("day", "from_h", "to_h", "hours", "what", "name", "person", "tools")
    for day in sheet.days if sheet is not None else ():
        for line in day.lines:
            yield (
                day.number,
                line.begin_h,
                line.end_h,
                line.hours,
                word(line.kind),
                line.name,
                line.worker,
                "; ".join(line.tools),
            )


def _parts(weighed: WeighedRedo, sheet: WorkSheet | None) -> Rows:
    del weighed
    yield ("part", "count", "single_use", "used_for")
    for needed in sheet.parts if sheet is not None else ():
        single = "yes" if needed.part.is_single_use else "no"
        yield (needed.part.name, needed.part.count, single, "; ".join(needed.taken_by))


_ROWS: Mapping[PlanTable, Callable[[WeighedRedo, WorkSheet | None], Rows]] = {
    PlanTable.TASKS: _tasks,
    PlanTable.ORDER: _order,
    PlanTable.PARTS: _parts,
}
