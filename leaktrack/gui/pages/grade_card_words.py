"""What the grade card says, in words."""

from dataclasses import dataclass

from PySide6.QtCore import QCoreApplication

from leaktrack.model.leak import SeepageGrade
from leaktrack.model.oil_words import outlook_sentences
from leaktrack.model.severity import FiredRule, PublishedClasses
from leaktrack.model.severity_words import extent_words, rule_words
from leaktrack.model.words import grade_words, word
from leaktrack.workflows.judge_leaks import GradeCard


@dataclass(frozen=True, slots=True)
class CardWords:
    """What to show of a mark.

    Attributes:
        verdict: What follows from its grade, and why.
        proposal: The grade that observations speak for, and the rule with its source.
        details: Drops, size and wiping kept apart; published classes; what to look at next.
        amounts: What drops add up to, with what that assumes; empty where none were counted.
        sources: Where the rules come from.
    """

    verdict: str
    proposal: str
    details: tuple[str, ...]
    amounts: tuple[str, ...]
    sources: tuple[str, ...]


def card_words(card: GradeCard, units: str) -> CardWords:
    """Return the words for a card, in metric or imperial units."""
    proposal = card.proposal
    fired = (proposal.by_drops, proposal.by_extent, proposal.by_reappearing, proposal.by_light)
    sources = [rule.source for rule in fired if rule is not None]
    return CardWords(
        verdict=_verdict(card),
        proposal=_proposal(card, units),
        details=tuple(filter(None, _details(card, units))),
        amounts=tuple(filter(None, outlook_sentences(card.outlook, units))) if card.outlook else (),
        sources=tuple(dict.fromkeys(filter(None, (card.judgement.source, *sources)))),
    )


def _verdict(card: GradeCard) -> str:
    verdict = word(card.judgement.verdict)
    seal = f" ({word(card.seal_kind)})" if card.seal_kind else ""
    return f"{verdict[0].upper()}{verdict[1:]}{seal}. {card.judgement.reason}"


def _proposal(card: GradeCard, units: str) -> str:
    proposal = card.proposal
    if proposal.fired is None:
        return _tr("No grade is proposed: nothing was observed.")
    why = f"{rule_words(proposal.fired, card.seen, units)} ({proposal.fired.source})"
    if card.offers_other_grade:
        return _tr("Proposed: %s, as %s.") % (grade_words(proposal.grade), why)
    if proposal.grade is card.given:
        return _tr("The grade fits: %s.") % why
    return _tr("Nothing observed speaks against %s: %s.") % (grade_words(card.given), why)


def _details(card: GradeCard, units: str) -> list[str]:
    proposal, seen = card.proposal, card.seen
    lines = []
    for name, rule in (
        (_tr("Drops"), proposal.by_drops),
        (_tr("Wiping"), proposal.by_reappearing),
        (_tr("Light"), proposal.by_light),
    ):
        if rule is not None:
            lines.append(f"{name}: {_rule(rule, card, units)}.")
    if seen.extent_mm is not None:
        since = "" if card.is_time_told or seen.minutes is None else _tr(" since it was cleaned")
        lines.append(f"{_tr('Extent')}: {_extent_grades(card)}{extent_words(seen, units)}{since}.")
    if card.classes is not None:
        lines.append(_class_words(card.classes))
    if proposal.next_looks:
        looks = "; ".join(word(look) for look in proposal.next_looks)
        lines.append(_tr("To be surer: %s.") % looks)
    return lines


def _rule(rule: FiredRule, card: GradeCard, units: str) -> str:
    return f"{grade_words(rule.grade)}, {rule_words(rule, card.seen, units)}"


def _extent_grades(card: GradeCard) -> str:
    """Return which grades the size allows, with its doubt."""
    if card.proposal.extent_grades is None:
        return ""
    lowest, highest = card.proposal.extent_grades
    if lowest is None:
        if highest is SeepageGrade.DRIP:
            return _tr("no word on the grade after so long, ")
        return _tr("%s at most, ") % grade_words(highest)
    if lowest is highest:
        return f"{grade_words(lowest)}, "
    return _tr("%s or %s, ") % (grade_words(lowest), grade_words(highest))


def _class_words(classes: PublishedClasses) -> str:
    parts = [f"ISO/TR 11340: {classes.iso_tr_11340}"]
    if classes.pmcs is not None:
        parts.append(f"PMCS: {word(classes.pmcs)}")
    if classes.din_3761:
        parts.append(f"DIN 3761: {' / '.join(word(term) for term in classes.din_3761)}")
    return ", ".join(parts)


def _tr(text: str) -> str:
    return QCoreApplication.translate("grade_card", text)
