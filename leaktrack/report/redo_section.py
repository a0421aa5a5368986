"""Tell what to redo in the one teardown that is coming, and what can hurt somebody in it."""

from leaktrack.model.redo_plan import AccessStep, PlannedTask
from leaktrack.model.words import DEFER, WORDS, word
from leaktrack.report.amounts import amount, hours, sentence
from leaktrack.report.contents import Block, Cell, Facts, Paragraph, Section, Table, Warnings
from leaktrack.report.findings import Findings
from leaktrack.report.naming import Names
from leaktrack.report.plan_blocks import plan_blocks


def redo_section(findings: Findings, names: Names) -> Section:
    """Return the section: what is asked for, what is worth it, when to do what, and cautions."""
    redo = findings.redo
    if findings.redo_problem:
        return Section("What to redo", (Paragraph(findings.redo_problem),))
    blocks: list[Block] = []
    if redo.tasks:
        blocks += [
            Facts(_totals(findings)),
            _tasks_table(redo.tasks, names),
            *([_steps_table(redo.steps)] if redo.steps else []),
        ]
    else:
        blocks.append(Paragraph("Nothing is on the list."))
    blocks += [
        Paragraph(
            f"Not in these hours: {names.reason(record_id)} ({word(reason)}). "
            "Nobody has written down a task for it."
        )
        for reason, record_id in redo.without_task
    ]
    if findings.weighed is not None:
        blocks += plan_blocks(findings.weighed, findings.sheet, findings.time_zone)
    if redo.cautions:
        blocks.append(Warnings(tuple(WORDS[caution] for caution in redo.cautions), DEFER))
    return Section("What to redo", tuple(blocks))


def _totals(findings: Findings) -> tuple[tuple[str, str], ...]:
    redo = findings.redo
    totals = [("Labour, shared work counted once", hours(redo.hours))]
    if redo.alone_hours > redo.hours:
        totals.append(("The same, one task at a time", hours(redo.alone_hours)))
    totals.append(("Parts and fluids", amount(redo.money)))
    if redo.cure_h:
        totals.append(("Longest wait for cure before the engine runs", hours(redo.cure_h)))
    return tuple(totals)


def _tasks_table(tasks: tuple[PlannedTask, ...], names: Names) -> Table:
    rows = tuple(
        (
            Cell(planned.task.name, is_heading=True),
            Cell(_why(planned, names)),
            Cell(hours(planned.task.hours), is_number=True),
            Cell(hours(planned.added_hours), is_number=True),
            Cell(_money(planned.task.money), is_number=True),
            Cell(hours(planned.task.cure_h) if planned.task.cure_h else "", is_number=True),
        )
        for planned in tasks
    )
    return Table(
        caption="Tasks. “Adds” is the labour that leaving the task out would save.",
        columns=("Task", "Why", "Work", "Adds", "Parts", "Cure"),
        rows=rows,
        widths=(5, 5, 0, 0, 0, 0),
    )


def _why(planned: PlannedTask, names: Names) -> str:
    return "\n".join(
        sentence(f"{word(reason)}: {names.reason(record_id)}")
        for reason, record_id in planned.reasons
    )


def _steps_table(steps: tuple[AccessStep, ...]) -> Table:
    rows = tuple(
        (
            Cell(str(number)),
            Cell(step.name, is_heading=True),
            Cell(hours(step.hours), is_number=True),
            Cell(hours(step.refit_hours), is_number=True),
            Cell(_money(step.money), is_number=True),
        )
        for number, step in enumerate(steps, start=1)
    )
    return Table(
        caption="What must come off, in this order",
        columns=("Step", "What", "Off", "On again", "Parts"),
        rows=rows,
        widths=(0, 6, 0, 0, 0),
    )


def _money(value: float) -> str:
    return amount(value) if value else ""
