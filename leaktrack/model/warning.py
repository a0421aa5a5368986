"""What to bear in mind before an inspection is believed."""

from dataclasses import dataclass
from enum import Enum
from uuid import UUID


class WarningKind(Enum):
    """Why an inspection may mislead."""

    SEVERAL_NEWLY_WET = "several_newly_wet"
    ONE_CAUSE = "one_cause"
    PRESSURE_HIGH = "pressure_high"
    PRESSURE_LOW = "pressure_low"
    NO_BASELINE = "no_baseline"
    NOT_CLEANED = "not_cleaned"
    OIL_TEMPERATURE_UNKNOWN = "oil_temperature_unknown"


@dataclass(frozen=True, slots=True)
class InspectionWarning:
    """One warning about one inspection.

    Attributes:
        zone_ids: The zones it is about; empty where it is about all of it.
    """

    kind: WarningKind
    inspection_id: UUID
    zone_ids: tuple[UUID, ...] = ()
