"""Particles on a strainer or filter paper, as one photo shows them."""

from dataclasses import dataclass
from enum import Enum

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
    """

    particles: tuple[Particle, ...]
    unit: str
    mm_per_px: float | None
    least: float
    warnings: tuple[str, ...] = ()
