"""How bad is a leak, in published words? The classes of others, verdicts, and proposed grades."""

from dataclasses import dataclass
from enum import Enum

from leaktrack.model.leak import SeepageGrade


class PmcsClass(Enum):
    """Leakage definitions of the US Army's preventive maintenance checks and services.

    Source:
        TM 10-6640-233-10, page 2-17; the same words in TM 5-4310-382-13 and others.
    """

    I = "I"  # noqa: E741 (the class is called I)
    II = "II"
    III = "III"


class DinTerm(Enum):
    """Terms of DIN 3761 for leaks at rotary shaft seals, also used for housing joints.

    Source:
        As tabulated in a gear-unit maker's manual; the standard itself was not read.
    """

    SEALED = "sealed"
    DAMP = "damp"
    WET = "wet"
    MEASURABLE = "measurable leakage"


@dataclass(frozen=True, slots=True)
class PublishedClasses:
    """What a seepage grade is called elsewhere.

    Attributes:
        pmcs: None for dry, which has no class.
        iso_tr_11340: Class 0 to 5.
        din_3761: The terms that fit; the lowest first.
    """

    pmcs: PmcsClass | None
    iso_tr_11340: int
    din_3761: tuple[DinTerm, ...]


class Verdict(Enum):
    """What follows from a leak, before anybody has judged the engine as a whole."""

    ACCEPTABLE = "acceptable"
    WIPE_AND_LOOK_AGAIN = "wipe and look again"
    REPAIR_IF_NECESSARY = "repair if necessary"
    REPAIR = "repair"
    STOP_AND_MEND = "stop and mend first"
    NOT_SEEN = "not seen"


@dataclass(frozen=True, slots=True)
class Judgement:
    """A verdict with its reason.

    Attributes:
        reason: One sentence.
        source: Where the rule comes from.
    """

    verdict: Verdict
    reason: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Observations:
    """What somebody can say about a wet place without choosing a grade. None: nobody looked.

    Attributes:
        extent_mm: Longest way across the wet area.
        minutes: For how long the wet area had been growing since it was last dry.
    """

    is_wet: bool | None = None
    has_hanging_drop: bool | None = None
    do_drops_fall: bool | None = None
    drops_per_minute: float | None = None
    is_stream: bool | None = None
    extent_mm: float | None = None
    minutes: float | None = None
    did_reappear: bool | None = None
    reappears_after_min: float | None = None


@dataclass(frozen=True, slots=True)
class FiredRule:
    """One rule that applies to some observations, and the grade it gives.

    Attributes:
        because: The rule, in words.
        source: Where it comes from.
    """

    grade: SeepageGrade
    because: str
    source: str


@dataclass(frozen=True, slots=True)
class GradeProposal:
    """A grade that follows from observations. Drops and extent can disagree, so both are kept.

    Attributes:
        grade: The worst of the rules that fired; not seen where none did.
        fired: The rule that gave the grade.
        by_drops: What the drops say, or that there are none.
        by_extent: What the size of the wet area says.
        by_reappearing: What came back after wiping.
    """

    grade: SeepageGrade
    fired: FiredRule | None
    by_drops: FiredRule | None
    by_extent: FiredRule | None
    by_reappearing: FiredRule | None
