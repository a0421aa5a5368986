"""What a seal looked like when its joint was taken apart."""

from dataclasses import dataclass, field
from datetime import datetime
from enum import Enum
from uuid import UUID

from leaktrack.model.identity import new_id


class SealFailure(Enum):
    """How a seal failed, by the names of the trade."""

    NO_FAULT = "no_fault"
    COMPRESSION_SET = "compression_set"
    OVER_COMPRESSION = "over_compression"
    EXTRUSION = "extrusion"
    SPIRAL = "spiral"
    ABRASION = "abrasion"
    DECOMPRESSION = "decompression"
    FITTING_DAMAGE = "fitting_damage"
    CHEMICAL = "chemical"
    HEAT = "heat"
    OZONE = "ozone"
    EXTRACTION = "extraction"
    CONTAMINATION = "contamination"
    TORN = "torn"
    BLOWN = "blown"
    NO_BOND = "no_bond"
    STARVED = "starved"
    LIP_WORN = "lip_worn"


@dataclass(frozen=True, slots=True, kw_only=True)
class RemovedSeal:
    """One seal, or what was left of a bead, as it came out of a joint.

    Attributes:
        sealing_job_id: The job that had fitted it.
        place: Where on it the fault is, in words.
        cause: What the person thinks brought it about.
        new_mm: Thickness it had when new.
        squeezed_mm: Thickness it had in the closed joint: the depth of its gland.
        recovered_mm: Thickness measured after it came out.
        recovered_after_min: How long after.
        caliper_mm: How far off the measurements may be, each.
        hardness_shore_a: Measured on it.
        photo_id: A photo of it.
    """

    id: UUID = field(default_factory=new_id)
    sealing_job_id: UUID
    examined_at: datetime
    failure: SealFailure | None = None
    second_failure: SealFailure | None = None
    place: str = ""
    cause: str = ""
    new_mm: float | None = None
    squeezed_mm: float | None = None
    recovered_mm: float | None = None
    recovered_after_min: float | None = None
    caliper_mm: float | None = None
    hardness_shore_a: float | None = None
    photo_id: UUID | None = None
    examined_by: str = ""
    note: str = ""
