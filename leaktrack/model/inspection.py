"""Test runs, readings, checks and inspections: what was done with the engine, and what was seen."""

from dataclasses import dataclass, field
from datetime import datetime
from enum import Enum
from uuid import UUID

from leaktrack.model.identity import new_id
from leaktrack.model.photo import Light


@dataclass(frozen=True, slots=True, kw_only=True)
class TestRun:
    """The engine ran.

    Attributes:
        oil_before_ml: Oil in the engine before the run, by the dipstick.
        oil_after_ml: The same after the run, engine level and drained down.
        dipstick_before_mm: Height of the oil above the dipstick's lower mark before the run.
        dipstick_before_c: Oil temperature while that was read.
        dipstick_after_mm: Height after the run.
        dipstick_after_c: Oil temperature then.
        unknown_facts: Names of fields that somebody was asked for and could not tell.
    """

    __test__ = False  # not a test case, whatever pytest makes of the name

    id: UUID = field(default_factory=new_id)
    engine_id: UUID
    started_at: datetime
    minutes: float | None = None
    distance_km: float | None = None
    load: str = ""
    highest_rpm: float | None = None
    oil_c: float | None = None
    coolant_c: float | None = None
    ambient_c: float | None = None
    oil_grade: str = ""
    oil_before_ml: float | None = None
    oil_after_ml: float | None = None
    oil_added_ml: float | None = None
    dipstick_before_mm: float | None = None
    dipstick_before_c: float | None = None
    dipstick_after_mm: float | None = None
    dipstick_after_c: float | None = None
    note: str = ""
    unknown_facts: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """A named number read off an instrument during a run or an inspection."""

    id: UUID = field(default_factory=new_id)
    test_run_id: UUID | None = None
    inspection_id: UUID | None = None
    name: str
    value: float
    unit: str = ""
    note: str = ""


class CheckKind(Enum):
    """What a check before the teardown looked at."""

    FAULT_CODES = "fault_codes"
    COMPONENT = "component"
    DEBRIS = "debris"
    PRESSURE = "pressure"
    OTHER = "other"


class CheckResult(Enum):
    """How a check came out."""

    OPEN = "open"
    PASSED = "passed"
    FAILED = "failed"


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """Something looked at before the teardown, since it is cheap to mend while the engine is out.

    Attributes:
        done_at: None while the check is open.
        implies: What follows for the teardown, in words.
        rides_along: Whether it belongs on the redo list.
    """

    id: UUID = field(default_factory=new_id)
    engine_id: UUID
    joint_id: UUID | None = None
    name: str
    kind: CheckKind = CheckKind.OTHER
    done_at: datetime | None = None
    result: CheckResult = CheckResult.OPEN
    finding: str = ""
    implies: str = ""
    rides_along: bool = False


class Airflow(Enum):
    """Whether air was blown over the engine before the look; it drives oil away from its source."""

    NONE = "none"
    FAN = "fan"
    DRIVEN = "driven"


@dataclass(frozen=True, slots=True, kw_only=True)
class Inspection:
    """A look at the whole engine.

    Attributes:
        is_baseline: Made before the first run, to show what was wet or dirty already.
        engine_hours: Run since the rebuild.
        unknown_facts: Names of fields that somebody was asked for and could not tell.
    """

    id: UUID = field(default_factory=new_id)
    engine_id: UUID
    test_run_id: UUID | None = None
    looked_at: datetime
    is_baseline: bool = False
    title: str = ""
    engine_hours: float | None = None
    distance_since_seal_km: float | None = None
    minutes_since_shutdown: float | None = None
    oil_c: float | None = None
    ambient_c: float | None = None
    oil_grade: str = ""
    oil_added_ml: float | None = None
    load: str = ""
    pitch_deg: float | None = None
    roll_deg: float | None = None
    airflow: Airflow | None = None
    crankcase_mmh2o: float | None = None
    cleaned_at: datetime | None = None
    cleaned_how: str = ""
    light: Light | None = None
    has_dye: bool | None = None
    done_by: str = ""
    note: str = ""
    unknown_facts: tuple[str, ...] = ()


RUN_FACTS = (
    "minutes",
    "distance_km",
    "load",
    "highest_rpm",
    "oil_c",
    "coolant_c",
    "ambient_c",
    "oil_grade",
    "oil_before_ml",
    "oil_after_ml",
    "oil_added_ml",
)
"""What should be known about a run, in the order in which it is asked for."""

INSPECTION_FACTS = (
    "engine_hours",
    "distance_since_seal_km",
    "minutes_since_shutdown",
    "oil_c",
    "ambient_c",
    "oil_grade",
    "oil_added_ml",
    "load",
    "pitch_deg",
    "roll_deg",
    "airflow",
    "crankcase_mmh2o",
    "cleaned_at",
    "cleaned_how",
    "light",
    "has_dye",
    "done_by",
)
"""What should be known about an inspection, in the order in which it is asked for."""


def missing_facts(record: TestRun | Inspection) -> tuple[str, ...]:
    """Return the names of facts still to be asked for: neither given nor marked unknown."""
    wanted = RUN_FACTS if isinstance(record, TestRun) else INSPECTION_FACTS
    return tuple(
        name
        for name in wanted
        if getattr(record, name) in (None, "") and name not in record.unknown_facts
    )
