"""Learn how clues tell a right place from a wrong one where several photos show a zone.

Logistic regression on the clues of ``vouching`` and their squares, then on those of the
surroundings as well. A place is right within 5 px at 1000 px width and where the new photo shows it
at all. Each zone is judged by weights of both kinds learnt on the others; prints what to write down
in ``trusting``.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import cv2
import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.carrying.flattening import STEP_PX
from leaktrack.imaging.carrying.surrounding import SURROUNDINGS
from leaktrack.imaging.surveying.joining import Join, join_of
from leaktrack.imaging.surveying.trusting import Weights, surrounded_clues, with_squares
from leaktrack.imaging.surveying.vouching import CANDIDATES, CLUES, Candidates
from tests.accuracy.learn_weights import newton
from tests.accuracy.measure_align import TOLD_AT_PX
from tests.accuracy.photo_sets import sets_of
from tests.accuracy.truth import TruePhoto, TrueZone

_RIGHT_PX = 5.0
_POINTS = 500
_RIDGE = 3.0
# Few places are hidden, and one that is given as sure misleads more than one that is held back.
_HIDDEN_WEIGHT = 3.0


@dataclass(frozen=True)
class Cases:
    """What is said of points of one zone.

    Attributes:
        clues: (points, candidates, clues).
        is_told: (points, candidates).
        error_px: (points, candidates) at 1000 px width.
        is_seen: (points,) whether the new photo shows the point.
        is_inside: (points,) whether it would lie within that photo.
        at: The nodes of the points: (points,) rows and columns.
        everywhere: All that was said, half as exactly.
    """

    zone: str
    clues: NDArray[np.float64]
    is_told: NDArray[np.bool_]
    error_px: NDArray[np.float64]
    is_seen: NDArray[np.bool_]
    is_inside: NDArray[np.bool_]
    at: tuple[NDArray[np.int64], NDArray[np.int64]]
    everywhere: Candidates


def report(zones: Sequence[TrueZone], every: int) -> None:
    """Print a table, zone by zone unseen, and the constants."""
    cases = []
    for zone in zones:
        for one in sets_of(zone, every):
            join = join_of(one.ways, one.shown, lambda: None)
            if join is not None:
                cases.append(_cases(zone, one.reference, one.new, join))
        print(zone.name, flush=True)
    judged, surrounded = [], []
    for name in dict.fromkeys(case.zone for case in cases):
        weights = _learnt(_but(cases, name))
        judged += [(case, *_chosen(case, weights)) for case in cases if case.zone == name]
        around = _with_surroundings(cases, weights)
        weights = _learnt(_but(around, name))
        surrounded += [(case, *_chosen(case, weights)) for case in around if case.zone == name]
    _print_table(judged)
    weights = _learnt(cases)
    _print_constants(weights, CLUES)
    _print_table(surrounded)
    _print_constants(_learnt(_with_surroundings(cases, weights)), (*CLUES, *SURROUNDINGS))


def _but(cases: Sequence[Cases], zone: str) -> list[Cases]:
    return [case for case in cases if case.zone != zone]


def _with_surroundings(cases: Sequence[Cases], told: NDArray[np.float64]) -> list[Cases]:
    """Return the cases with what is likely around, by these weights of places by themselves."""
    count = len(CLUES)
    told = told.astype(np.float32)
    weights = Weights(told[: 2 * count].reshape(2, count).T, told[2 * count :])
    more = []
    for case in cases:
        found = replace(case.everywhere, clues=case.everywhere.clues.astype(np.float32))
        clues = surrounded_clues(found, weights)[:, *case.at].transpose(1, 0, 2)
        more.append(replace(case, clues=clues.astype(float)))
    return more


def _cases(zone: TrueZone, one: TruePhoto, other: TruePhoto, join: Join) -> Cases:
    here, there = zone.seen_from(one), zone.seen_from(other)
    asked = np.flatnonzero((here[:, 2] > 0) & np.isfinite(there[:, 0]))
    asked = np.random.default_rng(1).permutation(asked)[:_POINTS]
    here, there = here[asked, :2], there[asked]
    found = join.candidates
    nodes = join.reference.to_picture(here) / STEP_PX
    rows, cols = found.clues.shape[1:3]
    col, row = np.rint(nodes).astype(int).clip(0, (cols - 1, rows - 1)).T
    x, y = nodes.astype(np.float32).T[:, None]
    errors = []
    for where in found.wheres:
        at = cv2.remap(
            np.ascontiguousarray(where), x, y, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE
        )
        errors.append(np.linalg.norm(join.new.to_full(at[0].astype(float)) - there[:, :2], axis=1))
    size = np.array(other.size_px)
    return Cases(
        zone.name,
        found.clues[:, row, col].transpose(1, 0, 2).astype(float),
        found.is_told[:, row, col].T,
        np.stack(errors, axis=1) * TOLD_AT_PX / other.size_px[0],
        there[:, 2] > 0,
        ((there[:, :2] > -0.5) & (there[:, :2] < size - 0.5)).all(axis=1),
        (row, col),
        replace(found, clues=found.clues.astype(np.float16)),
    )


def _learnt(cases: Sequence[Cases]) -> NDArray[np.float64]:
    """Return a weight for each term of ``with_squares``."""
    terms, is_right, counts = [], [], []
    for case in cases:
        for candidate in range(len(CANDIDATES)):
            told = case.is_told[:, candidate]
            terms.append(with_squares(case.clues[told, candidate], candidate))
            is_right.append((case.error_px[told, candidate] < _RIGHT_PX) & case.is_seen[told])
            counts.append(np.where(case.is_seen[told], 1.0, _HIDDEN_WEIGHT))
    term, right, count = map(np.concatenate, (terms, is_right, counts))
    clues = term.shape[1] - len(CANDIDATES)
    mean, spread = term[:, :clues].mean(axis=0), term[:, :clues].std(axis=0) + 1e-6
    term[:, :clues] = (term[:, :clues] - mean) / spread
    ridge = _RIDGE * np.r_[np.ones(clues), np.zeros(len(CANDIDATES))]
    weights = newton(term, right, count, ridge)
    plain = weights[:clues] / spread
    return np.r_[plain, weights[clues:] - plain @ mean]


def _chosen(
    case: Cases, weights: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return the chance of the likeliest candidate of each point, and how far that is off."""
    chance = np.stack(
        [
            1 / (1 + np.exp(-with_squares(case.clues[:, one], one) @ weights))
            for one in range(len(CANDIDATES))
        ],
        axis=1,
    )
    chance *= case.is_told
    best = chance.argmax(axis=1)
    return chance.max(axis=1), case.error_px[np.arange(len(best)), best]


