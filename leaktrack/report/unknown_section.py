"""Say plainly what nobody saw or wrote down, so that no reader takes silence for an answer."""

from collections.abc import Iterator

from leaktrack.model.inspection import Inspection, TestRun, missing_facts
from leaktrack.model.leak import SeepageGrade
from leaktrack.model.trace import CauseState
from leaktrack.model.units import in_units
from leaktrack.model.words import FACTS, word
from leaktrack.report.amounts import count, moment, sentence
from leaktrack.report.contents import Block, Bullets, Paragraph, Section
from leaktrack.report.findings import Findings
from leaktrack.report.naming import Names


def unknown_section(findings: Findings, names: Names) -> Section:
    """Return the section about everything that the report cannot tell."""
    sentences = (
        *_warnings(findings, names),
        *_zones_not_photographed(findings, names),
        *_leaks_not_seen(findings, names),
        *_leaks_without_cause(findings),
        *_photos(findings),
        *_facts(findings, names),
    )
    unknown: Block = Paragraph("Nothing that was asked for is missing.")
    if sentences:
        unknown = Bullets(tuple(sentences))
    return Section("What this report does not know", (unknown,))


def _warnings(findings: Findings, names: Names) -> Iterator[str]:
    for warning in findings.warnings:
        inspection = names.inspection_by_id(warning.inspection_id)
        yield f"{sentence(inspection)}: {word(warning.kind)}"


def _zones_not_photographed(findings: Findings, names: Names) -> Iterator[str]:
    photographed = {(photo.zone_id, photo.inspection_id) for photo in findings.photos}
    for inspection in findings.inspections:
        missed = [
            zone.name for zone in findings.zones if (zone.id, inspection.id) not in photographed
        ]
        if missed:
            name = sentence(names.inspection(inspection))
            yield f"{name}: not photographed: {', '.join(missed)}."


def _leaks_not_seen(findings: Findings, names: Names) -> Iterator[str]:
    for history in findings.histories:
        unseen = [
            names.inspection_by_id(one.inspection_id)
            for one in history.sightings
            if one.grade is SeepageGrade.NOT_SEEN and not one.nothing_noticed
        ]
        if unseen:
            yield f"{names.leak_place(history.leak)}: not seen at {'; '.join(unseen)}."


def _leaks_without_cause(findings: Findings) -> Iterator[str]:
    decided = {
        cause.leak_id
        for cause in findings.causes
        if cause.state in (CauseState.CONFIRMED, CauseState.SUSPECTED)
    }
    numbers = [str(leak.number) for leak in findings.leaks if leak.id not in decided]
    if numbers:
        yield f"Nobody has decided what causes leak {', '.join(numbers)}."


def _photos(findings: Findings) -> Iterator[str]:
    marked = {mark.photo_id for mark in findings.marks if mark.outline_px}
    without_scale = [
        photo for photo in findings.photos if photo.id in marked and photo.mm_per_px is None
    ]
    if without_scale:
        number = count(len(without_scale), "photo")
        unit = in_units(0.0, "mm²")[1]
        yield f"No scale is known for {number} with wet areas, so these have no size in {unit}."
    unreadable = [
        photo.original_name for photo in findings.photos if photo.id not in findings.pictures
    ]
    if unreadable:
        yield f"These photos could not be opened: {', '.join(unreadable)}."


def _facts(findings: Findings, names: Names) -> Iterator[str]:
    for run in findings.runs:
        yield from _record_facts(run, f"Run of {moment(run.started_at, findings.time_zone)}")
    for inspection in findings.inspections:
        yield from _record_facts(inspection, sentence(names.inspection(inspection)))


def _record_facts(record: TestRun | Inspection, name: str) -> Iterator[str]:
    missing = missing_facts(record)
    if missing:
        yield f"{name}: not recorded: {_listed(missing)}."
    if record.unknown_facts:
        yield f"{name}: asked, but nobody knows: {_listed(record.unknown_facts)}."


def _listed(facts: tuple[str, ...]) -> str:
    return ", ".join(FACTS.get(name, name) for name in facts)
