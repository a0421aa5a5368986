"""Clues, origins and their weights as a person would say them."""

from collections.abc import Sequence

from leaktrack.model.chance import percent_words
from leaktrack.model.sealing_job import DeviationKind
from leaktrack.model.source import FoundSource
from leaktrack.model.trace import Candidate, Clue, ClueKind, OtherOrigin
from leaktrack.model.units import figure, rough
from leaktrack.model.words import deviation_sentence, station_words, word

_FROM: tuple[tuple[float, str], ...] = (
    (5.0, "very strongly"),
    (3.0, "strongly"),
    (1.0, "clearly"),
    (0.05, "a little"),
)
"""From which weight on which words hold; below the last it says nothing.

Source:
    R. Kass and A. Raftery, Bayes Factors, Journal of the American Statistical Association 90, 1995:
    steps at natural logarithms of 1, 3 and 5; from memory. The words and the last step are own.
"""


def clue_sentence(clue: Clue) -> str:
    """Return one clue as a person would say it."""
    if clue.deviation is not None:
        return deviation_sentence(clue.deviation)
    if clue.value is None:
        return word(clue.kind)
    if clue.unit == "bolt":
        return f"starts at bolt {clue.value:g}"
    if clue.unit == "of":
        return f"{word(clue.kind)}: {clue.value:g} of {clue.second or 0:g}"
    if clue.kind in _PLACES:
        return f"{word(clue.kind)}, {rough(clue.value, clue.unit)} away{_in_sigmas(clue)}"
    return f"{word(clue.kind)}, {figure(clue.value, clue.unit)}"


def capital(text: str) -> str:
    """Return a sentence with a capital at its start, and the rest as it is.

    >>> capital("pressure of 60 mmH2O")
    'Pressure of 60 mmH2O'
    """
    return text[:1].upper() + text[1:]


def weight_words(weight: float) -> str:
    """Return a weight in words and as a number.

    >>> weight_words(2.3), weight_words(-5.5), weight_words(0.01)
    ('speaks clearly for it, +2.3', 'speaks very strongly against it, -5.5', 'says nothing, 0')
    """
    size = next((words for least, words in _FROM if abs(weight) >= least), "")
    if not size:
        return "says nothing, 0"
    side = "for" if weight > 0 else "against"
    return f"speaks {size} {side} it, {weight_number(weight)}"


def weight_number(weight: float) -> str:
    """Return a weight with its sign and one figure behind the point.

    >>> weight_number(2.34), weight_number(-0.02)
    ('+2.3', '0')
    """
    return f"{weight:+.1f}" if abs(weight) >= _FROM[-1][0] else "0"


def is_gap_in_record(clue: Clue) -> bool:
    """Return whether a clue only says that something was not recorded."""
    return clue.deviation is not None and clue.deviation.kind is DeviationKind.NOT_RECORDED


def origin_words(one: Candidate | OtherOrigin) -> str:
    """Return what a leak may come from, in a few words."""
    if isinstance(one, OtherOrigin):
        if one.joint is not None:
            return f"{one.joint.name}, of which no sealing is recorded"
        return word(one.origin)
    sealed = f"sealed {one.job.done_at.astimezone():%Y-%m-%d}"
    if one.bolt is not None:
        return f"{one.joint.name}, bolt {one.bolt.number}, {sealed}"
    place = f" at {station_words(one.station)}" if one.station is not None else ""
    return f"{one.joint.name}{place}, {sealed}"


def source_sentences(source: FoundSource) -> tuple[str, ...]:
    """Return where the wet area begins, how well that is known, and what says which way is down."""
    how = "marked by a person" if source.is_marked else "the top of the wet area"
    found = [f"source: {how}, known to {rough(source.sigma_mm, 'mm')}"]
    if source.trail.is_known:
        found.append(f"which way is down: {word(source.trail.said_by)}")
    else:
        found.append("which way is down: nothing says so in this photo")
    if source.trail.is_blown:
        found.append("air blew over the engine, so the oil may have run sideways")
    if source.comes_from_edge:
        found.append("the wet area comes in at the photo's upper edge: it may come from above")
    if source.run_off_mm is not None and source.run_off_mm >= 1:
        found.append(f"below the source the oil ran {rough(source.run_off_mm, 'mm')} down")
    if source.later:
        looks = "1 later look" if len(source.later) == 1 else f"{len(source.later)} later looks"
        found.append(f"{looks} at the same leak counted as well")
    if source.is_scale_assumed:
        found.append("the photo has no scale, so millimetres are a guess")
    return tuple(found)


def own_weights_sentence(names: Sequence[str]) -> str:
    """Return which weights a user's own file changed; empty where it changed none."""
    return f"Your own file of weights changes: {', '.join(names)}." if names else ""


def chance_number(chance: float) -> str:
    """Return a chance as a number.

    >>> chance_number(0.874), chance_number(0.002), chance_number(0.998)
    ('87 %', 'below 1 %', 'above 99 %')
    """
    if chance >= 0.995:
        return "above 99 %"
    return "below 1 %" if chance < 0.005 else percent_words(chance)


_PLACES = frozenset(
    {
        ClueKind.AT_THE_JOINT,
        ClueKind.BELOW_THE_JOINT,
        ClueKind.ABOVE_THE_JOINT,
        ClueKind.NEAR_A_BOLT,
        ClueKind.LATER_LOOK,
    }
)


def _in_sigmas(clue: Clue) -> str:
    return "" if clue.second is None else f", {clue.second:.1f} times its uncertainty"
