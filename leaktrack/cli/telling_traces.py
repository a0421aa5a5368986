"""Tell in sentences where leaks come from, what to check next and what a redo did."""

from collections.abc import Mapping, Sequence
from uuid import UUID

from leaktrack.cli.printing import say
from leaktrack.cli.trace_documents import trace_state
from leaktrack.model.clue_words import (
    capital,
    chance_number,
    clue_sentence,
    is_gap_in_record,
    origin_words,
    own_weights_sentence,
    source_sentences,
    weight_words,
)
from leaktrack.model.engine import Zone
from leaktrack.model.trace import Candidate, NextCheck, OtherOrigin, Trace
from leaktrack.model.verification import SuccessCount, Verification
from leaktrack.model.verification_words import (
    proposal_sentence,
    success_sentence,
    verification_sentence,
)
from leaktrack.model.words import DEFER, FACTS, word
from leaktrack.workflows.project import Project

_WORTH_TELLING = 0.01
"""Origins with less chance than this are only counted, unless a person judged them."""


def tell_traces(
    project: Project,
    traces: Sequence[Trace],
    verified: Mapping[UUID, Sequence[Verification]],
    successes: Sequence[SuccessCount],
) -> None:
    """Print what leaks may come from, most likely first, with what speaks for and against it."""
    zones = {zone.id: zone.name for zone in project.all(Zone)}
    for trace in traces:
        say(f"Leak {trace.leak.number}, {zones[trace.leak.zone_id]}:")
        if trace_state(trace) == "unreliable":
            say("Unreliable: no line of a joint is drawn where it was marked.", indent="  ")
        _tell_trace(trace)
        for one in verified.get(trace.leak.id, ()):
            told = f"{verification_sentence(one)} {proposal_sentence(one)}"
            say(told.rstrip(), indent="  ")
        say()
    if successes:
        say("Sealing again cured, of those looked at after it:")
        for count in successes:
            say(success_sentence(count), indent="  - ")
        say()


def _tell_trace(trace: Trace) -> None:
    if trace.source is not None:
        say(capital("; ".join(source_sentences(trace.source))) + ".", indent="  ")
    if not trace.candidates and not trace.joints_without_job:
        say("No joint is known that it could come from.", indent="  ")
    worth = [one for one in trace.ranked if _is_worth_telling(one)]
    for rank, one in enumerate(worth, start=1):
        _tell_origin(rank, one)
    left = len(trace.ranked) - len(worth)
    if left:
        say(f"{left} more, each below 1 %.", indent="  ")
    if trace.own_weights:
        say(own_weights_sentence(trace.own_weights), indent="  ")
    if trace.next_check is not None:
        _tell_check(trace.next_check)


def _tell_origin(rank: int, one: Candidate | OtherOrigin) -> None:
    say(f"{rank}. {chance_number(one.chance)}  {origin_words(one)}", indent="  ")
    gaps = []
    for clue in one.clues:
        if is_gap_in_record(clue) and clue.deviation is not None:
            gaps.append(FACTS.get(clue.deviation.subject, clue.deviation.subject))
        else:
            say(f"{clue_sentence(clue)}: {weight_words(clue.weight)}", indent="     - ")
    if gaps:
        say(f"not recorded: {', '.join(gaps)}", indent="     - ")
    if isinstance(one, OtherOrigin) and one.faces:
        say(f"above lies: {', '.join(one.faces)}", indent="     - ")
    verdict = one.verdict if isinstance(one, Candidate) else None
    if verdict is not None:
        say(f"{word(verdict.state)}: {verdict.reason}", indent="     = ")


def _tell_check(check: NextCheck) -> None:
    say(f"What tells {check.between[0]} from {check.between[1]}:", indent="  ")
    say(word(check.check), indent="     ")
    for caution in check.cautions:
        say(word(caution), indent="     ! ")
    if check.cautions:
        say(DEFER, indent="     ! ")


def _is_worth_telling(one: Candidate | OtherOrigin) -> bool:
    is_judged = isinstance(one, Candidate) and one.verdict is not None
    return one.chance >= _WORTH_TELLING or is_judged
