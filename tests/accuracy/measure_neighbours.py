"""What other photos of a zone, and places put right by hand, do for carried places.

Errors are told in px of a photo 1000 px wide.
"""

from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from leaktrack.imaging.carrying.chaining import Leg, Through
from leaktrack.imaging.carrying.correcting import Corrected
from leaktrack.imaging.surveying.joining import joined
from leaktrack.imaging.surveying.tying import NEW, REFERENCE
from tests.accuracy.aligned_pairs import aligned_pairs
from tests.accuracy.measure_align import TOLD_AT_PX, Outcome, line, outcome
from tests.accuracy.photo_sets import sets_of
from tests.accuracy.truth import TrueZone

_RINGS_PX = (0, 20, 40, 80, 150)
_PUT_RIGHT_FROM_PX = 4.0  # what is off by less, nobody puts right
_FOR_EACH_PAIR = 5


def report_sets(zones: Sequence[TrueZone], every: int) -> None:
    """Print how places are carried directly, through one other photo, and by all together."""
    found: dict[str, list[Outcome]] = {way: [] for way in ("direct", "through", "together")}
    for zone in zones:
        of_zone: dict[str, list[Outcome]] = {way: [] for way in found}
        for one in sets_of(zone, every):
            direct = one.ways[REFERENCE, NEW]
            others = range(NEW + 1, len(one.shown))
            legs = [Leg(one.ways[REFERENCE, photo], one.ways[photo, NEW]) for photo in others]
            joint = joined(one.ways, one.shown, lambda: None)
            placings = {
                "direct": direct,
                "through": Through(direct, lambda legs=legs: legs),
                "together": Through(direct, lambda legs=legs: legs, lambda joint=joint: joint),
            }
            for way, placing in placings.items():
                of_zone[way].append(outcome(zone, one.reference, one.new, placing))
        for way, outcomes in of_zone.items():
            print(f"{zone.name:22}  {way:8}  {line(outcomes)}", flush=True)
            found[way] += outcomes
    for way, outcomes in found.items():
        print(f"{'all':22}  {way:8}  {line(outcomes)}")


def report_corrections(zones: Sequence[TrueZone], every: int) -> None:
    """Print how far off the places around one are, before and after it was put right."""
    rng = np.random.default_rng(1)
    off: dict[int, list[tuple[float, float, float]]] = {ring: [] for ring in _RINGS_PX[1:]}
    for zone in zones:
        for one, other, placing in aligned_pairs(zone, every):
            here, there = zone.seen_from(one), zone.seen_from(other)
            is_seen = (here[:, 2] > 0) & (there[:, 2] > 0)
            here, there = here[is_seen, :2], there[is_seen, :2]
            told = TOLD_AT_PX / other.size_px[0]
            before = np.linalg.norm(placing.carry(here).xy - there, axis=1) * told
            wrong = np.flatnonzero(before > _PUT_RIGHT_FROM_PX)
            for place in rng.permutation(wrong)[:_FOR_EACH_PAIR]:
                known = Corrected(placing, here[[place]], there[[place]], max(one.size_px))
                carried = known.carry(here)
                after = np.linalg.norm(carried.xy - there, axis=1) * told
                away = np.linalg.norm(here - here[place], axis=1) * TOLD_AT_PX / one.size_px[0]
                for least, most in pairwise(_RINGS_PX):
                    is_in = (away > least) & (away <= most) & np.isfinite(before + after)
                    rows = zip(before[is_in], after[is_in], carried.sigma_px[is_in], strict=True)
                    off[most] += [(was, now, sigma * told) for was, now, sigma in rows]
    for ring, rows in off.items():
        was, now, sigma = np.array(rows).T
        print(
            f"up to {ring:3} px away, {len(rows):5} places: median {np.median(was):4.1f} -> "
            f"{np.median(now):4.1f}, 90 % {np.percentile(was, 90):5.1f} -> "
            f"{np.percentile(now, 90):5.1f}, within two sigma {np.mean(now < 2 * sigma):.1%}"
        )
