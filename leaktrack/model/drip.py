"""What drops add up to: always a range, as nobody knows a drop's size exactly."""

from dataclasses import dataclass

from leaktrack.model.between import Between


@dataclass(frozen=True, slots=True)
class DropVolume:
    """How large a falling drop of oil is.

    Attributes:
        ul: In microlitres.
        edge_mm: Width of the edge that it hangs from; None: nobody measured it.
    """

    ul: Between
    edge_mm: float | None


@dataclass(frozen=True, slots=True)
class DripRate:
    """What a rate of drops adds up to while it goes on."""

    drops_per_minute: float
    drop: DropVolume
    ml_per_hour: Between


@dataclass(frozen=True, slots=True)
class DripOutlook:
    """What a drip means for the engine, if it goes on as it was counted.

    Attributes:
        ml_per_day: If it never stops.
        litres_per_100_h: In running hours.
        litres_per_1000_km: At the mean speed of the run before the look; None: not known.
        hours_to_minimum: Until the dipstick shows the lower mark; None: the level is not known.
    """

    rate: DripRate
    ml_per_day: Between
    litres_per_100_h: Between
    litres_per_1000_km: Between | None = None
    hours_to_minimum: Between | None = None
