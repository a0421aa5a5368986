"""Tell how a ring lies in its gland, and what the seals were like that came out of a joint."""

from collections.abc import Iterator

from leaktrack.model.removed_seal import RemovedSeal
from leaktrack.model.ring import SetFigures
from leaktrack.model.ring_words import (
    CAUSES,
    LOOKS,
    RING_ASSUMES,
    SET_ASSUMES,
    SET_LIMITS,
    finding_sentence,
    ring_lines,
    set_lines,
)
from leaktrack.model.words import word
from leaktrack.report.amounts import amount, day, sentence
from leaktrack.report.contents import Block, Bullets, Facts, Paragraph
from leaktrack.report.findings import Findings, JobFindings
from leaktrack.report.naming import by_id


def ring_blocks(job: JobFindings) -> list[Block]:
    """Return squeeze, stretch and fill of a job's ring; nothing where they are not known."""
    if job.ring is None:
        return []
    fit, figures = job.ring
    lines = [*ring_lines(figures), *(finding_sentence(one) for one in figures.findings)]
    if figures.missing_tolerances:
        lines.append(f"no tolerance given, taken as exact: {', '.join(figures.missing_tolerances)}")
    if not lines:
        return []
    name = f"Ring {fit.size}" if fit.size else "Ring"
    head = Paragraph(f"{name} in its gland:", introduces=True)
    told = Bullets(tuple(sentence(line) for line in lines))
    return [head, told, Paragraph(RING_ASSUMES, is_quiet=True)]


def removed_blocks(job: JobFindings, findings: Findings) -> list[Block]:
    """Return the exams of the seals that came out of a job's joint."""
    blocks: list[Block] = []
    for seal, figures in job.removed:
        when = day(seal.examined_at, findings.time_zone)
        blocks.append(Paragraph(f"Removed seal, examined {when}:", introduces=True))
        blocks.append(Facts(tuple(_facts(seal, figures, findings))))
    if any(figures for _, figures in job.removed):
        blocks.append(Paragraph(f"{SET_LIMITS} {SET_ASSUMES}", is_quiet=True))
    return blocks


def _facts(
    seal: RemovedSeal, figures: SetFigures | None, findings: Findings
) -> Iterator[tuple[str, str]]:
    failures = [one for one in (seal.failure, seal.second_failure) if one is not None]
    looks = "; ".join(f"{word(one)} ({LOOKS[one]})" for one in failures)
    after, hardness = seal.recovered_after_min, seal.hardness_shore_a
    photo = by_id(findings.photos).get(seal.photo_id) if seal.photo_id else None
    rows = {
        "Failure": looks or "not judged",
        "Most often from": "; ".join(CAUSES[one] for one in failures),
        "Where on it": seal.place,
        "Cause, as judged": seal.cause,
        "Compression set": "\n".join(set_lines(figures)) if figures else "",
        "Measured after": "" if after is None else amount(after, "min"),
        "Hardness": "" if hardness is None else f"{hardness:g} Shore A",
        "Photo": photo.original_name if photo else "",
        "By": seal.examined_by,
        "Note": seal.note,
    }
    return ((name, text) for name, text in rows.items() if text)
