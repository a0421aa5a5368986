"""Crankcase pressure against published limits."""

from dataclasses import dataclass
from enum import Enum


class PressureState(Enum):
    """How a crankcase pressure stands to what makers allow."""

    IN_ORDER = "in_order"
    ABOVE_NEW = "above_new"
    HIGH = "high"
    LOW = "low"
    AT_LIMIT = "at_limit"


@dataclass(frozen=True, slots=True)
class PressureJudgement:
    """What a crankcase pressure means.

    Attributes:
        mmh2o: As measured; below 0 is a vacuum.
        sigma_mmh2o: One standard deviation of such a reading.
        limit_mmh2o: The limit that decides, or that it is too near to.
        source: Where the limit comes from.
    """

    state: PressureState
    mmh2o: float
    sigma_mmh2o: float
    limit_mmh2o: float
    source: str
