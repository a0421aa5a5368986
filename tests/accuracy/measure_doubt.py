"""How far carried places are off, by the chance they were given: the source of sigma.

Two sigma shall hold 95 of 100 visible points. Prints the figures for ``imaging.chances``.
"""

from collections.abc import Sequence
from itertools import pairwise, permutations

import numpy as np

from leaktrack.imaging.carrying.refining import FineAlignment, refined
from leaktrack.imaging.matching.aligning import align
from leaktrack.imaging.matching.learned_matching import LearnedMatcher
from leaktrack.places import resource
from tests.accuracy.measure_align import DECODED_PX, TOLD_AT_PX, features_of
from tests.accuracy.truth import TrueZone

_EDGES = (0, 0.1, 0.3, 0.5, 0.6, 0.7, 0.8, 0.85, 0.9, 0.95, 0.98, 1.0001)
_HELD = 0.95


def report(zones: Sequence[TrueZone], every: int) -> None:
    """Print sigma by chance."""
    matcher = LearnedMatcher(resource("models"))
    chances, errors = [], []
    for zone in zones:
        seen = {photo.name: features_of(matcher, photo) for photo in zone.photos}
        shown = {photo.name: photo.rgb(DECODED_PX) for photo in zone.photos}
        for one, other in list(permutations(zone.photos, 2))[::every]:
            pairs = matcher.matches(seen[one.name], seen[other.name])
            by_matches = align(seen[one.name], seen[other.name], pairs)
            fine = refined(by_matches, shown[one.name], one.size_px, shown[other.name])
            if not isinstance(fine, FineAlignment):
                continue
            here, there = zone.seen_from(one), zone.seen_from(other)
            is_seen = (here[:, 2] > 0) & (there[:, 2] > 0)
            off_px = np.linalg.norm(fine.places(here[is_seen, :2]) - there[is_seen, :2], axis=1)
            chances.append(fine.chances(here[is_seen, :2]))
            errors.append(off_px * TOLD_AT_PX / other.size_px[0])
    chance, error = np.concatenate(chances), np.concatenate(errors)
    print("chance   points  sigma px  within 5 px")
    for low, high in pairwise(_EDGES):
        inside = error[(chance >= low) & (chance < high)]
        if len(inside):
            print(
                f"{(low + high) / 2:6.3f}  {len(inside):7}  {np.quantile(inside, _HELD) / 2:8.2f}"
                f"  {np.mean(inside < 5):10.1%}"
            )
