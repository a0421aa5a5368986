"""Say how much sealant a joint takes and how long it needs, and what that assumes."""

from collections.abc import Iterator

from leaktrack.model.heat import Range
from leaktrack.model.sealant import BeadSums, Wait, WaitKind
from leaktrack.model.units import digits_of, figure, in_units
from leaktrack.model.words import word

BEAD_ASSUMES = (
    "What is laid is what is pressed: ranges run from a half-round bead to a round one, and "
    "nothing is counted that is squeezed out past the edges."
)
"""Stands beside such figures."""


def cure_assumes() -> str:
    """Return what stands beside times at some temperature and humidity."""
    step, unit = in_units(10.0, "°C", is_difference=True)
    return (
        f"The rule's times are taken as for {figure(23.0, '°C')} and 50 % humidity; they halve for "
        f"each {step:.0f} {unit} more, and dry air slows those sealants down that cure by moisture "
        "(rules of thumb, no source). The maker's own figures come first."
    )


def range_words(told: Range, symbol: str, digits: int = 2) -> str:
    """Return a range with its unit, as one figure where both ends read alike.

    >>> range_words(Range(14.1, 28.3, 28.3), "mm"), range_words(Range(5.0, 5.0, 5.0), "mm")
    ('14 to 28 mm', '5 mm')
    """
    least, unit = in_units(told.least, symbol)
    most, _ = in_units(told.most, symbol)
    low, high = digits_of(least, digits), digits_of(most, digits)
    return f"{high} {unit}" if low == high else f"{low} to {high} {unit}"


def bead_sentences(sums: BeadSums) -> tuple[str, ...]:
    """Return the arithmetic of a job's bead; what is missing is said."""
    sentences = [*_bead(sums), *_time(sums)]
    return tuple(sentences)


def missing_for_sums(sums: BeadSums) -> tuple[str, ...]:
    """Return the names of the figures that would tell more."""
    wanted = (
        ("the bead's width", sums.bead_mm),
        ("the joint's gap", sums.gap_mm),
        ("the width of the joint's face", sums.face_mm),
        ("the air temperature", sums.temperature_c if sums.waits else 0.0),
        ("the air humidity", sums.humidity_percent if sums.waits else 0.0),
    )
    return tuple(name for name, value in wanted if value is None)


def _bead(sums: BeadSums) -> Iterator[str]:
    bead = "" if sums.bead_mm is None else figure(sums.bead_mm, "mm")
    if sums.film_mm is not None and sums.gap_mm is not None:
        film = range_words(sums.film_mm, "mm")
        text = f"A bead of {bead} spreads {film} wide in a gap of {figure(sums.gap_mm, 'mm')}"
        if sums.face_mm is not None:
            text += f"; the face is {figure(sums.face_mm, 'mm')} wide"
            text += _against_face(sums.film_mm, sums.face_mm)
        yield f"{text}."
    if sums.face_bead_mm is not None:
        yield f"A bead of {range_words(sums.face_bead_mm, 'mm')} would just fill the face."
    if sums.ml_per_m is not None:
        text = f"It takes {range_words(sums.ml_per_m, 'mL/m')} of sealant"
        if sums.ml is not None:
            text += f", {range_words(sums.ml, 'mL of it')} for the whole joint"
        yield f"{text}."
    if sums.allowed_share is not None:
        least, most = (
            digits_of(each, 2) for each in (sums.allowed_share.least, sums.allowed_share.most)
        )
        yield (
            f"The beads that the rule allows hold {least} to {most} times as much sealant as this "
            "one: volume goes with the square of the width."
        )
    if any(each is not None for each in (sums.film_mm, sums.ml_per_m, sums.face_bead_mm)):
        yield BEAD_ASSUMES


def _against_face(film: Range, face_mm: float) -> str:
    if film.least >= face_mm:
        return ", so some is squeezed out past the edges"
    if film.most < face_mm:
        return ", so part of it stays dry"
    return ""


def _time(sums: BeadSums) -> Iterator[str]:
    for wait in sums.waits:
        yield _wait_sentence(wait, sums)
    if sums.through_h is not None:
        days = Range(
            sums.through_h.least / 24, sums.through_h.likely / 24, sums.through_h.most / 24
        )
        yield (
            f"If it cures by moisture, which in a closed joint comes from the edges only, a film "
            f"so wide is cured through after about {range_words(days, 'days')}."
        )
    if sums.waits:
        yield cure_assumes()


def _wait_sentence(wait: Wait, sums: BeadSums) -> str:
    text = f"{word(wait.kind).capitalize()}: the rule says {_duration(wait.rule_h)}"
    if wait.here_h is not None and sums.temperature_c is not None:
        air = figure(sums.temperature_c, "°C")
        if sums.humidity_percent is not None:
            air += f" and {figure(sums.humidity_percent, '%')} humidity"
        ends = f"{_duration(wait.here_h.least)} to {_duration(wait.here_h.most)}"
        text += f"; at {air} that is about {_duration(wait.here_h.likely)} ({ends})"
    if wait.actual_h is not None:
        text += f"; it was {_duration(wait.actual_h)}"
        text += _judged(wait)
    return f"{text}."


def _judged(wait: Wait) -> str:
    """Return a word of caution where the rule's time was kept, but perhaps not in this air."""
    if wait.here_h is None or wait.actual_h is None:
        return ""
    if wait.kind is WaitKind.OPEN:
        is_kept, is_doubtful = wait.actual_h <= wait.rule_h, wait.actual_h > wait.here_h.least
    else:
        is_kept, is_doubtful = wait.actual_h >= wait.rule_h, wait.actual_h < wait.here_h.most
    return ", within the rule but perhaps not in this air" if is_kept and is_doubtful else ""


def _duration(hours: float) -> str:
    if hours < 2:
        return f"{digits_of(hours * 60, 2)} min"
    return f"{digits_of(hours, 2)} h"
