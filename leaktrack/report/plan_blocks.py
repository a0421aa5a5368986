"""Tell what is worth doing in one teardown, what is not, and what to do day by day."""

from collections.abc import Iterator, Sequence
from datetime import tzinfo

from leaktrack.model.redo_benefit import WeighedRedo, WeighedTask
from leaktrack.model.redo_plan import RedoDecision
from leaktrack.model.redo_problem import SolvedState, WorkKind
from leaktrack.model.redo_sentences import (
    clock_words,
    curing_words,
    estimate_words,
    part_words,
    turns,
    work_words,
)
from leaktrack.model.words import word
from leaktrack.model.work_sheet import CLOCK_H, SheetDay, SheetLine, WorkSheet
from leaktrack.report.amounts import amount, hours, sentence
from leaktrack.report.contents import Block, Cell, Drawing, Facts, Paragraph, Subheading, Table
from leaktrack.report.plan_drawing import WIDTH, plan_drawing, plan_sentences


def plan_blocks(
    weighed: WeighedRedo, sheet: WorkSheet | None, zone: tzinfo | None
) -> Iterator[Block]:
    """Yield the blocks; none where there is no task to weigh."""
    curing = sheet.curing if sheet is not None else ()
    yield from (Paragraph(curing_words(one, zone)) for one in curing)
    if not weighed.tasks:
        return
    yield Subheading("What is worth doing in one teardown")
    if weighed.answer.state is SolvedState.INFEASIBLE:
        yield Paragraph(f"{sentence(word(weighed.answer.state))}. {weighed.answer.conflict}")
        return
    yield Facts(_totals(weighed, sheet))
    if weighed.chosen:
        yield _chosen(weighed.chosen)
    if weighed.left:
        yield _left(weighed.left)
    yield from _recorded(weighed)
    if sheet is not None and sheet.slots:
        yield from _sheet_blocks(weighed, sheet)


def _sheet_blocks(weighed: WeighedRedo, sheet: WorkSheet) -> Iterator[Block]:
    yield Subheading("When to do what")
    svg, height = plan_drawing(sheet, weighed.name_of)
    yield Drawing(
        svg=svg,
        width=WIDTH,
        height=height,
        alternative=plan_sentences(sheet, weighed.name_of),
        caption="Dark: taken off. Coloured: done. White: put back. Hatched: cures by itself. The "
        "number says who. Grey: nobody works.",
    )
    if sheet.parts:
        yield _parts(sheet)
    yield Subheading("Work sheet")
    for day in sheet.days:
        yield _day(day)


def _totals(weighed: WeighedRedo, sheet: WorkSheet | None) -> tuple[tuple[str, str], ...]:
    answer, terms = weighed.answer, weighed.terms
    alone = sum(one.benefit.later_hours for one in weighed.chosen)
    totals = [
        ("Labour of all that is worth it", hours(answer.labour_hours or 0.0)),
        ("The same as jobs of their own, later", hours(alone)),
        ("Parts and fluids", amount(answer.money or 0.0)),
        ("Better than leaving it, by", amount(answer.value or 0.0)),
        ("An hour of labour", amount(terms.hour_rate)),
    ]
    if answer.state is SolvedState.FEASIBLE:
        totals.append(("Not proven best; at most", amount(answer.most_value or 0.0)))
    if sheet is not None and sheet.slots:
        people = f"{terms.workers} {'person' if terms.workers == 1 else 'people'}"
        ready = f"day {sheet.ready_day}, {clock_words(sheet.ready_h % CLOCK_H)} from the morning"
        totals.append((f"Ready, with {people} and {hours(terms.day_hours)} a day", ready))
    return tuple(totals)


