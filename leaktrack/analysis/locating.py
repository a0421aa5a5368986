"""What do the places where a leak begins, look by look, say of one joint or bolt?"""

from collections.abc import Callable, Iterator, Sequence
from itertools import pairwise
from math import exp, hypot, log

from leaktrack.analysis.sourcing import is_above
from leaktrack.analysis.spreading import PlaceOnSeam
from leaktrack.analysis.stationing import StationFix
from leaktrack.analysis.suspecting import Scene
from leaktrack.analysis.weighing import Weights
from leaktrack.model.shapes import PointPx
from leaktrack.model.source import FoundSource
from leaktrack.model.trace import Clue, ClueKind

# Within so many standard deviations a source is said to be at a joint or at a bolt. Own judgement.
AT_SIGMAS = 2.0

# What speaks for or against a joint's own blame, and says nothing of pressure.
_OF_BLAME = frozenset(
    {
        *(ClueKind.RULED_OUT, ClueKind.FITTED_LATER),
        *(ClueKind.CURED_BY_REDO, ClueKind.STILL_WET_AFTER_REDO),
    }
)


def place_clue(
    fix: StationFix,
    place: PlaceOnSeam,
    scene: Scene,
    source: FoundSource,
    weights: Weights,
    weight: float,
) -> Clue:
    """Return how far from a joint the first look has it begin, as a clue with a given weight."""
    away_mm = fix.distance_px * source.mm_per_px
    sigmas = away_mm / sigma_mm(source, weights)
    if sigmas <= AT_SIGMAS:
        kind = ClueKind.AT_THE_JOINT
    elif is_above(place.at, source.at, source.trail):
        kind = ClueKind.BELOW_THE_JOINT
    else:
        kind = ClueKind.ABOVE_THE_JOINT
    return Clue(
        kind,
        fix.distance_px if source.is_scale_assumed else away_mm,
        "px" if source.is_scale_assumed else "mm",
        weight=weight,
        second=sigmas,
        photo_id=scene.photo_id,
        at_px=place.at,
    )


def later_clues(
    by_look: Sequence[float],
    source: FoundSource,
    distance_px: Callable[[PointPx], float],
    scene: Scene,
) -> Iterator[Clue]:
    """Return what each later look adds to the first one, as where it begins there fits or not."""
    for look, (before, now) in zip(source.later, pairwise(by_look), strict=True):
        away_px = distance_px(look.at)
        yield Clue(
            ClueKind.LATER_LOOK,
            away_px if source.is_scale_assumed else away_px * source.mm_per_px,
            "px" if source.is_scale_assumed else "mm",
            weight=now - before,
            photo_id=scene.photo_id,
            at_px=look.at,
        )


def sigma_mm(source: FoundSource, weights: Weights) -> float:
    """Return how far from where it came out oil may be seen to begin; one standard deviation."""
    places = weights.places
    return hypot(source.sigma_mm, places["line_mm"], places["wick_mm"])


def among_clues(fits: Sequence[tuple[float, Sequence[Clue]]]) -> Iterator[Clue]:
    """Return how well a leak fits the recorded joints: pressure gets out where one is weak.

    Args:
        fits: Of each seal and bolt its share, together 1, and its clues.
    """
    if not fits:
        return
    odds = [
        share * exp(sum(clue.weight for clue in clues if clue.kind not in _OF_BLAME))
        for share, clues in fits
    ]
    yield Clue(ClueKind.AMONG_THE_JOINTS, weight=log(sum(odds)))
