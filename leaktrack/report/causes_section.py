"""Tell where each leak comes from: what people decided, what speaks for it, and what shows it."""

from collections.abc import Sequence
from uuid import UUID

from leaktrack.model.clue_words import clue_sentence
from leaktrack.model.comparison import LeakHistory
from leaktrack.model.leak import Leak
from leaktrack.model.trace import Candidate, Cause, CauseState, Trace
from leaktrack.model.words import deviation_sentence, station_words, word
from leaktrack.report.amounts import day, sentence
from leaktrack.report.contents import Block, Bullets, Facts, Paragraph, Section, Subheading
from leaktrack.report.evidence import evidence_blocks
from leaktrack.report.findings import Findings, JobFindings
from leaktrack.report.naming import Names

_MOST_POSSIBLE = 2  # candidates shown in full, the most likely first, until a cause is confirmed

_ORDER = (CauseState.CONFIRMED, CauseState.SUSPECTED, CauseState.RULED_OUT)


def causes_section(findings: Findings, names: Names) -> Section:
    """Return the section with a part for each leak."""
    causes = _Causes(findings, names)
    blocks: list[Block] = []
    for history in findings.histories:
        blocks += causes.of_leak(history)
    if not blocks:
        blocks = [Paragraph("No leak has been marked.")]
    return Section("Where the leaks come from", tuple(blocks))


class _Causes:
    """The causes and candidates of a report. Evidence is shown once, where it is first needed."""

    def __init__(self, findings: Findings, names: Names) -> None:
        self._findings = findings
        self._names = names
        self._jobs = {job.job.id: job for job in findings.jobs}
        self._traces = {trace.leak.id: trace for trace in findings.traces}
        self._shown_at: dict[UUID, str] = {}

    def of_leak(self, history: LeakHistory) -> list[Block]:
        """Return the part about one leak."""
        leak = history.leak
        trace = self._traces.get(leak.id)
        causes = sorted(
            (cause for cause in self._findings.causes if cause.leak_id == leak.id),
            key=lambda cause: (_ORDER.index(cause.state), cause.decided_at),
        )
        blocks: list[Block] = [Subheading(self._names.leak_place(leak))]
        facts = self._facts(leak)
        if facts:
            blocks.append(Facts(facts))
        for cause in causes:
            blocks += self._cause(cause, trace)
        in_full, named = _undecided(trace, causes)
        for candidate in in_full:
            blocks += self._candidate(candidate, leak.number)
        blocks += self._others(named, trace)
        if not (causes or in_full or named):
            blocks.append(Paragraph("No sealing job is known that could have caused it."))
        return blocks

    def _facts(self, leak: Leak) -> tuple[tuple[str, str], ...]:
        facts = []
        if leak.joint_id:
            facts.append(("Thought to come from", self._names.joint(leak.joint_id)))
        if leak.note:
            facts.append(("Note", leak.note))
        judgement = self._findings.judgements.get(leak.id)
        if judgement:
            source = f" ({judgement.source})" if judgement.source else ""
            verdict = f"{sentence(word(judgement.verdict))}. {judgement.reason}{source}"
            facts.append(("What follows from its last look", verdict))
        return tuple(facts)

    def _cause(self, cause: Cause, trace: Trace | None) -> list[Block]:
        job = self._jobs.get(cause.sealing_job_id)
        if job is None:
            return []
        bolt = self._names.bolt(cause.bolt_id)
        title = self._names.job(job.job) + (f", {bolt}" if bolt else "")
        facts = [(sentence(word(cause.state)), cause.reason), ("Decided", self._decided(cause))]
        candidate = next(
            (one for one in _candidates(trace) if one.job.id == cause.sealing_job_id), None
        )
        if candidate and candidate.station is not None:
            facts.append(("Place on the joint", station_words(candidate.station)))
        blocks: list[Block] = [Subheading(title, 4), Facts(tuple(facts))]
        if cause.state is CauseState.RULED_OUT:
            return blocks
        return blocks + self._reasons(job, candidate, self._names.leak(cause.leak_id))

    def _decided(self, cause: Cause) -> str:
        on = day(cause.decided_at, self._findings.time_zone)
        return f"{on}, by {cause.decided_by}" if cause.decided_by else on

    def _candidate(self, candidate: Candidate, leak_number: int) -> list[Block]:
        job = self._jobs.get(candidate.job.id, JobFindings(job=candidate.job))
        title = f"Possible, not decided: {self._names.job(candidate.job)}"
        blocks: list[Block] = [Subheading(title, 4)]
        if candidate.station is not None:
            blocks.append(Facts((("Place on the joint", station_words(candidate.station)),)))
        return blocks + self._reasons(job, candidate, f"leak {leak_number}")

    def _reasons(
        self, job: JobFindings, candidate: Candidate | None, leak_name: str
    ) -> list[Block]:
        """Return clues and departures from the rule, and the evidence if it is not shown yet."""
        sentences = [clue_sentence(clue) for clue in candidate.clues] if candidate else []
        sentences += [deviation_sentence(deviation) for deviation in job.deviations]
        unique = tuple(dict.fromkeys(sentence(text) for text in sentences))
        blocks: list[Block] = [Bullets(unique)] if unique else []
        first_shown_at = self._shown_at.setdefault(job.job.id, leak_name)
        if first_shown_at != leak_name:
            blocks.append(Paragraph(f"Its photos stand at {first_shown_at}.", is_quiet=True))
            return blocks
        return blocks + evidence_blocks(job, self._findings, self._names)

    def _others(self, candidates: list[Candidate], trace: Trace | None) -> list[Block]:
        names = [self._names.job(candidate.job) for candidate in candidates]
        without = [joint.name for joint in trace.joints_without_job] if trace else []
        names += [f"{sentence(name)}, of which no sealing is recorded" for name in without]
        return [Paragraph(f"Not decided: {'; '.join(names)}.", is_quiet=True)] if names else []


def _candidates(trace: Trace | None) -> tuple[Candidate, ...]:
    return trace.candidates if trace else ()


def _undecided(
    trace: Trace | None, causes: Sequence[Cause]
) -> tuple[list[Candidate], list[Candidate]]:
    """Return the candidates nobody decided on: those to show in full, and those to name only."""
    decided = {cause.sealing_job_id for cause in causes}
    undecided = [one for one in _candidates(trace) if one.job.id not in decided]
    is_confirmed = any(cause.state is CauseState.CONFIRMED for cause in causes)
    most = 0 if is_confirmed else _MOST_POSSIBLE
    return undecided[:most], undecided[most:]


def shown_with_causes(findings: Findings) -> frozenset[UUID]:
    """Return the ids of jobs whose evidence stands in the section about causes."""
    shown = {
        cause.sealing_job_id for cause in findings.causes if cause.state is not CauseState.RULED_OUT
    }
    for trace in findings.traces:
        causes = [cause for cause in findings.causes if cause.leak_id == trace.leak.id]
        in_full, _ = _undecided(trace, causes)
        shown.update(candidate.job.id for candidate in in_full)
    return frozenset(shown)
