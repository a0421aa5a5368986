"""Tell why leaks have their grades, what drops add up to, the oil account and the pressure."""

from leaktrack.model.grade_card import GradeCard
from leaktrack.model.grade_card_words import card_words
from leaktrack.model.oil_words import account_details, account_sentence
from leaktrack.model.severity_words import PRESSURE_ASSUMES, pressure_sentence
from leaktrack.report.amounts import day, sentence
from leaktrack.report.contents import Block, Bullets, Cell, Paragraph, Table
from leaktrack.report.findings import Findings
from leaktrack.report.naming import Names


def why_these_grades(findings: Findings) -> list[Block]:
    """Return a table of each leak as last seen: rule, size, verdict, what its drops add up to."""
    if not findings.cards:
        return []
    rows = tuple(_row(number, card) for number, card in sorted(findings.cards.items()))
    table = Table(
        caption="Why these grades, and what follows: each leak as last seen",
        columns=("Leak", "Grade", "What speaks for it", "What follows", "What its drops add up to"),
        rows=rows,
        widths=(0, 2, 6, 4, 5),
    )
    return [table]


def _row(number: int, card: GradeCard) -> tuple[Cell, ...]:
    words = card_words(card)
    return (
        Cell(f"{number}", is_heading=True),
        Cell(grade=card.given),
        Cell("\n".join((words.proposal, *words.details))),
        Cell(words.verdict),
        Cell("\n".join(words.amounts) or "no drops counted"),
    )


def oil_accounts(findings: Findings) -> list[Block]:
    """Return the oil account of each run that has one, with what it assumes."""
    blocks: list[Block] = []
    for run in findings.runs:
        account = findings.accounts.get(run.id)
        if account is None:
            continue
        title = f"Oil account of the run of {day(run.started_at, findings.time_zone)}. "
        blocks.append(Paragraph(title + account_sentence(account), introduces=True))
        blocks.append(Bullets(account_details(account)))
    return blocks


def pressures(findings: Findings, names: Names) -> list[Block]:
    """Return how the crankcase pressure stood at each inspection that measured it."""
    told = [
        f"{sentence(names.inspection(one))}: {pressure_sentence(findings.pressures[one.id])}"
        for one in findings.inspections
        if one.id in findings.pressures
    ]
    if not told:
        return []
    return [Bullets(tuple(told)), Paragraph(PRESSURE_ASSUMES, is_quiet=True)]