def _print_table(judged: Sequence[tuple[Cases, NDArray, NDArray]]) -> None:
    chance, error = (np.concatenate([one[part] for one in judged]) for part in (1, 2))
    is_seen = np.concatenate([case.is_seen for case, _, _ in judged])
    behind = np.concatenate([case.is_inside & ~case.is_seen for case, _, _ in judged])
    right = np.mean(error[is_seen] < _RIGHT_PX)
    print(f"{int(is_seen.sum())} points seen, chosen place right {right:.1%}")
    print("chance    carried   <5 px  median  >20 px  hidden held back")
    for least in (0.1, 0.3, 0.4, 0.5, 0.55, 0.6, 0.65, 0.7, 0.75, 0.8, 0.85, 0.9, 0.95):
        given = is_seen & (chance >= least)
        print(
            f"{least:6.2f}  {given.sum() / is_seen.sum():9.1%}"
            f"  {np.mean(error[given] < _RIGHT_PX):6.1%}  {np.median(error[given]):6.2f}"
            f"  {np.mean(error[given] > 20):6.1%}  {np.mean(chance[behind] < least):8.1%}"
        )


def _print_constants(weights: NDArray[np.float64], named: Sequence[str]) -> None:
    count = len(named)
    for name, plain, squared in zip(named, weights[:count], weights[count:], strict=False):
        print(f"            ({plain:.3f}, {squared:.3f}),  # {name}")
    for name, bias in zip(CANDIDATES, weights[2 * count :], strict=True):
        print(f"bias of {name}: {bias:.3f}")
