"""Tell how each leak fared over all inspections."""

from uuid import UUID

from leaktrack.model.comparison import LeakHistory, Sighting
from leaktrack.model.inspection import Inspection
from leaktrack.model.leak import SeepageGrade
from leaktrack.model.words import word
from leaktrack.report.amounts import amount, sentence, short_day
from leaktrack.report.change_blocks import change_blocks
from leaktrack.report.contents import Block, Cell, Paragraph, Section, Table
from leaktrack.report.findings import Findings
from leaktrack.report.naming import Names
from leaktrack.report.reckoning_blocks import why_these_grades

_MOST_COLUMNS = 5  # more inspections than this do not fit beside each other on a page


def leaks_section(findings: Findings, names: Names) -> Section:
    """Return the section with the history of all leaks, and how to read the grades."""
    if not findings.histories:
        return Section("Leaks over time", (Paragraph("No leak has been marked."),))
    blocks: list[Block] = [
        Paragraph(
            "The grade of each leak at each inspection. “Not seen” means hidden or not "
            "photographed; it never means dry."
        ),
        *_history_tables(findings, names),
        *change_blocks(findings, names),
    ]
    blocks += why_these_grades(findings)
    if findings.published:
        blocks.append(_grades_table(findings))
    return Section("Leaks over time", tuple(blocks))


def _history_tables(findings: Findings, names: Names) -> list[Table]:
    inspections = findings.inspections
    starts = range(0, len(inspections), _MOST_COLUMNS)
    return [
        _history_table(findings, names, start, inspections[start : start + _MOST_COLUMNS])
        for start in starts
    ]


def _history_table(
    findings: Findings, names: Names, start: int, inspections: tuple[Inspection, ...]
) -> Table:
    is_last = start + len(inspections) == len(findings.inspections)
    changes = {change.leak.id: word(change.change) for change in findings.changes}
    shows_change = is_last and bool(changes)
    rows = tuple(
        (
            Cell(f"{history.leak.number}", is_heading=True),
            Cell(sentence(names.zone(history.leak.zone_id))),
            *(_grade_cell(history, inspection.id) for inspection in inspections),
            *((Cell(changes.get(history.leak.id, "")),) if shows_change else ()),
        )
        for history in findings.histories
    )
    first, last = inspections[0].looked_at, inspections[-1].looked_at
    zone = findings.time_zone
    return Table(
        caption=f"Leaks by inspections, {short_day(first, zone)} to {short_day(last, zone)}",
        columns=(
            "Leak",
            "Zone",
            *(f"{short_day(one.looked_at, zone)}\n{names.title(one)}" for one in inspections),
            *(("Change since the inspection before",) if shows_change else ()),
        ),
        rows=rows,
        widths=(0, *(3 for _ in range(len(inspections) + 1)), *((2,) if shows_change else ())),
    )


def _grade_cell(history: LeakHistory, inspection_id: UUID) -> Cell:
    sighting = next(
        (one for one in history.sightings if one.inspection_id == inspection_id),
        Sighting(inspection_id, SeepageGrade.NOT_SEEN),
    )
    if sighting.nothing_noticed:
        return Cell("photographed, nothing noticed")
    if sighting.area_mm2:
        return Cell(f"about {amount(sighting.area_mm2, 'mm²')}", grade=sighting.grade)
    return Cell(grade=sighting.grade)


_LOOKS_LIKE = {
    SeepageGrade.DRY: "looked at, nothing wet",
    SeepageGrade.STAIN: "a trace that does not come back after wiping",
    SeepageGrade.SEEP: "wet, no drop; comes back in hours",
    SeepageGrade.HEAVY_SEEP: "a drop hangs but does not fall; comes back in minutes",
    SeepageGrade.DRIP: "drops fall",
    SeepageGrade.STREAM: "it runs",
}


def _grades_table(findings: Findings) -> Table:
    rows = []
    for grade, looks_like in _LOOKS_LIKE.items():
        classes = findings.published[grade]
        rows.append(
            (
                Cell(grade=grade, is_heading=True),
                Cell(looks_like),
                Cell(word(classes.pmcs) if classes.pmcs else "no class"),
                Cell(f"class {classes.iso_tr_11340}"),
                Cell(", ".join(word(term) for term in classes.din_3761)),
            )
        )
    return Table(
        caption="What the grades mean, and what others call them",
        columns=("Grade", "Looks like", "US Army PMCS", "ISO/TR 11340", "DIN 3761"),
        rows=tuple(rows),
        widths=(3, 6, 2, 2, 3),
    )
