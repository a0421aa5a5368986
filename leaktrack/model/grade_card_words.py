"""What the grade card says, in words."""

from dataclasses import dataclass

from leaktrack.model.grade_card import GradeCard
from leaktrack.model.leak import SeepageGrade
from leaktrack.model.oil_words import outlook_sentences, pool_sentences
from leaktrack.model.severity import FiredRule, PublishedClasses
from leaktrack.model.severity_words import extent_words, rule_words
from leaktrack.model.words import grade_words, word


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


def card_words(card: GradeCard, units: str | None = None) -> CardWords:
    """Return the words for a card, in metric or imperial units; None: those in use."""
    proposal = card.proposal
    fired = (proposal.by_drops, proposal.by_extent, proposal.by_reappearing, proposal.by_light)
    sources = [rule.source for rule in fired if rule is not None]
    return CardWords(
        verdict=_verdict(card),
        proposal=_proposal(card, units),
        details=tuple(filter(None, _details(card, units))),
        amounts=tuple(filter(None, _amounts(card, units))),
        sources=tuple(dict.fromkeys(filter(None, (card.judgement.source, *sources)))),
    )


def _amounts(card: GradeCard, units: str | None) -> tuple[str, ...]:
    drops = outlook_sentences(card.outlook, units) if card.outlook is not None else ()
    if card.pool is None or card.mark.pool_mm is None:
        return drops
    return (*pool_sentences(card.mark.pool_mm, card.pool, units), *drops)


def _verdict(card: GradeCard) -> str:
    verdict = word(card.judgement.verdict)
    seal = f" ({word(card.seal_kind)})" if card.seal_kind else ""
    return f"{verdict[0].upper()}{verdict[1:]}{seal}. {card.judgement.reason}"


def _proposal(card: GradeCard, units: str | None) -> str:
    proposal = card.proposal
    if proposal.fired is None:
        return "No grade is proposed: nothing was observed."
    why = f"{rule_words(proposal.fired, card.seen, units)} ({proposal.fired.source})"
    if card.offers_other_grade:
        then = f"Then: {word(card.proposed_judgement.verdict)}"
        if card.proposed_classes is not None:
            then += f"; {_class_words(card.proposed_classes)}"
        return f"Proposed: {grade_words(proposal.grade)}, as {why}. {then}."
    if proposal.grade is card.given:
        return f"The grade fits: {why}."
    return f"Nothing observed speaks against {grade_words(card.given)}: {why}."


def _details(card: GradeCard, units: str | None) -> list[str]:
    proposal, seen = card.proposal, card.seen
    lines = []
    for name, rule in (
        ("Drops", proposal.by_drops),
        ("Wiping", proposal.by_reappearing),
        ("Light", proposal.by_light),
    ):
        if rule is not None:
            lines.append(f"{name}: {_rule(rule, card, units)}.")
    if seen.extent_mm is not None:
        since = "" if card.is_time_told or seen.minutes is None else " since it was cleaned"
        lines.append(f"Extent: {_extent_grades(card)}{extent_words(seen, units)}{since}.")
    if card.classes is not None:
        lines.append(f"{grade_words(card.given)} is {_class_words(card.classes)}.")
    if proposal.next_looks:
        looks = "; ".join(word(look) for look in proposal.next_looks)
        lines.append(f"To be surer: {looks}.")
    return lines


def _rule(rule: FiredRule, card: GradeCard, units: str | None) -> str:
    return f"{grade_words(rule.grade)}, {rule_words(rule, card.seen, units)}"


def _extent_grades(card: GradeCard) -> str:
    """Return which grades the size allows, with its doubt."""
    if card.proposal.extent_grades is None:
        return ""
    lowest, highest = card.proposal.extent_grades
    if lowest is None:
        if highest is SeepageGrade.DRIP:
            return "no word on the grade after so long, "
        return f"{grade_words(highest)} at most, "
    if lowest is highest:
        return f"{grade_words(lowest)}, "
    return f"{grade_words(lowest)} or {grade_words(highest)}, "


def _class_words(classes: PublishedClasses) -> str:
    parts = [f"ISO/TR 11340: {classes.iso_tr_11340}"]
    if classes.pmcs is not None:
        parts.append(f"PMCS: {word(classes.pmcs)}")
    if classes.din_3761:
        parts.append(f"DIN 3761: {' / '.join(word(term) for term in classes.din_3761)}")
    return ", ".join(parts)
