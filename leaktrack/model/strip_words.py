"""What the things of a joint strip are called, so that chart, report and command line agree."""

from leaktrack.model.bead_audit import BeadDefectKind
from leaktrack.model.joint_strip import StripBead, StripFault, StripMark, StripRow
from leaktrack.model.units import digits_of, figure, in_units, rough
from leaktrack.model.words import station_words, word

_DAY_H = 24.0
_DAYS_FROM_H = 72.0  # so long and longer is told in days

WITHIN = 2.0
"""So many standard deviations are told after a plus-minus sign: 95 of 100 places lie within."""


def cure_words(hours: float | None) -> str:
    """Return how long a seal could cure before the engine ran; empty where nobody knows.

    >>> cure_words(16.4), cure_words(333.0), cure_words(None)
    ('ran after 16 h', 'ran after 14 days', '')
    """
    if hours is None:
        return ""
    if hours >= _DAYS_FROM_H:
        return f"ran after {hours / _DAY_H:.0f} days"
    return f"ran after {hours:.0f} h" if hours >= 1 else "ran within 1 h"


def fault_words(fault: StripFault, unit: str) -> str:
    """Return what is wrong with a stretch of a bead, with its figures."""
    length = f"{rough(fault.length, unit, 1)} long"
    if fault.kind is BeadDefectKind.GAP:
        return f"{word(fault.kind)}, {length}"
    if fault.kind is BeadDefectKind.OFF_TRACK:
        return f"{word(fault.kind)}, {length}"
    extreme = "up to" if fault.kind is BeadDefectKind.THICK else "down to"
    return f"{word(fault.kind)}, {extreme} {rough(fault.least_width, unit, 1)}, {length}"


def tolerance_words(bead: StripBead) -> str:
    """Return which widths are allowed; empty where nobody said."""
    low, high = bead.narrowest, bead.widest
    if low is not None and high is not None:
        least, _ = in_units(low, bead.unit)
        return f"{digits_of(least)} to {figure(high, bead.unit)}"
    if low is not None:
        return f"at least {figure(low, bead.unit)}"
    return f"at most {figure(high, bead.unit)}" if high is not None else ""


def doubt_words(mark: StripMark) -> str:
    """Return how well a mark's station is known; empty where that is not known.

    The joint's own scale is told where there is one, else bolt coordinates.
    """
    if mark.sigma_mm is not None:
        return f"± {rough(max(1.0, WITHIN * mark.sigma_mm), 'mm')}"
    if mark.sigma is not None:
        return f"± {max(0.1, WITHIN * mark.sigma):.1f}"
    return ""


def untightened_words(row: StripRow) -> str:
    """Return which bolts no recorded tightening names; empty where all are named, or none."""
    if not row.untightened:
        return ""
    numbers = ", ".join(map(str, row.untightened))
    return f"no tightening recorded for bolt{'s' if len(row.untightened) > 1 else ''} {numbers}"


def place_of_words(station: float, *, has_bolts: bool) -> str:
    """Return a station as people read it; of a joint without bolts, as a share of its length.

    >>> place_of_words(4.6, has_bolts=True), place_of_words(0.25, has_bolts=False)
    ('bolt 4.6', '25 % of its length')
    """
    return station_words(station) if has_bolts else f"{station * 100:.0f} % of its length"
