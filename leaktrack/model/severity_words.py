"""Why a grade is proposed, in plain words: rules, what to look at next, pressure, warnings."""

from enum import Enum

from leaktrack.model.figure_words import amount_words, doubted_words, minutes_words
from leaktrack.model.oil_account import AccountState, LeakWay
from leaktrack.model.pressure import PressureJudgement, PressureState
from leaktrack.model.severity import FiredRule, GradeRule, NextLook, Observations
from leaktrack.model.warning import WarningKind

SEVERITY_WORDS: dict[Enum, str] = {
    GradeRule.STREAM: "it runs in a stream",
    GradeRule.DROPS_FALL: "drops fall",
    GradeRule.DROP_HANGS: "a drop hangs but does not fall",
    GradeRule.WET_NO_DROP: "wet, and no drop forms",
    GradeRule.NOTHING_WET: "no sign of moisture",
    GradeRule.EXTENT: "the size of the wet area",
    GradeRule.BACK_AT_ONCE: "wet again at once after wiping",
    GradeRule.BACK_LATER: "wet again some time after wiping",
    GradeRule.CAME_BACK: "wet again after wiping, without a drop",
    GradeRule.STAYED_AWAY: "did not come back after wiping",
    GradeRule.ONLY_GLOWS: "glows under the UV lamp, but white light shows no oil",
    NextLook.WIPE: "wipe it and look again: that tells a stain from a seep",
    NextLook.DROPS: "look whether a drop hangs",
    NextLook.COUNT_DROPS: "count the drops of a minute: that tells how much is lost",
    NextLook.MINUTES: "say for how long it had been getting wet: then its size counts",
    NextLook.WHITE_LIGHT: "look in white light too: what only glows is a stain at most",
    LeakWay.DROPS: "by its drops",
    LeakWay.FILM: "by its wet area",
    LeakWay.DROPS_AND_FILM: "by its drops and its wet area",
    LeakWay.POOL: "by the pool below it",
    LeakWay.POOL_AND_FILM: "by the pool below it and its wet area",
    LeakWay.NOT_COUNTED: "drops fall, but nobody counted them",
    LeakWay.NO_SIZE: "wet, but without drops or a measured area",
    AccountState.DRAWN_UP: "drawn up",
    AccountState.NO_READINGS: "the oil was not read before and after the run",
    AccountState.LOSS_IN_DOUBT: "the dipstick cannot tell this loss from none",
    AccountState.NO_LOOK: "no inspection followed the run",
    AccountState.NO_TIME: "nobody knows how long the engine ran",
    AccountState.NOTHING_COUNTED: "no wet leak has counted drops or a measured area",
    PressureState.IN_ORDER: "in order",
    PressureState.ABOVE_NEW: "more than a new engine may have, in order for a used one",
    PressureState.HIGH: "too high",
    PressureState.LOW: "too deep a vacuum",
    PressureState.AT_LIMIT: "too near to the limit to say",
    WarningKind.ONE_CAUSE: (
        "Several places are newly wet at once and the crankcase pressure is too high: that is one "
        "cause, not several bad seals. Mend the breather (then check compression) and look again "
        "before any seal is blamed."
    ),
    WarningKind.PRESSURE_HIGH: (
        "The crankcase pressure is too high. It may push oil past good seals: check the breather, "
        "then compression, before a seal is blamed."
    ),
    WarningKind.PRESSURE_LOW: (
        "The vacuum in the crankcase is deeper than makers allow. It can hold oil back that leaks "
        "otherwise: check the breather valve and the air cleaner, then look again."
    ),
}

PRESSURE_ASSUMES = (
    "It holds for a hot engine at 4000 rpm, measured at the dipstick tube; the ± is how well a "
    "water column is read."
)
"""What a judgement of crankcase pressure rests on."""


def rule_words(fired: FiredRule, seen: Observations, units: str | None = None) -> str:
    """Return why a rule fired, with the figures that it rests on."""
    words = SEVERITY_WORDS[fired.rule]
    if fired.rule is GradeRule.EXTENT:
        return extent_words(seen, units)
    if seen.reappears_after_min is not None and fired.rule in (
        GradeRule.BACK_AT_ONCE,
        GradeRule.BACK_LATER,
    ):
        return f"wet again {minutes_words(seen.reappears_after_min)} after wiping"
    return words


def extent_words(seen: Observations, units: str | None = None) -> str:
    """Return how far a wet area reaches, and after which time, as far as known."""
    if seen.extent_mm is None:
        return "not measured"
    reach = doubted_words(seen.extent_mm, seen.extent_sigma_mm or 0.0, "mm", units)
    if seen.minutes is None:
        return f"{reach}, nobody knows after which time"
    return f"{reach} after {minutes_words(seen.minutes)}"


def pressure_sentence(judged: PressureJudgement, units: str | None = None) -> str:
    """Return what a crankcase pressure means, as one sentence."""
    reading = doubted_words(judged.mmh2o, judged.sigma_mmh2o, "mmh2o", units)
    limit = amount_words(judged.limit_mmh2o, "mmh2o", units)
    return (
        f"Crankcase pressure {reading}: {SEVERITY_WORDS[judged.state]} (limit {limit}, "
        f"{judged.source})."
    )
