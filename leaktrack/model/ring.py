"""A ring in its gland: the sizes that somebody measured, and what follows from them."""

from dataclasses import dataclass, field
from enum import Enum
from uuid import UUID

from leaktrack.model.figure import Figure
from leaktrack.model.identity import new_id


@dataclass(frozen=True, slots=True, kw_only=True)
class RingSize:
    """A standard size.

    Attributes:
        name: Its number with the dash, such as "-214".
        inner_mm: Inner diameter.
        section_mm: Diameter of the cord.
    """

    name: str
    inner_mm: float
    inner_tolerance_mm: float
    section_mm: float
    section_tolerance_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class RingFit:
    """The ring of a sealing job and the gland that it lies in, as far as they are known.

    Attributes:
        size: Number of the standard size; empty for any other ring.
        inner_mm: Inner diameter of the ring before it is fitted.
        section_mm: Diameter of its cord.
        seat_mm: Diameter that the ring is drawn over; None where it lies in a face groove.
        depth_mm: Room for the cord in the direction of the squeeze, parts closed.
        width_mm: Width of the groove.
        is_dynamic: One of the parts moves.
    """

    id: UUID = field(default_factory=new_id)
    sealing_job_id: UUID
    size: str = ""
    inner_mm: float | None = None
    inner_tolerance_mm: float | None = None
    section_mm: float | None = None
    section_tolerance_mm: float | None = None
    seat_mm: float | None = None
    seat_tolerance_mm: float | None = None
    depth_mm: float | None = None
    depth_tolerance_mm: float | None = None
    width_mm: float | None = None
    width_tolerance_mm: float | None = None
    is_dynamic: bool = False
    note: str = ""


class RingWorry(Enum):
    """What is wrong, or may be wrong, with a ring in its gland."""

    NO_SQUEEZE = "no_squeeze"
    LITTLE_SQUEEZE = "little_squeeze"
    MUCH_SQUEEZE = "much_squeeze"
    LOOSE = "loose"
    STRETCHED = "stretched"
    OVERSTRETCHED = "overstretched"
    FULL = "full"
    OVERFULL = "overfull"


@dataclass(frozen=True, slots=True)
class RingFinding:
    """One worry.

    Attributes:
        is_sure: The nominal sizes give it already; else only the worst of the tolerances.
    """

    worry: RingWorry
    figure: Figure
    limit: float
    is_sure: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class RingFigures:
    """What a ring's sizes come to; None where a size is missing.

    All bounds are worst cases: every size at the end of its tolerance that makes it so.

    Attributes:
        section: Diameter of the cord once the ring is stretched, in mm.
        squeeze_mm: What the gland takes of it.
        squeeze: The same in percent of the stretched cord.
        stretch: Percent of the ring's inner diameter.
        fill: Percent of the groove's section.
        missing_tolerances: Sizes whose tolerance nobody gave; they count as exact.
    """

    section: Figure | None
    squeeze_mm: Figure | None
    squeeze: Figure | None
    stretch: Figure | None
    fill: Figure | None
    findings: tuple[RingFinding, ...] = ()
    missing_tolerances: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class SetFigures:
    """How much of its squeeze a removed seal has kept, in percent.

    Attributes:
        of_thickness: ASTM D395 method A: of the thickness it had.
        of_squeeze: ASTM D395 method B and ISO 815: of what it was squeezed by; None: not known.
    """

    of_thickness: Figure
    of_squeeze: Figure | None
