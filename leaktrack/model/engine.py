"""The engine: its faces, zones, joints and bolts, and the line of a joint in a photo."""

from dataclasses import dataclass, field
from enum import Enum
from uuid import UUID

from leaktrack.model.identity import new_id
from leaktrack.model.shapes import PointPx


class FaceSide(Enum):
    """Where a face lies on the engine; it fixes the face's place on the engine sheet."""

    BANK_1 = "bank_1"
    BANK_2 = "bank_2"
    TOP = "top"
    FRONT = "front"
    REAR = "rear"
    UNDERSIDE = "underside"


class SealKind(Enum):
    """What keeps a joint tight."""

    LIQUID_GASKET = "liquid_gasket"
    GASKET = "gasket"
    O_RING = "o_ring"
    PROFILE_RING = "profile_ring"
    LIP_SEAL = "lip_seal"
    WASHER = "washer"
    THREAD_SEALANT = "thread_sealant"


@dataclass(frozen=True, slots=True, kw_only=True)
class Engine:
    """One engine on the bench."""

    id: UUID = field(default_factory=new_id)
    name: str
    description: str = ""
    oil_capacity_ml: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Face:
    """One side of an engine."""

    id: UUID = field(default_factory=new_id)
    engine_id: UUID
    side: FaceSide
    name: str
    position: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Zone:
    """A part of a face that is photographed at each inspection.

    Attributes:
        reference_photo_id: The photo on which the zone's joint lines were drawn.
    """

    id: UUID = field(default_factory=new_id)
    face_id: UUID
    name: str
    position: int = 0
    reference_photo_id: UUID | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Joint:
    """A sealed interface between two parts.

    Attributes:
        zone_id: The zone where most of the joint is seen; other zones may show some of it too.
        is_closed: Whether it runs back into its own start, as around a lid.
        length_mm: Along the joint, where somebody measured it.
        gap_mm: Between the closed faces, where somebody measured it or the maker states it.
        face_mm: How wide the sealing face is, across the joint.
    """

    id: UUID = field(default_factory=new_id)
    zone_id: UUID
    name: str
    seal_kind: SealKind
    is_closed: bool = False
    length_mm: float | None = None
    gap_mm: float | None = None
    face_mm: float | None = None
    position: int = 0
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bolt:
    """One numbered bolt of a joint.

    Attributes:
        number: Counted along the joint from its start, from 1.
        station_mm: Its place along the joint, where somebody measured it.
        opens_into_oil: Whether its threaded hole goes through to where oil is; None: unknown.
    """

    id: UUID = field(default_factory=new_id)
    joint_id: UUID
    number: int
    station_mm: float | None = None
    opens_into_oil: bool | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class LinePoint:
    """A point of a joint line; with the number of the bolt beside it, if there is one.

    Attributes:
        at: On the joint itself: the seam, the edge of the flange.
        bolt_number: The bolt that sits at this station.
        head: Centre of that bolt's head, where it is not on the line itself.
        sigma_px: One standard deviation of the place, where it was carried here from another photo;
            None: a person put it there.
    """

    at: PointPx
    bolt_number: int | None = None
    head: PointPx | None = None
    sigma_px: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class JointLine:
    """The path of a joint as one photo shows it, from low to high bolt numbers.

    Only the stretch that the photo shows: the first point may well be bolt 3.
    """

    id: UUID = field(default_factory=new_id)
    joint_id: UUID
    photo_id: UUID
    points: tuple[LinePoint, ...]

    @property
    def path(self) -> tuple[PointPx, ...]:
        """The points' places alone."""
        return tuple(point.at for point in self.points)

    @property
    def sigma_px(self) -> float | None:
        """The largest standard deviation of its carried points; None: a person drew all of it."""
        return max((one.sigma_px for one in self.points if one.sigma_px is not None), default=None)
