"""How likely does a joint leak on, or again, if it is left? Defaults, each with its standing."""

from collections.abc import Iterable
from math import prod

from leaktrack.model.comparison import Change
from leaktrack.model.leak import SeepageGrade
from leaktrack.model.redo_benefit import ChanceFrom

# How likely a leak of each grade asks for work of its own within the engine's next years, if it is
# left as it is: leaks of this kind do not heal, but many stains never become more. Own proposal;
# makers only say which grades to repair at once.
GOES_ON = {
    SeepageGrade.STAIN: 0.3,
    SeepageGrade.SEEP: 0.6,
    SeepageGrade.HEAVY_SEEP: 0.85,
    SeepageGrade.DRIP: 0.97,
    SeepageGrade.STREAM: 0.99,
}

CHECK_CHANCES = {
    ChanceFrom.CHECK_FAILED: 0.9,
    ChanceFrom.CHECK_OPEN: 0.4,
    ChanceFrom.RIDES_ALONG: 0.15,
}
"""How likely a check that failed, is open or rides along asks for work later. Own proposal."""

GROWING_ODDS = {
    Change.NEW: 1.0,
    Change.GROWING: 2.0,
    Change.STEADY: 1.0,
    Change.SHRINKING: 0.5,
}
"""Times the odds that a leak goes on, by how it fared between the last two looks. Own proposal."""

# As if 1.5 leaks of 10 jobs had been seen before the first own one, as the trace takes it: about
# one sealing job in seven leaks. Own proposal.
SEEN_LEAKS, SEEN_JOBS = 1.5, 10.0


def of_history(leaks: int, jobs: int) -> float:
    """Return how likely a dry seal leaks, by how others of its kind fared on this engine.

    Source:
        The mean of a beta distribution: counts with some that are taken to have been seen before.

    >>> of_history(0, 0), of_history(4, 10)
    (0.15, 0.275)
    """
    return (SEEN_LEAKS + leaks) / (SEEN_JOBS + jobs)


def goes_on(grade: SeepageGrade, change: Change) -> float:
    """Return how likely a leak asks for work of its own if it is left.

    Args:
        grade: Its last one; those that say nothing, dry and not seen, count for nothing.
        change: How it fared between the last two looks.

    >>> round(goes_on(SeepageGrade.SEEP, Change.GROWING), 3)  # odds of 3 to 2, doubled
    0.75
    """
    chance = GOES_ON.get(grade, 0.0)
    odds = GROWING_ODDS.get(change, 1.0) * chance / (1 - chance)
    return odds / (1 + odds)


def of_leaks(leaks: Iterable[tuple[float, float]], dry: float) -> float:
    """Return how likely a joint leaks on or again.

    Args:
        leaks: Each leak that may come from it: the chance that it does, and that it goes on.
        dry: The chance for a dry seal of its kind.

    Returns:
        That at least one of these goes on, or that it begins to leak.

    >>> round(of_leaks([(0.9, 0.97)], 0.15), 4)
    0.8921
    """
    stays_dry = prod(1 - comes * on for comes, on in leaks)
    return 1 - stays_dry * (1 - dry)
