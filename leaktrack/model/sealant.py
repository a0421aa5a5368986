"""How much sealant a joint takes, how wide it spreads, and how long it needs at this weather."""

from dataclasses import dataclass
from enum import Enum

from leaktrack.model.heat import Range


class WaitKind(Enum):
    """What a material's rule gives a time for."""

    OPEN = "open"
    SKIN = "skin"
    FILLING = "filling"
    RUNNING = "running"


@dataclass(frozen=True, slots=True)
class Wait:
    """A time of a material's rule, as it is at the temperature and humidity of the job.

    Attributes:
        rule_h: As the rule gives it, in hours; taken as for 23 °C and 50 % humidity.
        here_h: The same at the temperature and humidity recorded; None where no temperature is, or
            one that the rule of thumb does not cover.
        actual_h: How long it was in fact; None where that is not recorded.
    """

    kind: WaitKind
    rule_h: float
    here_h: Range | None
    actual_h: float | None


@dataclass(frozen=True, slots=True)
class BeadSums:
    """The arithmetic of one sealing job's bead; None wherever a figure for it is missing.

    Attributes:
        bead_mm: Its width as laid.
        gap_mm: Of the closed joint.
        face_mm: Width of the sealing face.
        temperature_c: Of the air.
        humidity_percent: Of the air.
        film_mm: How wide it spreads in the gap: least for a half-round bead, most for a round one.
        face_bead_mm: The bead that spreads over the whole face: least for a round one.
        ml_per_m: Sealant for a metre, likewise from half-round to round.
        ml: For the whole joint.
        allowed_share: The rule's thinnest and thickest bead as shares of this one's volume.
        through_h: Until moisture from both edges has cured such a film through, where the sealant
            cures by moisture.
        waits: The rule's times.
    """

    bead_mm: float | None
    gap_mm: float | None
    face_mm: float | None
    temperature_c: float | None
    humidity_percent: float | None
    film_mm: Range | None
    face_bead_mm: Range | None
    ml_per_m: Range | None
    ml: Range | None
    allowed_share: Range | None
    through_h: Range | None
    waits: tuple[Wait, ...]
