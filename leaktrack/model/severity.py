"""How bad is a leak, in published words? The classes of others, verdicts, and proposed grades."""

from dataclasses import dataclass
from enum import Enum

from leaktrack.model.leak import SeepageGrade
from leaktrack.model.photo import Light


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


@dataclass(frozen=True, slots=True)
class GradeLimits:
    """Where one grade ends and the next begins, as far as figures tell; all can be set.

    Attributes:
        stain_below_mm: Widths of a wet area that divide the grades ...
        after_min: ... once it has grown for so long.
        at_once_min: What is wet again so soon after wiping came back "at once".

    Source:
        FAA wording for fuel leaks: 3/4, 1 1/2 and 4 inches after 30 minutes; read in an
        unattributed copy. Other sources recall 3 inches (76.2 mm) for the last one. NAVEDTRA 14315
        says "immediately" for a heavy seep; what that is in minutes is own judgement.
    """

    stain_below_mm: float = 19.05
    seep_below_mm: float = 38.1
    heavy_seep_below_mm: float = 101.6
    after_min: float = 30.0
    at_once_min: float = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Observations:
    """What somebody can say about a wet place without choosing a grade. None: nobody looked.

    Attributes:
        extent_mm: Longest way across the wet area.
        extent_sigma_mm: Its standard deviation.
        minutes: For how long the wet area had been growing since it was last dry.
        light: What it was seen by.
        is_dry_in_white: Whether white light shows no oil at the place at the same look.
    """

    is_wet: bool | None = None
    has_hanging_drop: bool | None = None
    do_drops_fall: bool | None = None
    drops_per_minute: float | None = None
    is_stream: bool | None = None
    extent_mm: float | None = None
    extent_sigma_mm: float | None = None
    minutes: float | None = None
    did_reappear: bool | None = None
    reappears_after_min: float | None = None
    light: Light | None = None
    is_dry_in_white: bool | None = None


class GradeRule(Enum):
    """What decides a grade; the worst of those that apply counts."""

    STREAM = "stream"
    DROPS_FALL = "drops_fall"
    DROP_HANGS = "drop_hangs"
    WET_NO_DROP = "wet_no_drop"
    NOTHING_WET = "nothing_wet"
    EXTENT = "extent"
    BACK_AT_ONCE = "back_at_once"
    BACK_LATER = "back_later"
    CAME_BACK = "came_back"
    STAYED_AWAY = "stayed_away"
    ONLY_GLOWS = "only_glows"


class NextLook(Enum):
    """What to look at so that a grade stands on firmer ground."""

    WIPE = "wipe"
    DROPS = "drops"
    COUNT_DROPS = "count_drops"
    MINUTES = "minutes"
    WHITE_LIGHT = "white_light"


@dataclass(frozen=True, slots=True)
class FiredRule:
    """One rule that applies to some observations, and the grade it gives.

    Attributes:
        source: Where it comes from.
    """

    grade: SeepageGrade
    rule: GradeRule
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
        by_light: What a look in another light says.
        extent_grades: Between which grades the size lies, within two standard deviations; as the
            highest alone where the area has grown for longer than the classes ask; None: no size.
        is_firm: Whether more is known than that it is wet and no drop was seen.
        next_looks: What would make it firmer.
    """

    grade: SeepageGrade
    fired: FiredRule | None
    by_drops: FiredRule | None
    by_extent: FiredRule | None
    by_reappearing: FiredRule | None
    by_light: FiredRule | None = None
    extent_grades: tuple[SeepageGrade | None, SeepageGrade] | None = None
    is_firm: bool = True
    next_looks: tuple[NextLook, ...] = ()
