"""What became of redone joints, as a person would say it."""

from leaktrack.model.verification import Outcome, SuccessCount, Verification
from leaktrack.model.words import station_words, word


def verification_sentence(one: Verification) -> str:
    """Return what became of a leak after its joint was sealed again."""
    sealed = f"{one.joint.name}, sealed again {one.redo.done_at.astimezone():%Y-%m-%d}"
    if one.inspection is None:
        return f"{sealed}: no look since."
    came = word(one.outcome)
    if one.outcome is Outcome.MOVED and one.moved_to is not None:
        came += f" to {station_words(one.moved_to)}"
    if one.outcome is Outcome.NOT_SEEN:
        return f"{sealed}: {came}."
    return f"{sealed}: {came} ({one.inspection.looked_at.astimezone():%Y-%m-%d})."


def proposal_sentence(one: Verification) -> str:
    """Return the verdict that follows; empty where none does."""
    if one.proposal is None:
        return ""
    return f"Proposed verdict: {word(one.proposal.state)}. {one.proposal.reason}"


def success_sentence(count: SuccessCount) -> str:
    """Return how often one way of sealing again cured a leak."""
    material = f", {count.material}" if count.material else ""
    return f"{word(count.seal_kind)}{material}: {count.cured} of {count.tried}"
