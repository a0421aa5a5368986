"""Tell how the engine ran, how it was looked at, and what else was checked."""

from leaktrack.model.inspection import Check, Inspection, Reading, TestRun
from leaktrack.model.oil_account import OilAccount
from leaktrack.model.oil_words import loss_words
from leaktrack.model.words import word
from leaktrack.report.amounts import amount, count, day, moment, sentence
from leaktrack.report.contents import (
    Block,
    Bullets,
    Cell,
    Gallery,
    Paragraph,
    Picture,
    Section,
    Table,
)
from leaktrack.report.findings import Findings
from leaktrack.report.naming import Names
from leaktrack.report.photos_section import photo_caption
from leaktrack.report.reckoning_blocks import oil_accounts, pressures


def runs_section(findings: Findings, names: Names) -> Section:
    """Return the section with runs, inspections, readings and checks."""
    blocks: list[Block] = []
    if findings.runs:
        blocks.append(_runs_table(findings))
        blocks += oil_accounts(findings)
    if findings.inspections:
        blocks.append(_inspections_table(findings, names))
        blocks += pressures(findings, names)
    if findings.readings:
        blocks.append(Bullets(tuple(_reading(one, findings, names) for one in findings.readings)))
    if findings.checks:
        blocks += [_checks_table(findings), *_check_photos(findings)]
    if not blocks:
        blocks = [Paragraph("No run, inspection or check is recorded.")]
    return Section("Runs, inspections and checks", tuple(blocks))


def _runs_table(findings: Findings) -> Table:
    rows = tuple(
        (
            Cell(moment(run.started_at, findings.time_zone), is_heading=True),
            Cell(_known(run.minutes, "min"), is_number=True),
            Cell("\n".join(text for text in (run.load, run.note) if text)),
            Cell(_known(run.oil_c, "°C"), is_number=True),
            Cell(oil_used(run, findings.accounts.get(run.id))),
        )
        for run in findings.runs
    )
    return Table(
        caption="Test runs",
        columns=("Started", "Ran", "Load", "Oil temperature", "Oil used"),
        rows=rows,
        widths=(4, 2, 5, 3, 4),
    )


def oil_used(run: TestRun, account: OilAccount | None = None) -> str:
    """Return how much oil is missing after a run, by the dipstick; it need not have leaked."""
    if account is not None and account.loss is not None and account.is_calibrated:
        return f"{loss_words(account.loss)} by the dipstick"
    if run.oil_before_ml is None or run.oil_after_ml is None:
        return "not known"
    used = run.oil_before_ml + (run.oil_added_ml or 0.0) - run.oil_after_ml
    if used == 0:
        return "none by the dipstick"
    if used < 0:
        return "more after the run than before"
    return f"{amount(used, 'mL')} by the dipstick"


def _inspections_table(findings: Findings, names: Names) -> Table:
    rows = tuple(
        (
            Cell(
                f"{moment(one.looked_at, findings.time_zone)}\n{names.title(one)}", is_heading=True
            ),
            Cell(_known(one.minutes_since_shutdown, "min"), is_number=True),
            Cell(_known(one.oil_c, "°C"), is_number=True),
            Cell(_cleaned(one, findings)),
            Cell(word(one.light) if one.light else "not recorded"),
            Cell(one.done_by or "not recorded"),
        )
        for one in findings.inspections
    )
    return Table(
        caption="Inspections",
        columns=("Looked at", "After shutdown", "Oil", "Cleaned", "Light", "By"),
        rows=rows,
        widths=(5, 2, 2, 4, 3, 3),
    )


def _cleaned(inspection: Inspection, findings: Findings) -> str:
    at = inspection.cleaned_at
    parts = [day(at, findings.time_zone)] if at else []
    parts += [inspection.cleaned_how] if inspection.cleaned_how else []
    return ": ".join(parts) or "not recorded"


def _reading(reading: Reading, findings: Findings, names: Names) -> str:
    where = ""
    if reading.inspection_id:
        where = names.inspection_by_id(reading.inspection_id)
    run = next((one for one in findings.runs if one.id == reading.test_run_id), None)
    if run:
        where = f"run of {moment(run.started_at, findings.time_zone)}"
    value = f"{sentence(reading.name)}: {amount(reading.value, reading.unit)}"
    note = f". {reading.note}" if reading.note else ""
    return f"{value} ({where}){note}" if where else f"{value}{note}"


def _checks_table(findings: Findings) -> Table:
    rows = tuple(
        (
            Cell(check.name, is_heading=True),
            Cell(_result(check, findings)),
            Cell(check.finding),
            Cell(check.implies),
        )
        for check in findings.checks
    )
    return Table(
        caption="Checks before the teardown",
        columns=("Check", "Result", "Found", "What follows"),
        rows=rows,
        widths=(4, 3, 4, 5),
    )


def _result(check: Check, findings: Findings) -> str:
    result = word(check.result)
    return f"{result}, {day(check.done_at, findings.time_zone)}" if check.done_at else result


def _check_photos(findings: Findings) -> list[Gallery]:
    names = {check.id: check.name for check in findings.checks}
    pictures = []
    for photo in findings.photos:
        file = findings.pictures.get(photo.id)
        if file is None or photo.check_id not in names:
            continue
        name = names[photo.check_id]
        pictures.append(
            Picture(
                file=file.file,
                width_px=file.width_px,
                height_px=file.height_px,
                alternative=f"{name}, {count(1, 'photo')}",
                caption=f"{name}: {photo_caption(photo)}",
            )
        )
    return [Gallery(tuple(pictures))] if pictures else []


def _known(value: float | None, unit: str) -> str:
    return "not known" if value is None else amount(value, unit)
