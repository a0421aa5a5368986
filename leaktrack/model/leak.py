"""Leaks and leak marks. A leak is the thing on the engine; a mark is what one photo shows of it."""

from dataclasses import dataclass, field
from enum import Enum
from typing import assert_never
from uuid import UUID

from leaktrack.model.identity import new_id
from leaktrack.model.shapes import Outline, PointPx


class SeepageGrade(Enum):
    """How wet it is. Not seen (hidden or not photographed) is never the same as dry."""

    DRY = "dry"
    STAIN = "stain"
    SEEP = "seep"
    HEAVY_SEEP = "heavy_seep"
    DRIP = "drip"
    STREAM = "stream"
    NOT_SEEN = "not_seen"


class Fluid(Enum):
    """What the wetness is, as far as a look can tell. Colour is a hint, never proof."""

    UNKNOWN = "unknown"
    ENGINE_OIL = "engine_oil"
    GEAR_OIL = "gear_oil"
    COOLANT = "coolant"
    FUEL = "fuel"
    HYDRAULIC = "hydraulic"
    ASSEMBLY_RESIDUE = "assembly_residue"


def wetness(grade: SeepageGrade) -> int | None:
    """Return 0 for dry up to 5 for a stream; None where nobody could see it.

    >>> wetness(SeepageGrade.DRIP), wetness(SeepageGrade.NOT_SEEN)
    (4, None)
    """
    match grade:
        case SeepageGrade.DRY:
            return 0
        case SeepageGrade.STAIN:
            return 1
        case SeepageGrade.SEEP:
            return 2
        case SeepageGrade.HEAVY_SEEP:
            return 3
        case SeepageGrade.DRIP:
            return 4
        case SeepageGrade.STREAM:
            return 5
        case SeepageGrade.NOT_SEEN:
            return None
        case _:
            assert_never(grade)


def worst(grades: "list[SeepageGrade] | tuple[SeepageGrade, ...]") -> SeepageGrade:
    """Return the wettest grade; not seen if nothing was seen.

    >>> worst([SeepageGrade.DRY, SeepageGrade.NOT_SEEN, SeepageGrade.SEEP])
    <SeepageGrade.SEEP: 'seep'>
    >>> worst([])
    <SeepageGrade.NOT_SEEN: 'not_seen'>
    """
    seen = [grade for grade in grades if grade is not SeepageGrade.NOT_SEEN]
    return max(seen, key=lambda grade: wetness(grade) or 0, default=SeepageGrade.NOT_SEEN)


@dataclass(frozen=True, slots=True, kw_only=True)
class Leak:
    """A place on the engine that was wet at some inspection. It lives over all inspections.

    Attributes:
        number: Counted per engine from 1; what people call it.
        joint_id: The joint it is thought to come from, once somebody has said so.
    """

    id: UUID = field(default_factory=new_id)
    zone_id: UUID
    number: int
    joint_id: UUID | None = None
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class LeakMark:
    """What one photo shows of one leak.

    Attributes:
        source_px: Where it seems to start; None where the photo does not show that place.
        outline_px: Edge of the wet area; empty where there is none (dry, not seen).
        has_hanging_drop: A drop hangs but was not seen to fall; None: nobody looked.
        do_drops_fall: Drops were seen to fall, counted or not.
        is_stream: It runs, too fast to count drops.
        drop_edge_mm: Width of the edge that drops hang from, such as a bolt's end.
        pool_mm: Width of the pool below it, on the floor or on paper.
        wet_for_min: For how long the area had been getting wet since it was last dry, where that is
            not the time since the engine was cleaned.
        reappears_after_min: Minutes until it is wet again after wiping.
        did_reappear: False: wiped, and it stayed away.
    """

    id: UUID = field(default_factory=new_id)
    leak_id: UUID
    photo_id: UUID
    grade: SeepageGrade
    source_px: PointPx | None = None
    outline_px: Outline = ()
    fluid: Fluid = Fluid.UNKNOWN
    has_hanging_drop: bool | None = None
    do_drops_fall: bool | None = None
    is_stream: bool | None = None
    drops_per_minute: float | None = None
    drop_edge_mm: float | None = None
    pool_mm: float | None = None
    wet_for_min: float | None = None
    did_reappear: bool | None = None
    reappears_after_min: float | None = None
    note: str = ""
