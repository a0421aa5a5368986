"""How thick oil is, how it flows through gaps, and what heat and running time alone change."""

from dataclasses import dataclass
from enum import Enum
from typing import Self


@dataclass(frozen=True, slots=True)
class Range:
    """A figure with the least and the most that it may be.

    Attributes:
        least: Never above ``likely``.
        likely: The middle of what is plausible.
        most: Never below ``likely``.
    """

    least: float
    likely: float
    most: float

    @classmethod
    def exactly(cls, value: float) -> Self:
        """Return a range without width."""
        return cls(value, value, value)

    def times(self, other: "Range | float") -> "Range":
        """Return the product of two ranges of positive figures, taken as independent."""
        by = Range.exactly(other) if isinstance(other, float | int) else other
        return Range(self.least * by.least, self.likely * by.likely, self.most * by.most)


class HeatGap(Enum):
    """What is missing to tell how much heat and running time alone would change."""

    OIL_TEMPERATURE_BEFORE = "oil_temperature_before"
    OIL_TEMPERATURE_AFTER = "oil_temperature_after"
    OIL_GRADE = "oil_grade"
    OIL_GRADE_UNREADABLE = "oil_grade_unreadable"
    OTHER_OIL = "other_oil"
    OUTSIDE_LIMITS = "outside_limits"
    RUN_TIME_BEFORE = "run_time_before"
    RUN_TIME_AFTER = "run_time_after"
    NOT_RUN_BEFORE = "not_run_before"
    NOT_RUN_AFTER = "not_run_after"


@dataclass(frozen=True, slots=True)
class LookConditions:
    """Under which conditions an inspection was made, as far as a flow of oil depends on them.

    Attributes:
        oil_c: Oil temperature at the look.
        run_c: Mean oil temperature while the engine ran since the last wipe; where that is not
            known, that of the run before the look.
        oil_grade: As somebody wrote it, such as "5W-30"; empty where nobody did.
        hours_since_wipe: How long the engine ran since the place was last wiped, or since the
            start where it never was; None where that is not known.
        was_wiped: Whether a wipe is recorded, from which the hours count.
    """

    oil_c: float | None
    run_c: float | None
    oil_grade: str
    hours_since_wipe: float | None
    was_wiped: bool


@dataclass(frozen=True, slots=True)
class HeatFactor:
    """What temperature and running time alone would make of a leak between two inspections.

    Attributes:
        before: Conditions of the earlier look.
        after: Conditions of the later look.
        rate: So many times as fast as before the oil leaks through the same gap under the same
            pressure, by the temperatures at the looks; None where ``missing`` says why.
        run_rate: The same by the temperatures of the runs, in which most of the oil came out; None
            where these are not known.
        hours: So many times as long it ran since the last wipe; None likewise.
        oil: So many times as much oil running time and heat together make come out, by the runs'
            temperatures where they are known, else by those at the looks; None where they are not.
        missing: Why something cannot be said.
    """

    before: LookConditions
    after: LookConditions
    rate: Range | None
    run_rate: Range | None
    hours: float | None
    oil: Range | None
    missing: tuple[HeatGap, ...]


class GapShape(Enum):
    """The passage that oil is taken to flow through."""

    SLOT = "slot"
    ANNULUS = "annulus"


@dataclass(frozen=True, slots=True)
class GapFlow:
    """A steady, laminar flow of oil through a thin gap.

    Attributes:
        gap_mm: Height of the slot; for an annulus the clearance on one side.
        ml_per_day: So much flows.
        pressure_pa: Drives it.
        capillary_pa: Holds oil back in the open end of a gap of this height.
        reynolds: The formula holds well below 1,000 (own judgement: laminar in thin gaps).
        may_only_wick: The capillary pressure is no smaller than the one that drives: the gap may
            stay damp without flowing, and the figure is an upper bound.
    """

    gap_mm: float
    ml_per_day: float
    pressure_pa: float
    capillary_pa: float
    reynolds: float
    may_only_wick: bool
