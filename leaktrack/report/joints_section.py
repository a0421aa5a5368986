"""Tell how the joints were sealed, and where along each of them it is wet."""

from collections.abc import Iterator
from datetime import datetime

from leaktrack.model.engine import Joint
from leaktrack.model.joint_strip import JointStrip
from leaktrack.model.sealant_words import bead_sentences
from leaktrack.model.sealing_job import Part, TorquePass
from leaktrack.model.words import FACTS, UNITS, deviation_sentence, word
from leaktrack.report.amounts import amount, day, moment, sentence
from leaktrack.report.causes_section import shown_with_causes
from leaktrack.report.contents import (
    Block,
    Bullets,
    Drawing,
    Facts,
    Paragraph,
    Section,
    Subheading,
)
from leaktrack.report.evidence import evidence_blocks
from leaktrack.report.findings import Findings, JobFindings
from leaktrack.report.naming import Names
from leaktrack.report.removed_seals import removed_blocks, ring_blocks
from leaktrack.report.strip_drawing import WIDTH, strip_drawing, strip_sentences

_BEAD_CAPTION = (
    "Above the looks at it, a seal with its measured bead between the widths allowed. Full "
    "triangle: gap; open triangle: thin; diamond: thick; ring: off its line; question mark: not "
    "readable. "
)


def joints_section(findings: Findings, names: Names) -> Section:
    """Return the section with the strip and the sealing jobs of every joint."""
    strips = {strip.joint.id: strip for strip in findings.strips}
    blocks: list[Block] = []
    for joint in findings.joints:
        blocks.append(Subheading(sentence(joint.name)))
        blocks.append(Paragraph(_joint_sentence(joint, names), introduces=True))
        strip = strips.get(joint.id)
        if strip and strip.rows:
            blocks.append(_drawing(strip, findings))
        blocks += _jobs(joint, findings, names)
    if not blocks:
        blocks = [Paragraph("No joint has been set up.")]
    return Section("The joints and how they were sealed", tuple(blocks))


def _joint_sentence(joint: Joint, names: Names) -> str:
    length = f", {amount(joint.length_mm, 'mm')} long" if joint.length_mm else ""
    note = f" {joint.note}" if joint.note else ""
    kind = sentence(word(joint.seal_kind))
    return f"{kind}{length}, in the zone {names.zone(joint.zone_id)}.{note}"


def _drawing(strip: JointStrip, findings: Findings) -> Drawing:
    svg, height = strip_drawing(strip, findings.time_zone)
    has_beads = any(row.beads for row in strip.rows)
    return Drawing(
        svg=svg,
        width=WIDTH,
        height=height,
        alternative=strip_sentences(strip, findings.time_zone),
        caption=(
            f"{sentence(strip.joint.name)}, unrolled. {_BEAD_CAPTION if has_beads else ''}One row "
            "for each inspection: a tick where a leak starts, below it how far to each side it may "
            "lie, a bar as far as it is wet, its grade and its number. Grey: no photo shows it."
        ),
    )


def _jobs(joint: Joint, findings: Findings, names: Names) -> list[Block]:
    jobs = [job for job in findings.jobs if job.job.joint_id == joint.id]
    if not jobs:
        return [Paragraph("No sealing is recorded.")]
    blocks: list[Block] = []
    for job in jobs:
        blocks.append(Subheading(f"Sealed {day(job.job.done_at, findings.time_zone)}", 4))
        blocks.append(Facts(tuple(_facts(job, findings))))
        if job.deviations:
            blocks.append(
                Bullets(tuple(sentence(deviation_sentence(one)) for one in job.deviations))
            )
        if job.sums is not None and bead_sentences(job.sums):
            blocks.append(Bullets(bead_sentences(job.sums)))
        if job.job.id not in shown_with_causes(findings):
            blocks += evidence_blocks(job, findings, names)
        blocks += [*ring_blocks(job), *removed_blocks(job, findings)]
    return blocks


def _facts(job: JobFindings, findings: Findings) -> Iterator[tuple[str, str]]:
    """Yield what is recorded, then the names of what is not."""
    missing: list[str] = []
    for name, parts in _recorded(job, findings).items():
        known = [text for text in parts.values() if text]
        missing += [part for part, text in parts.items() if text == ""]
        if known:
            yield name, "; ".join(known)
    asked = [FACTS[name] for name in job.job.unknown_facts if name in FACTS]
    not_asked = [name for name in missing if name not in asked]
    if not_asked:
        yield "Not recorded", ", ".join(not_asked)
    if asked:
        yield "Asked, nobody knows", ", ".join(asked)
    if job.superseded_by:
        yield "Sealed again", day(job.superseded_by.done_at, findings.time_zone)


def _recorded(job: JobFindings, findings: Findings) -> dict[str, dict[str, str | None]]:
    """Return rows of facts by their names: empty where one is missing, None where it may be."""
    record, zone = job.job, findings.time_zone

    def time(verb: str, at: datetime | None) -> str:
        return f"{verb} {moment(at, zone)}" if at else ""

    return {
        "Material": {FACTS["material_id"]: job.material.name if job.material else ""},
        "Its rule": {FACTS["rule"]: job.rule.source or "no source" if job.rule else ""},
        "Bead": {
            FACTS["bead_mm"]: _amount(record.bead_mm, "bead_mm"),
            FACTS["bead_place"]: word(record.bead_place) if record.bead_place else "",
        },
        "Times": {
            FACTS["bead_laid_at"]: time("laid", record.bead_laid_at),
            FACTS["closed_at"]: time("closed", record.closed_at),
            FACTS["filled_at"]: time("filled", record.filled_at),
        },
        "Air": {
            FACTS["temperature_c"]: _amount(record.temperature_c, "temperature_c"),
            FACTS["humidity_percent"]: _amount(record.humidity_percent, "humidity_percent"),
        },
        "Surfaces": {FACTS["surface_work"]: record.surface_work},
        "Tightening": {FACTS["torque"]: "\n".join(map(_torque, job.torque_passes))},
        "Parts": {"parts": "\n".join(map(_part, job.parts)) or None},
        "Done by": {FACTS["done_by"]: record.done_by},
        "Note": {"note": record.note or None},
    }


def _amount(value: float | None, name: str) -> str:
    return "" if value is None else amount(value, UNITS[name])


def _torque(one: TorquePass) -> str:
    parts = [f"Pass {one.number}"]
    if one.torque_nm is not None:
        parts.append(amount(one.torque_nm, "N m"))
    if one.angle_deg is not None:
        parts.append(amount(one.angle_deg, "°"))
    if one.bolt_numbers:
        parts.append(f"bolts {', '.join(map(str, one.bolt_numbers))}")
    parts += [text for text in (one.sequence, one.tool) if text]
    return ", ".join(parts)


def _part(part: Part) -> str:
    single = ", single use" if part.is_single_use else ""
    note = f": {part.note}" if part.note else ""
    return f"{part.name}{single}, {word(part.condition)}{note}"
