"""Drops and the oil account in sentences, each with what it assumes."""

import math

from leaktrack.model.between import Between
from leaktrack.model.drip import DripOutlook, DropVolume
from leaktrack.model.figure_words import (
    between_words,
    doubted_words,
    minutes_words,
    share_words,
    time_words,
)
from leaktrack.model.oil_account import (
    FILM_MM,
    USUAL_EDGE_MM,
    AccountState,
    LeakWay,
    OilAccount,
    OilLoss,
)
from leaktrack.model.severity_words import SEVERITY_WORDS
from leaktrack.model.units import IMPERIAL, units_in_use

LARGEST_POOL_ON_ROAD_MM = 75.0
"""Of a pool within 5 minutes of idling: UK MOT manual 8.4.1, as garages' pages give it."""


def outlook_sentences(outlook: DripOutlook, units: str | None = None) -> tuple[str, ...]:
    """Return what a drip adds up to, then what that assumes."""
    rate = between_words(outlook.rate.ml_per_hour, "ml", units)
    day = between_words(outlook.ml_per_day, "ml", units)
    per_100_h = between_words(outlook.litres_per_100_h, "l", units)
    parts = [f"{rate} an hour", f"{day} a day if it never stops", f"{per_100_h} in 100 h"]
    if outlook.litres_per_1000_km is not None:
        road = between_words(outlook.litres_per_1000_km, "l_1000_km", units)
        parts.append(
            f"{road} in 1,000 {'miles' if (units or units_in_use()) == IMPERIAL else 'km'}"
        )
    sentences = [f"{', '.join(parts)}."]
    if outlook.hours_to_minimum is not None:
        sentences.append(_minimum_words(outlook))
    sentences.append(drop_sentence(outlook.rate.drop, units))
    return tuple(sentences)


def pool_sentences(width_mm: float, holds: Between, units: str | None = None) -> tuple[str, ...]:
    """Return what a pool holds, with what that assumes and the published limit for pools."""
    width = doubted_words(width_mm, 0.0, "mm", units)
    amount = between_words(holds, "ml", units)
    held = (
        f"The pool of {width} holds {amount}: it assumes a round pool of oil on a level floor, at "
        "a contact angle of 10 to 30°."
    )
    if width_mm <= LARGEST_POOL_ON_ROAD_MM:
        return (held,)
    limit = doubted_words(LARGEST_POOL_ON_ROAD_MM, 0.0, "mm", units)
    return held, (
        f"More than {limit} within 5 minutes of idling fails a roadworthiness test (UK MOT manual "
        "8.4.1, read second-hand)."
    )


def drop_sentence(drop: DropVolume, units: str | None = None) -> str:
    """Return how large a drop is taken to be, and why."""
    size = between_words(drop.ul, "ul", units)
    if drop.edge_mm is None:
        edges = between_words(USUAL_EDGE_MM, "mm", units)
        return (
            f"It assumes drops of {size}: oil from edges {edges} wide by the drop-weight law, at "
            "most 20 drops to a mL; measure the edge for a narrower range. And that the rate stays "
            "as counted."
        )
    edge = doubted_words(drop.edge_mm, 0.0, "mm", units)
    return (
        f"It assumes drops of {size}: oil, cold to hot, from an edge {edge} wide by the "
        "drop-weight law. And that the rate stays as counted."
    )


def _minimum_words(outlook: DripOutlook) -> str:
    hours = outlook.hours_to_minimum
    if hours is None or math.isinf(hours.low):
        return ""
    if hours.high == 0:
        return "The oil is at the lower mark already."
    return f"The lower mark of the dipstick is reached after {time_words(hours)} of leaking."


def loss_words(loss: OilLoss, units: str | None = None) -> str:
    """Return what is missing, with one standard deviation."""
    told = doubted_words(abs(loss.ml), loss.sigma_ml, "ml", units)
    return f"{told} missing" if loss.ml >= 0 else f"{told} more than before"


def account_sentence(account: OilAccount, units: str | None = None) -> str:
    """Return what the account says in one sentence."""
    if account.state is AccountState.DRAWN_UP and account.share is not None:
        if not account.leaks:
            return "No wet leak was seen: leaks explain none of the loss."
        return f"Visible leaks explain {share_words(account.share)} of the loss."
    reason = SEVERITY_WORDS[account.state]
    if account.loss is not None and account.state is AccountState.LOSS_IN_DOUBT:
        reason += f" ({loss_words(account.loss, units)})"
    return f"How much of the loss leaks explain cannot be said: {reason}."


def account_details(account: OilAccount, units: str | None = None) -> tuple[str, ...]:
    """Return the items of an account and what they assume, each as a sentence."""
    lines = []
    if account.loss is not None:
        lines.append(f"By the dipstick: {loss_words(account.loss, units)}.")
    for leak in account.leaks:
        how = SEVERITY_WORDS[leak.way]
        amount = between_words(leak.ml, "ml", units)
        is_told = leak.way not in (LeakWay.NOT_COUNTED, LeakWay.NO_SIZE)
        lines.append(f"Leak {leak.number}: {amount if is_told else 'not known'}, {how}.")
    if len(account.leaks) > 1 and account.explained_ml is not None:
        together = between_words(account.explained_ml, "ml", units)
        lines.append(f"All leaks together: {together}.")
    return (*lines, *_assumptions(account, units))


def _assumptions(account: OilAccount, units: str | None) -> list[str]:
    sentences = []
    if account.loss is not None:
        how = (
            f"each height read to about {doubted_words(1.0, 0.0, 'mm', units)}"
            if account.is_calibrated
            else f"each amount known to about {doubted_words(100.0, 0.0, 'ml', units)}, as the "
            "engine's dipstick is not calibrated"
        )
        warm = _warmth_words(account.loss, units)
        sentences.append(f"The loss assumes {how}, drained down and level, {warm}.")
    if account.leaks:
        time = "" if account.minutes is None else f" of {minutes_words(account.minutes)}"
        film = between_words(FILM_MM, "mm", units)
        sentences.append(
            f"Leaks assume that drops fell for all of the run{time} at the rate counted, in drops "
            "by the drop-weight law (a pool tells by itself what fell), and that a wet area holds "
            f"a film of {film}. The rest may be burnt, not drained down yet, or leak where nobody "
            "looked."
        )
    return sentences


def _warmth_words(loss: OilLoss, units: str | None) -> str:
    if loss.warmth_ml is not None:
        by = doubted_words(abs(loss.warmth_ml), 0.0, "ml", units)
        return f"corrected by {by} for the oil's temperature"
    if loss.unlike_c == 0:
        return "both at the same oil temperature"
    is_imperial = (units or units_in_use()) == IMPERIAL
    apart = f"{1.8 * loss.unlike_c:.0f} °F" if is_imperial else f"{loss.unlike_c:.0f} °C"
    return f"with readings up to {apart} apart in oil temperature, which is in the doubt"
