"""How a joint was sealed: materials and their rules, sealing jobs, and what shows them."""

from dataclasses import dataclass, field
from datetime import datetime
from enum import Enum
from uuid import UUID

from leaktrack.model.engine import SealKind
from leaktrack.model.identity import new_id


class Closing(Enum):
    """When the parts must come together."""

    WHILE_WET = "while_wet"
    AFTER_SKIN = "after_skin"


class BeadPlace(Enum):
    """Where the bead runs at a bolt hole."""

    INSIDE_BOLTS = "inside_bolts"
    AROUND_BOLTS = "around_bolts"


class PartCondition(Enum):
    """Whether a part was new when it was fitted."""

    NEW = "new"
    REUSED = "reused"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """A sealant, gasket or ring as it is bought."""

    id: UUID = field(default_factory=new_id)
    name: str
    seal_kind: SealKind
    colour: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class SealingRule:
    """What the maker of a material asks for. Makers contradict each other: never mix rules.

    Attributes:
        open_time_min: Longest time from laying the bead to closing the joint.
        skin_time_min: Shortest wait before closing, where the maker wants a skin first.
        source: Where the rule stands, such as "text on the tube".
    """

    id: UUID = field(default_factory=new_id)
    material_id: UUID
    closing: Closing | None = None
    open_time_min: float | None = None
    skin_time_min: float | None = None
    cure_before_filling_h: float | None = None
    cure_before_running_h: float | None = None
    bead_min_mm: float | None = None
    bead_max_mm: float | None = None
    bead_place: BeadPlace | None = None
    lowest_c: float | None = None
    highest_c: float | None = None
    source: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class SealingJob:
    """What was done to seal one joint, once.

    Attributes:
        supersedes_id: The earlier job on the same joint that this one replaced.
        unknown_facts: Names of fields that somebody was asked for and could not tell.
    """

    id: UUID = field(default_factory=new_id)
    joint_id: UUID
    done_at: datetime
    material_id: UUID | None = None
    supersedes_id: UUID | None = None
    bead_mm: float | None = None
    bead_place: BeadPlace | None = None
    bead_laid_at: datetime | None = None
    closed_at: datetime | None = None
    filled_at: datetime | None = None
    temperature_c: float | None = None
    humidity_percent: float | None = None
    surface_work: str = ""
    done_by: str = ""
    note: str = ""
    unknown_facts: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class TorquePass:
    """One round of tightening.

    Attributes:
        bolt_numbers: Which bolts; empty means all of them.
        sequence: The order, in words, such as "centre outward".
    """

    id: UUID = field(default_factory=new_id)
    sealing_job_id: UUID
    number: int
    torque_nm: float | None = None
    angle_deg: float | None = None
    sequence: str = ""
    bolt_numbers: tuple[int, ...] = ()
    done_at: datetime | None = None
    tool: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """A part that a sealing job used."""

    id: UUID = field(default_factory=new_id)
    sealing_job_id: UUID
    name: str
    is_single_use: bool = False
    condition: PartCondition = PartCondition.UNKNOWN
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Evidence:
    """A photo, or a span of a clip, that shows a sealing job. Exactly one of the two is set."""

    id: UUID = field(default_factory=new_id)
    sealing_job_id: UUID
    photo_id: UUID | None = None
    clip_id: UUID | None = None
    start_ms: int | None = None
    end_ms: int | None = None
    note: str = ""


class DeviationKind(Enum):
    """A way in which a sealing job departs from its material's rule."""

    CLOSED_TOO_LATE = "closed_too_late"
    CLOSED_BEFORE_SKIN = "closed_before_skin"
    FILLED_BEFORE_CURE = "filled_before_cure"
    RUN_BEFORE_CURE = "run_before_cure"
    BEAD_TOO_THIN = "bead_too_thin"
    BEAD_TOO_THICK = "bead_too_thick"
    BEAD_MISPLACED = "bead_misplaced"
    BEAD_AT_BOLT = "bead_at_bolt"
    TOO_COLD = "too_cold"
    TOO_HOT = "too_hot"
    REUSED_SINGLE_USE = "reused_single_use"
    NOT_RECORDED = "not_recorded"


@dataclass(frozen=True, slots=True)
class Deviation:
    """One departure from a material's rule.

    Attributes:
        subject: The field or part it is about, such as "closed_at", "crush washer" or "bolt 7".
        actual: What was done, in ``unit``; None where it is not a number or not recorded.
        allowed: The limit of the rule, in ``unit``.
        unit: "min", "h", "mm" or "degC"; empty where there is no number.
    """

    kind: DeviationKind
    sealing_job_id: UUID
    subject: str
    actual: float | None = None
    allowed: float | None = None
    unit: str = ""
