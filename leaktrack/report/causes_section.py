"""Tell where each leak comes from: what people decided, what speaks for it, and what shows it."""

from collections.abc import Sequence
from uuid import UUID

from leaktrack.model.chance import chance_words
from leaktrack.model.clue_words import (
    chance_number,
    clue_sentence,
    weight_number,
    weight_words,
)
from leaktrack.model.comparison import LeakHistory
from leaktrack.model.leak import Leak
from leaktrack.model.trace import Candidate, Cause, CauseState, Clue, Trace
from leaktrack.model.verification_words import (
    proposal_sentence,
    success_sentence,
    verification_sentence,
)
from leaktrack.model.words import DEFER, deviation_sentence, station_words, word
from leaktrack.report.amounts import day, sentence
from leaktrack.report.contents import (
    Block,
    Bullets,
    Facts,
    Paragraph,
    Section,
    Subheading,
    Warnings,
)
from leaktrack.report.evidence import evidence_blocks
from leaktrack.report.findings import Findings, JobFindings
from leaktrack.report.naming import Names

_WORTH_NAMING = 0.01  # origins with less chance are left out
_MOST_POSSIBLE = 2  # candidates shown in full, the most likely first, until a cause is confirmed

_ORDER = (CauseState.CONFIRMED, CauseState.SUSPECTED, CauseState.RULED_OUT)


def causes_section(findings: Findings, names: Names) -> Section:
    """Return the section with a part for each leak."""
    causes = _Causes(findings, names)
    blocks: list[Block] = []
    for history in findings.histories:
        blocks += causes.of_leak(history)
    if findings.successes:
        blocks += _successes(findings)
    own = next((trace.own_weights for trace in findings.traces if trace.own_weights), ())
    if own:
        changed = f"The chances count with weights of the user's own: {', '.join(own)}."
        blocks.append(Paragraph(changed, is_quiet=True))
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
        blocks += self._after_redo(leak)
        in_full, named = _undecided(trace, causes)
        for candidate in in_full:
            blocks += self._candidate(candidate, leak.number)
        blocks += self._others(named, trace)
        blocks += _next_check(trace)
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
        candidate = _meant_by(cause, trace)
        if candidate and candidate.station is not None:
            facts.append(("Place on the joint", station_words(candidate.station)))
        if candidate:
            facts.append(("Chance by the clues", _chance(candidate.chance)))
        blocks: list[Block] = [Subheading(title, 4), Facts(tuple(facts))]
        if cause.state is CauseState.RULED_OUT:
            return blocks
        return blocks + self._reasons(job, candidate, self._names.leak(cause.leak_id))

    def _decided(self, cause: Cause) -> str:
        on = day(cause.decided_at, self._findings.time_zone)
        return f"{on}, by {cause.decided_by}" if cause.decided_by else on

    def _candidate(self, candidate: Candidate, leak_number: int) -> list[Block]:
        job = self._jobs.get(candidate.job.id, JobFindings(job=candidate.job))
        bolt = f", bolt {candidate.bolt.number}" if candidate.bolt else ""
        title = f"Possible, not decided: {self._names.job(candidate.job)}{bolt}"
        facts = [("Chance by the clues", _chance(candidate.chance))]
        if candidate.station is not None:
            facts.append(("Place on the joint", station_words(candidate.station)))
        blocks: list[Block] = [Subheading(title, 4), Facts(tuple(facts))]
        return blocks + self._reasons(job, candidate, f"leak {leak_number}")

    def _reasons(
        self, job: JobFindings, candidate: Candidate | None, leak_name: str
    ) -> list[Block]:
        """Return clues and departures from the rule, and the evidence if it is not shown yet."""
        clues = candidate.clues if candidate else ()
        sentences = [_weighed(clue) for clue in clues]
        said = {clue.deviation for clue in clues}
        sentences += [deviation_sentence(one) for one in job.deviations if one not in said]
        unique = tuple(dict.fromkeys(sentence(text) for text in sentences))
        blocks: list[Block] = [Bullets(unique)] if unique else []
        first_shown_at = self._shown_at.setdefault(job.job.id, leak_name)
        if first_shown_at != leak_name:
            blocks.append(Paragraph(f"Its photos stand at {first_shown_at}.", is_quiet=True))
            return blocks
        return blocks + evidence_blocks(job, self._findings, self._names)

    def _others(self, candidates: list[Candidate], trace: Trace | None) -> list[Block]:
        names = [
            self._names.job(one.job) + (f", bolt {one.bolt.number}" if one.bolt else "")
            for one in candidates
        ]
        without = [joint.name for joint in trace.joints_without_job] if trace else []
        names += [f"{sentence(name)}, of which no sealing is recorded" for name in without]
        names += [
            f"{word(one.origin)} ({chance_number(one.chance)})"
            for one in (trace.others if trace else ())
            if one.joint is None and one.chance >= _WORTH_NAMING
        ]
        unique = dict.fromkeys(names)
        return [Paragraph(f"Not decided: {'; '.join(unique)}.", is_quiet=True)] if unique else []

    def _after_redo(self, leak: Leak) -> list[Block]:
        """Return what became of it where a joint that is blamed was sealed again."""
        told = tuple(
            f"{verification_sentence(one)} {proposal_sentence(one)}".rstrip()
            for one in self._findings.verifications
            if one.leak.id == leak.id
        )
        return [Bullets(told)] if told else []


