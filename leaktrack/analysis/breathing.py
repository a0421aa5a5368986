"""Does the crankcase breathe? Its pressure against published limits, and what follows from it."""

from leaktrack.analysis.cluing import HIGH_MMH2O, is_high
from leaktrack.analysis.refusing import limited
from leaktrack.model.pressure import PressureJudgement, PressureState

# Car maker M, hot, manometer on the dipstick tube, 4000 rpm: a new engine up to 1.0 kPa, a used one
# up to 2.5 kPa; vacuum down to 3.0 and 3.5 kPa.
NEW_MMH2O = 102.0
LOWEST_NEW_MMH2O = -306.0
LOWEST_MMH2O = -357.0

READING_SIGMA_MMH2O = 5.0
"""How well a water column is read on a shaking engine: one standard deviation, own judgement."""

PA_PER_MMH2O = 9.80665
_FARTHEST_MMH2O = 10_000.0

_SOURCE = "car maker M: hot, at the dipstick tube, 4000 rpm; two copies of one text"


def pressure_judgement(mmh2o: float) -> PressureJudgement:
    """Return how a crankcase pressure stands to the published limits.

    The limits are those of the trace's clue. A reading within two standard deviations of the limit
    that would decide is neither above nor below it.

    Args:
        mmh2o: Against the air around; below 0 is a vacuum; -10,000 to 10,000.

    Raises:
        BadInput: It is not a number or outside these limits.

    >>> pressure_judgement(300.0).state, pressure_judgement(20.0).state
    (<PressureState.HIGH: 'high'>, <PressureState.IN_ORDER: 'in_order'>)
    """
    limited(mmh2o, "crankcase pressure", "mmH2O", lowest=-_FARTHEST_MMH2O, highest=_FARTHEST_MMH2O)
    state, limit = _state(mmh2o)
    return PressureJudgement(state, mmh2o, READING_SIGMA_MMH2O, limit, _SOURCE)


def pascals(mmh2o: float) -> float:
    """Return a water column in Pa.

    Raises:
        BadInput: It is not a number or outside -10,000 to 10,000.

    >>> pascals(1.0)
    9.80665
    """
    limited(mmh2o, "crankcase pressure", "mmH2O", lowest=-_FARTHEST_MMH2O, highest=_FARTHEST_MMH2O)
    return mmh2o * PA_PER_MMH2O


def _state(mmh2o: float) -> tuple[PressureState, float]:
    doubt = 2 * READING_SIGMA_MMH2O
    for limit in (HIGH_MMH2O, LOWEST_MMH2O):
        if abs(mmh2o - limit) <= doubt:
            return PressureState.AT_LIMIT, limit
    if is_high(mmh2o):
        return PressureState.HIGH, HIGH_MMH2O
    if mmh2o < LOWEST_MMH2O:
        return PressureState.LOW, LOWEST_MMH2O
    if mmh2o > NEW_MMH2O:
        return PressureState.ABOVE_NEW, NEW_MMH2O
    return PressureState.IN_ORDER, HIGH_MMH2O
