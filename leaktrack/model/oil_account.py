"""What the dipstick says is missing, and how much of it visible leaks can explain."""

from dataclasses import dataclass, field
from enum import Enum
from uuid import UUID

from leaktrack.model.between import Between
from leaktrack.model.identity import new_id

FILM_MM = Between(0.02, 0.1)
"""Thickness of an oil film on metal: 0.05 mm is an order of magnitude, measured for fuel on the
skin of aircraft (DTIC ADA088168); a film that drains for half an hour keeps about 0.02 mm
(Jeffreys, from memory)."""

POOL_ANGLE_DEG = Between(10.0, 30.0)
"""Contact angle of oil on a floor or on paper; own judgement."""

USUAL_EDGE_MM = Between(2.0, 6.0)
"""Width of flange lips, bolt heads and thread ends that oil hangs from, where nobody measured: 1 to
3 mm radius, own judgement."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DipstickPoint:
    """How much oil a height on an engine's own dipstick means; tells nothing until both are known.

    Attributes:
        height_mm: Above the lower mark; 0 is the mark itself.
        volume_ml: Oil above what is in the engine at the lower mark.
    """

    id: UUID = field(default_factory=new_id)
    engine_id: UUID
    height_mm: float | None = None
    volume_ml: float | None = None


@dataclass(frozen=True, slots=True)
class OilLevel:
    """Oil by one reading of the dipstick.

    Attributes:
        ml: Above the same mark for all levels that are set against each other.
        sigma_ml: One standard deviation.
        oil_c: Oil temperature while it was read; None: not known.
    """

    ml: float
    sigma_ml: float
    oil_c: float | None = None


@dataclass(frozen=True, slots=True)
class OilLoss:
    """Oil that is missing after a run, at one temperature.

    Attributes:
        ml: Missing; below 0 there is more than before.
        sigma_ml: One standard deviation.
        warmth_ml: How much of it makes up for oil that is larger when hot; None: not corrected.
        unlike_c: By how much the oil temperatures of the two readings may differ, which is in the
            standard deviation; 0 where it is corrected for.
    """

    ml: float
    sigma_ml: float
    warmth_ml: float | None = None
    unlike_c: float = 0.0

    @property
    def bounds_ml(self) -> Between:
        """Two standard deviations to both sides, about 95 %."""
        return Between(self.ml - 2 * self.sigma_ml, self.ml + 2 * self.sigma_ml)


class LeakWay(Enum):
    """How the oil of one leak was reckoned."""

    DROPS = "drops"
    FILM = "film"
    DROPS_AND_FILM = "drops_and_film"
    POOL = "pool"
    POOL_AND_FILM = "pool_and_film"
    NOT_COUNTED = "not_counted"
    NO_SIZE = "no_size"


@dataclass(frozen=True, slots=True)
class SeenLeak:
    """What a look after a run shows of one leak, as far as it tells an amount.

    Attributes:
        number: What people call it.
        does_fall: Drops fall, or it runs.
        edge_mm: Width of the edge that drops hang from.
        area_mm2: Of the wet area.
        pool_mm: Width of the pool below it.
    """

    number: int
    does_fall: bool
    drops_per_minute: float | None = None
    edge_mm: float | None = None
    area_mm2: float | None = None
    pool_mm: float | None = None


@dataclass(frozen=True, slots=True)
class LeakAmount:
    """How much oil one leak may have lost in a run."""

    number: int
    way: LeakWay
    ml: Between


class AccountState(Enum):
    """Whether the account can be drawn up; if not, why."""

    DRAWN_UP = "drawn_up"
    NO_READINGS = "no_readings"
    LOSS_IN_DOUBT = "loss_in_doubt"
    NO_LOOK = "no_look"
    NO_TIME = "no_time"
    NOTHING_COUNTED = "nothing_counted"


@dataclass(frozen=True, slots=True)
class OilAccount:
    """What is missing after a run against what visible leaks explain.

    Attributes:
        loss: By the dipstick; None: not read before and after.
        is_calibrated: Whether heights were read and the engine's own dipstick tells mL.
        leaks: Each leak that the look after the run shows wet, by number.
        explained_ml: By all of them together; None: no look.
        share: Explained over missing, 1 is all; the upper bound is infinite where a leak was not
            counted; None: cannot be said.
        minutes: The run's time, for which drops were taken to fall.
    """

    state: AccountState
    loss: OilLoss | None = None
    is_calibrated: bool = False
    leaks: tuple[LeakAmount, ...] = ()
    explained_ml: Between | None = None
    share: Between | None = None
    minutes: float | None = None
