"""The plan on paper: figures, tasks with reasons, the order of the work, parts."""

from collections.abc import Iterable, Iterator, Sequence
from functools import partial
from html import escape

from PySide6.QtCore import QCoreApplication
from PySide6.QtGui import QTextDocument
from PySide6.QtWidgets import QDialog, QWidget

from leaktrack.gui.plan.answer_words import answer_words
from leaktrack.gui.plan.schedule_words import hours_words
from leaktrack.gui.plan.why_words import hours_sentence, turn_sentence
from leaktrack.model.errors import BadInput
from leaktrack.model.redo_benefit import WeighedRedo, WeighedTask
from leaktrack.model.redo_problem import WorkKind
from leaktrack.model.redo_sentences import part_words, work_words
from leaktrack.model.words import DEFER, word
from leaktrack.model.work_sheet import SheetLine, WorkSheet

_tr = partial(QCoreApplication.translate, "plan_printing")


def print_plan(page: QWidget, weighed: WeighedRedo, sheet: WorkSheet | None, title: str) -> bool:
    """Ask for a printer and print the plan; return whether it was printed.

    Raises:
        BadInput: This computer has nothing to print with.
    """
    try:
        # Printing needs a library of the system that not every computer has.
        from PySide6.QtPrintSupport import QPrintDialog, QPrinter
    except ImportError as error:
        raise BadInput(
            f"This computer has nothing to print with ({error}). The plan is as it was. Write the "
            "report as PDF on the page Report, and print that elsewhere."
        ) from error
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    dialog = QPrintDialog(printer, page)
    if dialog.exec() != QDialog.DialogCode.Accepted:
        return False
    document = QTextDocument()
    document.setHtml(plan_html(weighed, sheet, title))
    document.print_(printer)
    return True


def plan_html(weighed: WeighedRedo, sheet: WorkSheet | None, title: str) -> str:
    """Return the plan as a document for paper: black on white, no picture."""
    figures = "".join(
        f"<p><b>{escape(each.caption)}: {escape(each.value)}</b> {escape(each.note)}</p>"
        for each in answer_words(weighed, sheet)
    )
    parts = [
        [
            str(line.part.count),
            line.part.name,
            _tr("yes") if line.part.is_single_use else _tr("no"),
            ", ".join(line.taken_by),
        ]
        for line in (sheet.parts if sheet is not None else ())
    ]
    return "".join(
        (
            f"<h1>{escape(title)}</h1>{figures}",
            _section(_tr("What is redone"), [], _task_rows(weighed.chosen, is_chosen=True)),
            _section(_tr("What is left"), [], _task_rows(weighed.left, is_chosen=False)),
            *_days(sheet),
            _section(
                _tr("Parts and fluids"),
                [_tr("Count"), _tr("Part"), _tr("New each time"), _tr("For")],
                parts,
            ),
            f"<p>{escape(DEFER)}</p>",
        )
    )


def _task_rows(tasks: Sequence[WeighedTask], *, is_chosen: bool) -> list[list[str]]:
    return [
        [
            one.task.name,
            " ".join(
                (
                    hours_sentence(one, is_chosen=is_chosen),
                    turn_sentence(one, is_chosen=is_chosen),
                )
            ).strip(),
        ]
        for one in tasks
    ]


def _days(sheet: WorkSheet | None) -> Iterator[str]:
    """Yield the work sheet, with a box to be ticked before each piece of work."""
    for day in sheet.days if sheet is not None else ():
        rows = [_line(line) for line in day.lines]
        headings = ["", _tr("Who"), _tr("From"), _tr("To"), _tr("What"), _tr("With what, and how")]
        yield _section(_tr("Day %d") % day.number, headings, rows)


def _line(line: SheetLine) -> list[str]:
    is_cure = line.kind is WorkKind.CURE
    told = [
        *([_tr("Tools: %s") % ", ".join(line.tools)] if line.tools else []),
        *([_tr("Parts: %s") % ", ".join(map(part_words, line.parts))] if line.parts else []),
        *line.instructions,
        *(word(caution) for caution in line.cautions),
    ]
    return [
        "" if is_cure or line.goes_on else "[  ]",
        "–" if line.worker is None else str(line.worker),
        hours_words(line.begin_h),
        hours_words(line.end_h),
        work_words(line.kind, line.name),
        ". ".join(told),
    ]


def _section(title: str, headings: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    lines = [
        "<tr>" + "".join(f'<td valign="top">{escape(cell)}</td>' for cell in row) + "</tr>"
        for row in rows
    ]
    if not lines:
        return ""
    head = "".join(f'<th align="left">{escape(each)}</th>' for each in headings)
    table = f'<table cellpadding="3" width="100%">{f"<tr>{head}</tr>" if head else ""}'
    return f"<h2>{escape(title)}</h2>{table}{''.join(lines)}</table>"
