"""How well places are carried from one photo of a zone to another.

Errors are told in px of a photo 1000 px wide. Goals: of the visible points at least 85 % carried,
of these 95 % within 5 px with a median of 1 px and 90 % within two sigma; of the hidden points at
least 80 % not given as carried.
"""

import time
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.matching.aligning import AlignmentState
from leaktrack.imaging.matching.learned_matching import Features, LearnedMatcher
from leaktrack.imaging.matching.overlaying import Placing
from leaktrack.imaging.measuring.targeting import squares_seen
from leaktrack.model.place import PlaceState
from tests.accuracy.aligned_pairs import placed_pairs
from tests.accuracy.truth import TruePhoto, TrueZone

DECODED_PX = 1600
TOLD_AT_PX = 1000


@dataclass(frozen=True)
class Outcome:
    """What became of the visible points of one photo in another, one row for each.

    Attributes:
        error_px: At 1000 px width; not a number where no place was given.
        sigma_px: The same of what was promised.
        is_carried: Given as sure.
        is_hidden: Cannot be seen in the other photo.
        is_inside: Would lie within the other photo.
    """

    error_px: NDArray[np.float64]
    sigma_px: NDArray[np.float64]
    is_carried: NDArray[np.bool_]
    is_hidden: NDArray[np.bool_]
    is_inside: NDArray[np.bool_]


def report(zones: Sequence[TrueZone], every: int) -> None:
    """Print one line for each zone and one for all."""
    print(f"{'zone':26}  {_HEADINGS}")
    all_outcomes: list[Outcome] = []
    failed = 0
    began = time.process_time()
    for zone in zones:
        outcomes = []
        for one, other, placing in placed_pairs(zone, every):
            failed += placing.state is AlignmentState.FAILED
            outcomes.append(outcome(zone, one, other, placing))
        print(f"{zone.name:26}  {line(outcomes)}", flush=True)
        all_outcomes += outcomes
    seconds = time.process_time() - began
    print(f"{'all':26}  {line(all_outcomes)}")
    each = seconds / len(all_outcomes)
    print(f"{len(all_outcomes)} pairs, {failed} of them failed, {each:.1f} CPU s each")


def features_of(matcher: LearnedMatcher, photo: TruePhoto) -> Features:
    """Return a photo's features as the program finds them: not on targets."""
    rgb = photo.rgb(DECODED_PX)
    squares = squares_seen(rgb, photo.size_px[0] / rgb.shape[1])
    return matcher.features(rgb, photo.size_px).outside(squares)


def outcome(zone: TrueZone, one: TruePhoto, other: TruePhoto, placing: Placing) -> Outcome:
    """Carry every point that one photo shows, and compare with where it is in the other."""
    here, there = zone.seen_from(one), zone.seen_from(other)
    is_asked = (here[:, 2] > 0) & np.isfinite(there[:, 0])
    here, there = here[is_asked], there[is_asked]
    carried = placing.carry(here[:, :2])
    to_told = TOLD_AT_PX / other.size_px[0]
    width, height = other.size_px
    return Outcome(
        np.linalg.norm(carried.xy - there[:, :2], axis=1) * to_told,
        carried.sigma_px * to_told,
        np.array([state is PlaceState.CARRIED for state in carried.states]),
        there[:, 2] == 0,
        ((there[:, :2] > -0.5) & (there[:, :2] < (width - 0.5, height - 0.5))).all(axis=1),
    )


_HEADINGS = "points  carried   <5 px  median  p95 px  >20 px  <1 sig  <2 sig  hidden held back"


def line(outcomes: Sequence[Outcome]) -> str:
    """Return the figures of several outcomes in one line."""
    error, sigma, is_carried, is_hidden, is_inside = (
        np.concatenate([getattr(each, name) for each in outcomes])
        for name in ("error_px", "sigma_px", "is_carried", "is_hidden", "is_inside")
    )
    given = ~is_hidden & is_carried
    if not given.any():
        return f"{int((~is_hidden).sum()):6}  nothing carried"
    wrong = error[given]
    behind = is_hidden & is_inside
    figures = (
        f"{int((~is_hidden).sum()):6}",
        f"{np.mean(is_carried[~is_hidden]):7.1%}",
        f"{np.mean(wrong < 5):6.1%}",
        f"{np.median(wrong):6.2f}",
        f"{np.percentile(wrong, 95):6.1f}",
        f"{np.mean(wrong > 20):6.1%}",
        f"{np.mean(wrong < sigma[given]):6.1%}",
        f"{np.mean(wrong < 2 * sigma[given]):6.1%}",
        f"{np.mean(~is_carried[behind]):6.1%} of {behind.sum()}" if behind.any() else "none known",
    )
    return "  ".join(figures)
