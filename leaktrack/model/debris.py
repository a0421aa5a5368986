"""Particles on a strainer or filter paper, as one photo shows them."""

from dataclasses import dataclass, field
from datetime import datetime
from enum import Enum
from uuid import UUID

from leaktrack.model.figure import Figure
from leaktrack.model.identity import new_id
from leaktrack.model.shapes import Outline, PointPx


class ParticleKind(Enum):
    """What a particle looks like; a photo does not tell what it is made of."""

    DARK_CLUMP = "dark_clump"
    SEALANT_CRUMB = "sealant_crumb"
    METAL = "metal"
    FIBRE = "fibre"


@dataclass(frozen=True, slots=True, kw_only=True)
class Particle:
    """One particle.

    Attributes:
        at: Its middle, in the upright photo.
        outline: Its edge.
        length: Largest distance between two of its places, in the unit of the count.
        width: Smallest distance between two parallel lines that hold it.
        area: Inside its edge, in the unit squared.
        lightness: CIE L* of its look, 0 to 100.
        colour: CIE a* and b* of its look, the paper's around it taken off.
    """

    at: PointPx
    outline: Outline
    length: float
    width: float
    area: float
    kind: ParticleKind
    lightness: float
    colour: tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class DebrisCount:
    """All particles that a photo shows.

    Attributes:
        particles: The longest first.
        unit: "mm", or "px" where the photo has no scale.
        least: Smaller ones cannot be told from the paper here; their count would say nothing.
        warnings: What makes the count doubtful, in words.
        is_paper_doubtful: The surface is so uneven that it may be no paper at all.
    """

    particles: tuple[Particle, ...]
    unit: str
    mm_per_px: float | None
    least: float
    warnings: tuple[str, ...] = ()
    is_paper_doubtful: bool = False


SIZES_MM = (0.5, 1.0, 2.0, 5.0)
"""Between these, lengths are counted together; own judgement, for what an eye can see."""


def size_names() -> tuple[str, ...]:
    """Return what the sizes are called.

    >>> size_names()[0], size_names()[-1]
    ('to 0.5 mm', 'over 5 mm')
    """
    return (*(f"to {size:g} mm" for size in SIZES_MM), f"over {SIZES_MM[-1]:g} mm")


def size_place(length_mm: float) -> int:
    """Return into which of the sizes a length falls.

    >>> size_place(0.5), size_place(0.51), size_place(12.0)
    (0, 1, 4)
    """
    return sum(length_mm > size for size in SIZES_MM)


@dataclass(frozen=True, slots=True, kw_only=True)
class DrainCount:
    """What a photo of one drain shows, once somebody kept it.

    Attributes:
        photo_id: The photo; its check is the look into the drain.
        particles: The longest first; without their outlines, which a new count gives again.
        unit: "mm", or "px" where the photo has no scale.
        least: Smaller ones were not counted.
    """

    id: UUID = field(default_factory=new_id)
    photo_id: UUID
    counted_at: datetime
    particles: tuple[Particle, ...]
    unit: str
    mm_per_px: float | None = None
    least: float
    is_paper_doubtful: bool = False


class DrainChange(Enum):
    """How the debris of one look compares with that of an earlier drain."""

    MORE = "more"
    FEWER = "fewer"
    CANNOT_SAY = "cannot_say"


@dataclass(frozen=True, slots=True, kw_only=True)
class DrainRow:
    """Particles of one look, all or those of one size, at two drains.

    Attributes:
        kind: None for all kinds together.
        size: What the size is called; empty for all sizes.
        ratio: How many times as many for each hour run (for each drain, where hours are not
            known), with 95 % interval; None where the earlier drain had none.
    """

    kind: ParticleKind | None
    size: str
    before: int
    after: int
    before_mm2: float
    after_mm2: float
    ratio: Figure | None
    change: DrainChange


@dataclass(frozen=True, slots=True, kw_only=True)
class DrainComparison:
    """The debris of two drains.

    Attributes:
        least_mm: Only particles of this length and more were compared.
        before_h: Hours that the oil had run before the earlier drain; None: not known.
        assumes: What the comparison takes for granted, in words.
    """

    rows: tuple[DrainRow, ...]
    least_mm: float
    before_h: float | None
    after_h: float | None
    assumes: str


@dataclass(frozen=True, slots=True)
class CrumbSource:
    """Crumbs of one colour, and the joints that were sealed with that colour.

    Attributes:
        colour: What the colour is called.
        joints: Names of the joints, with the sealant; empty where none has that colour.
    """

    colour: str
    crumbs: int
    joints: tuple[str, ...]