def _chosen(tasks: Sequence[WeighedTask]) -> Table:
    return Table(
        caption="Worth doing. “Alone” is a teardown of its own later; “saved” is what that would "
        "take more.",
        columns=("Task", "Why", "Alone", "Now", "Saved", "Worth"),
        rows=tuple(
            (
                Cell(one.task.name, is_heading=True),
                Cell(_why(one)),
                *(Cell(text, is_number=True) for text in _hours(one)),
                Cell(amount(one.benefit.worth), is_number=True),
            )
            for one in tasks
        ),
        widths=(5, 6, 0, 0, 0, 0),
    )


def _left(tasks: Sequence[WeighedTask]) -> Table:
    return Table(
        caption="Not worth doing now, and what would change that",
        columns=("Task", "Why not", "Alone", "Now", "Saved", "Worth"),
        rows=tuple(
            (
                Cell(one.task.name, is_heading=True),
                Cell(_why(one)),
                *(Cell(text, is_number=True) for text in _hours(one)),
                Cell(amount(one.benefit.worth), is_number=True),
            )
            for one in tasks
        ),
        widths=(5, 6, 0, 0, 0, 0),
    )


def _hours(one: WeighedTask) -> tuple[str, str, str]:
    marginal = one.why.marginal_hours if one.why is not None else None
    now = "" if marginal is None else hours(marginal)
    saved = "" if one.saved_hours is None else hours(one.saved_hours)
    return hours(one.benefit.later_hours), now, saved


def _why(one: WeighedTask) -> str:
    is_settled = one.task.decision is RedoDecision.MUST
    said_by = word(one.benefit.chance_from)
    told = ["must be done, as settled"] if is_settled else []
    told.append(f"chance {one.benefit.chance:.0%} by {said_by}")
    return "\n".join(sentence(text) for text in (*told, *turns(one)))


def _recorded(weighed: WeighedRedo) -> Iterator[Block]:
    names = weighed.name_of
    told = [
        f"{names[str(record_id)]}, {word(kind)}: {estimate_words(estimate)}"
        for (record_id, kind), estimate in weighed.estimates.items()
        if estimate.count and str(record_id) in names
    ]
    if told:
        yield Paragraph(f"Hours by recorded times: {'; '.join(told)}.", is_quiet=True)


def _parts(sheet: WorkSheet) -> Table:
    return Table(
        caption="Parts and fluids to have at hand",
        columns=("Part", "How many", "Single use", "For"),
        rows=tuple(
            (
                Cell(one.part.name, is_heading=True),
                Cell(str(one.part.count), is_number=True),
                Cell("yes, new" if one.part.is_single_use else "no"),
                Cell(", ".join(one.taken_by)),
            )
            for one in sheet.parts
        ),
        widths=(4, 0, 0, 6),
    )


def _day(day: SheetDay) -> Table:
    return Table(
        caption=f"Day {day.number}",
        columns=("Done", "Who", "From", "What", "Hours", "With and how"),
        rows=tuple(
            (
                Cell("☐" if line.worker is not None else ""),
                Cell("" if line.worker is None else str(line.worker)),
                Cell(clock_words(line.begin_h)),
                Cell(_what(line), is_heading=True),
                Cell("" if line.worker is None else hours(line.hours), is_number=True),
                Cell("\n".join(_with(line))),
            )
            for line in day.lines
        ),
        widths=(0, 0, 0, 5, 0, 6),
    )


def _what(line: SheetLine) -> str:
    more = " (goes on)" if line.goes_on else ""
    begun = " (begun before)" if line.is_continued else ""
    return f"{work_words(line.kind, line.name)}{begun}{more}"


def _with(line: SheetLine) -> Iterator[str]:
    if line.kind is WorkKind.CURE:
        days, at = divmod(line.end_h, CLOCK_H)
        later = f", {days:g} d on" if days else ""
        yield f"Until {clock_words(at)}{later}"
    for what, texts in (
        ("Tools", line.tools),
        ("Parts", tuple(map(part_words, line.parts))),
        ("How", line.instructions),
        ("Caution", tuple(one.value.replace("_", " ") for one in line.cautions)),
    ):
        if texts:
            yield f"{what}: {'; '.join(texts)}"