def _meant_by(cause: Cause, trace: Trace | None) -> Candidate | None:
    """Return the candidate that a verdict is about: the seal, or the bolt that it names."""
    of_job = [one for one in _candidates(trace) if one.job.id == cause.sealing_job_id]
    of_bolt = [one for one in of_job if (one.bolt.id if one.bolt else None) == cause.bolt_id]
    return next(iter(of_bolt or of_job), None)


def _weighed(clue: Clue) -> str:
    """Return a clue with its weight, where it has one."""
    if weight_number(clue.weight) == "0":
        return clue_sentence(clue)
    return f"{clue_sentence(clue)} ({weight_words(clue.weight)})"


def _chance(chance: float) -> str:
    words, _, _ = chance_words(chance).rpartition(", ")
    return f"{chance_number(chance)}, {words}"


def _next_check(trace: Trace | None) -> list[Block]:
    """Return what would tell the two likeliest origins apart, and what can hurt in it."""
    check = trace.next_check if trace else None
    if check is None:
        return []
    apart = f"What to check next, to tell {check.between[0]} from {check.between[1]}: "
    blocks: list[Block] = [Paragraph(apart + word(check.check))]
    if check.cautions:
        blocks.append(Warnings(tuple(word(one) for one in check.cautions), DEFER))
    return blocks


def _successes(findings: Findings) -> list[Block]:
    """Return how often each way of sealing again cured a leak in this project."""
    return [
        Subheading("What sealing again has cured so far"),
        Paragraph("Of the places that were looked at after it:", introduces=True),
        Bullets(tuple(sentence(success_sentence(one)) for one in findings.successes)),
    ]


def _candidates(trace: Trace | None) -> tuple[Candidate, ...]:
    return trace.candidates if trace else ()


def _undecided(
    trace: Trace | None, causes: Sequence[Cause]
) -> tuple[list[Candidate], list[Candidate]]:
    """Return the candidates nobody decided on: those to show in full, and those to name only."""
    meant = [_meant_by(cause, trace) for cause in causes]
    ruled_out = {
        cause.sealing_job_id
        for cause in causes
        if cause.bolt_id is None and cause.state is CauseState.RULED_OUT
    }
    left = [one for one in _candidates(trace) if one not in meant and one.job.id not in ruled_out]
    undecided = [one for one in left if one.chance >= _WORTH_NAMING] or left[:1]
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
