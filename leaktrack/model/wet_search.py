"""What a computer finds newly wet, or dried up, in a photo: proposals, for a person to accept."""

from dataclasses import dataclass, field
from datetime import datetime
from enum import Enum
from typing import Protocol
from uuid import UUID

from leaktrack.model.identity import new_id
from leaktrack.model.shapes import Outline


class WetKind(Enum):
    """Which way a place changed."""

    WET = "wet"
    DRIED = "dried"


class AreaScale(Protocol):
    """What tells how large a shape of a photo is."""

    @property
    def mm_per_px(self) -> float | None:
        """Where it was measured; None where it cannot be used."""


@dataclass(frozen=True, slots=True)
class WetRegion:
    """A region that changed between two inspections.

    Attributes:
        outline: In px of the full upright later photo.
        area_px: Its area, in px of the same photo.
        area_mm2: The same on the engine; None without a scale.
        area_sigma_mm2: One standard deviation of that, as far as the scale is to blame.
        score: The chance that it is oil (or, for a dried region, that it was), 0 to 1.
        kind: Whether it became wet or dried up.
    """

    outline: Outline
    area_px: float
    area_mm2: float | None
    area_sigma_mm2: float | None
    score: float
    kind: WetKind


@dataclass(frozen=True, slots=True)
class WetSearch:
    """What was found in one photo by comparing it with earlier ones.

    Attributes:
        state: "aligned", "unreliable" or "failed": how well the photos lie over each other. Where
            it failed there are no regions, and that says nothing about the engine.
        regions: Likeliest first, wet and dried ones.
        unassessed: Outlines of the parts nothing can be said about: not shown before, not to be
            laid over, burnt out.
        scale: What the areas in mm2 were measured by; None without.
    """

    state: str
    regions: tuple[WetRegion, ...]
    unassessed: tuple[Outline, ...]
    scale: AreaScale | None

    def of_kind(self, kind: WetKind) -> tuple[WetRegion, ...]:
        """Return the regions that changed one way, likeliest first."""
        return tuple(region for region in self.regions if region.kind is kind)


@dataclass(frozen=True, slots=True, kw_only=True)
class Dismissal:
    """A person's word that a region found in a photo is no leak. It lasts until it is taken back.

    Attributes:
        outline_px: The region as it was found, in px of the full upright photo.
        kind: Which way it was thought to have changed.
        score: The chance that it was given when it was found.
    """

    id: UUID = field(default_factory=new_id)
    photo_id: UUID
    decided_at: datetime
    kind: WetKind
    outline_px: Outline
    score: float
