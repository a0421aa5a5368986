"""Compose a report: records and results of one engine in, text, tables and photos out."""

from collections import Counter
from collections.abc import Iterator

from leaktrack.model.comparison import LeakHistory
from leaktrack.model.leak import SeepageGrade, wetness, worst
from leaktrack.model.trace import CauseState
from leaktrack.model.units import told_in
from leaktrack.model.words import grade_words, word
from leaktrack.report.amounts import count, day, hours, sentence
from leaktrack.report.causes_section import causes_section
from leaktrack.report.contents import Block, Bullets, Facts, ReportContents, Section
from leaktrack.report.findings import Findings
from leaktrack.report.joints_section import joints_section
from leaktrack.report.leaks_section import leaks_section
from leaktrack.report.naming import Names
from leaktrack.report.photos_section import photos_section
from leaktrack.report.redo_section import redo_section
from leaktrack.report.runs_section import runs_section
from leaktrack.report.seals_section import seals_sections
from leaktrack.report.unknown_section import unknown_section


def composed(findings: Findings) -> ReportContents:
    """Return the whole report: what matters most to its reader comes first."""
    with told_in(findings.units):
        return _composed(findings)


def _composed(findings: Findings) -> ReportContents:
    names = Names(findings)
    return ReportContents(
        title=f"Leak report: {findings.engine.name}",
        engine=findings.engine.name,
        description=findings.engine.description,
        project=findings.project,
        made_at=findings.made_at,
        made_by=findings.made_by,
        sections=(
            _in_short(findings, names),
            leaks_section(findings, names),
            causes_section(findings, names),
            redo_section(findings, names),
            joints_section(findings, names),
            photos_section(findings, names),
            runs_section(findings, names),
            *seals_sections(findings),
            unknown_section(findings, names),
        ),
    )


def _in_short(findings: Findings, names: Names) -> Section:
    blocks: list[Block] = [Facts(tuple(_summary(findings)))]
    if findings.histories:
        blocks.append(
            Bullets(tuple(_leak_sentence(one, findings, names) for one in findings.histories))
        )
    return Section("In short", tuple(blocks))


def _summary(findings: Findings) -> Iterator[tuple[str, str]]:
    yield "Inspections", _inspections(findings)
    yield "Leaks found", str(len(findings.histories))
    if findings.inspections and findings.histories:
        yield "At the last inspection", _last_grades(findings)
    states = Counter(cause.state for cause in findings.causes)
    causes = [f"{states[state]} {word(state)}" for state in CauseState if states[state]]
    yield "Causes", ", ".join(causes) or "none decided yet"
    yield "To redo", _to_redo(findings)


def _to_redo(findings: Findings) -> str:
    redo = findings.redo
    if findings.redo_problem:
        return "could not be worked out"
    if not redo.tasks:
        return "nothing on the list"
    cure = f", then {hours(redo.cure_h)} of cure" if redo.cure_h else ""
    return f"{count(len(redo.tasks), 'task')}, {hours(redo.hours)} of labour{cure}"


def _inspections(findings: Findings) -> str:
    inspections = findings.inspections
    if not inspections:
        return "none yet"
    first = day(inspections[0].looked_at, findings.time_zone)
    last = day(inspections[-1].looked_at, findings.time_zone)
    return f"1, on {first}" if len(inspections) == 1 else f"{len(inspections)}, {first} to {last}"


def _last_grades(findings: Findings) -> str:
    grades = Counter(_last(history) for history in findings.histories)
    in_order = sorted(grades, key=lambda grade: wetness(grade) or 0, reverse=True)
    return ", ".join(f"{grades[grade]} {word(grade)}" for grade in in_order)


def _last(history: LeakHistory) -> SeepageGrade:
    return history.sightings[-1].grade if history.sightings else SeepageGrade.NOT_SEEN


def _leak_sentence(history: LeakHistory, findings: Findings, names: Names) -> str:
    cause = _cause_words(history, findings, names)
    return f"{names.leak_place(history.leak)}: {_fared(history)}. {cause}"


def _fared(history: LeakHistory) -> str:
    at_worst = worst([one.grade for one in history.sightings])
    if at_worst is SeepageGrade.NOT_SEEN:
        return "not seen at any inspection"
    return f"{grade_words(at_worst)} at its worst, {grade_words(_last(history))} at the last look"


def _cause_words(history: LeakHistory, findings: Findings, names: Names) -> str:
    jobs = {job.job.id: job.job for job in findings.jobs}
    for state in (CauseState.CONFIRMED, CauseState.SUSPECTED):
        for cause in findings.causes:
            job = jobs.get(cause.sealing_job_id)
            if cause.leak_id == history.leak.id and cause.state is state and job:
                bolt = names.bolt(cause.bolt_id)
                where = names.job(job) + (f", {bolt}" if bolt else "")
                return f"{sentence(word(state))} cause: {where}."
    return "Its cause is not decided."
