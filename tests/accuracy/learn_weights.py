"""Learn from known truth how clues tell a right guess from a wrong one; prints what to write down.

Logistic regression on the clues of ``weighing``, then on those of ``surrounding``; a guess is right
within 5 px at 1000 px width and where the place can be seen at all. Each zone is judged by weights
of both kinds learnt on the other zones.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import permutations

import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.carrying.chances import with_squares
from leaktrack.imaging.carrying.flattening import STEP_PX, bent, pictures
from leaktrack.imaging.carrying.refining import guessed, held_down
from leaktrack.imaging.carrying.surrounding import SURROUNDED_CLUES, surrounded
from leaktrack.imaging.carrying.weighing import DEPTH_CLUES
from leaktrack.imaging.matching.aligning import AlignmentState, align
from leaktrack.imaging.matching.learned_matching import LearnedMatcher
from leaktrack.places import resource
from tests.accuracy.measure_align import features_of
from tests.accuracy.truth import TruePhoto, TrueZone

_RIGHT_PX = 5.0
_TOLD_AT_PX = 1000
_DECODED_PX = 1600
_POINTS = 250
_RIDGE = 3.0
_NEWTON_ROUNDS = 25


@dataclass(frozen=True)
class Cases:
    """Guesses about points of one zone.

    Attributes:
        clues: (points, guesses, clues).
        error_px: (points, guesses) at 1000 px width.
        is_seen: (points,) whether the new photo shows the point.
        at: The nodes of the points: (points,) rows and columns.
        everywhere: (guesses, node rows, node cols, clues).
        wheres: (guesses, node rows, node cols, 2).
    """

    zone: str
    clues: NDArray[np.float64]
    error_px: NDArray[np.float64]
    is_seen: NDArray[np.bool_]
    at: tuple[NDArray[np.int64], NDArray[np.int64]]
    everywhere: NDArray[np.float16]
    wheres: NDArray[np.float32]


def report(zones: Sequence[TrueZone], every: int) -> None:
    """Print a table, zone by zone unseen, and the constants for ``chances``."""
    matcher = LearnedMatcher(resource("models"))
    cases = []
    for zone in zones:
        seen = {photo.name: features_of(matcher, photo) for photo in zone.photos}
        for one, other in list(permutations(zone.photos, 2))[::every]:
            pairs = matcher.matches(seen[one.name], seen[other.name])
            alignment = align(seen[one.name], seen[other.name], pairs)
            if alignment.state is not AlignmentState.FAILED:
                cases += [each for each in [_cases(zone, one, other, alignment)] if each]
        print(zone.name, flush=True)
    by_itself, surrounded_too = [], []
    for name in dict.fromkeys(case.zone for case in cases):
        weights = _learnt(_but(cases, name))
        by_itself += [_judged(case, weights) for case in cases if case.zone == name]
        around = _with_surroundings(cases, weights)
        weights = _learnt(_but(around, name))
        surrounded_too += [_judged(case, weights) for case in around if case.zone == name]
    weights = _learnt(cases)
    _print_table(by_itself)
    _print_constants(weights, DEPTH_CLUES)
    _print_table(surrounded_too)
    _print_constants(_learnt(_with_surroundings(cases, weights)), SURROUNDED_CLUES)
    best_possible = np.concatenate([case.error_px.min(axis=1)[case.is_seen] for case in cases])
    print(f"the best guess is within {_RIGHT_PX} px for {np.mean(best_possible < _RIGHT_PX):.1%}")


def _but(cases: Sequence[Cases], zone: str) -> list[Cases]:
    return [case for case in cases if case.zone != zone]


def _with_surroundings(cases: Sequence[Cases], weights: NDArray[np.float64]) -> list[Cases]:
    """Return the cases with what the surroundings say, by these weights of guesses alone."""
    more = []
    for case in cases:
        everywhere = case.everywhere.astype(np.float32)
        chance = held_down(everywhere, _chance(everywhere, weights).astype(np.float32))
        clues = surrounded(everywhere, chance, case.wheres)[:, *case.at].transpose(1, 0, 2)
        more.append(replace(case, clues=clues.astype(float)))
    return more


def _judged(
    case: Cases, weights: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.bool_]]:
    """Return the chance of the likeliest guess of each point, how far it is off, and if seen."""
    chance = _chance(case.clues, weights)
    best = chance.argmax(axis=1)
    return chance.max(axis=1), case.error_px[np.arange(len(best)), best], case.is_seen


def _cases(zone: TrueZone, one: TruePhoto, other: TruePhoto, alignment) -> Cases | None:
    both = (
        pictures(one.rgb(_DECODED_PX), one.size_px),
        pictures(other.rgb(_DECODED_PX), other.size_px),
    )
    guesses = guessed(alignment, *both, one.size_px)
    if guesses is None:
        return None
    weigher, _ = guesses
    reference, new = (each[0].halved() for each in both)
    clues = weigher.clues()
    if clues.shape[-1] != len(DEPTH_CLUES):
        return None
    from_here, to_there = zone.seen_from(one), zone.seen_from(other)
    asked = np.flatnonzero((from_here[:, 2] > 0) & np.isfinite(to_there[:, 0]))
    asked = np.random.default_rng(1).permutation(asked)[:_POINTS]
    nodes = reference.to_picture(from_here[asked, :2]) / STEP_PX
    nearest = np.rint(nodes).astype(int)
    rows, cols = clues.shape[1:3]
    row, col = nearest[:, 1].clip(0, rows - 1), nearest[:, 0].clip(0, cols - 1)
    at_nodes = nodes.astype(np.float32)[None]
    errors = []
    for guess_where in weigher.wheres:
        where = bent(np.ascontiguousarray(guess_where), at_nodes)
        found = new.to_full(where.reshape(-1, 2).astype(float))
        errors.append(np.linalg.norm(found - to_there[asked, :2], axis=1))
    told = np.stack(errors, axis=1) * _TOLD_AT_PX / other.size_px[0]
    at_points = clues[:, row, col].transpose(1, 0, 2).astype(float)
    return Cases(
        zone.name,
        at_points,
        told,
        to_there[asked, 2] > 0,
        (row, col),
        clues.astype(np.float16),
        np.stack(weigher.wheres).astype(np.float32),
    )


def _learnt(cases: Sequence[Cases]) -> NDArray[np.float64]:
    """Return weights for the clues, their squares, and the bias; Newton's method with a ridge."""
    clues = with_squares(
        np.concatenate([case.clues.reshape(-1, case.clues.shape[-1]) for case in cases])
    )
    is_right = np.concatenate(
        [((case.error_px < _RIGHT_PX) & case.is_seen[:, None]).ravel() for case in cases]
    )
    mean, spread = clues.mean(axis=0), clues.std(axis=0) + 1e-6
    terms = np.c_[(clues - mean) / spread, np.ones(len(clues))]
    ridge = _RIDGE * np.r_[np.ones(clues.shape[1]), 0]
    weights = newton(terms, is_right, np.ones(len(terms)), ridge)
    plain = weights[:-1] / spread
    return np.r_[plain, weights[-1] - plain @ mean]


def newton(
    terms: NDArray[np.float64],
    is_right: NDArray[np.bool_],
    count: NDArray[np.float64],
    ridge: NDArray[np.float64],
) -> NDArray[np.float64]:
    """Return the (T,) weights of a logistic regression, by Newton's method.

    Args:
        terms: (N, T).
        is_right: (N,).
        count: (N,) for how many each counts.
        ridge: (T,) how strongly each weight is held at zero.
    """
    weights = np.zeros(terms.shape[1])
    for _ in range(_NEWTON_ROUNDS):
        chance = 1 / (1 + np.exp(-terms @ weights))
        gradient = terms.T @ (count * (chance - is_right)) + ridge * weights
        curvature = (terms * (count * chance * (1 - chance))[:, None]).T @ terms
        weights -= np.linalg.solve(curvature + np.diag(ridge + 1e-6), gradient)
    return weights


def _chance(clues: NDArray[np.float64], weights: NDArray[np.float64]) -> NDArray[np.float64]:
    return 1 / (1 + np.exp(-(with_squares(clues) @ weights[:-1] + weights[-1])))


def _print_table(
    judged: Sequence[tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.bool_]]],
) -> None:
    chance, error, is_seen = map(np.concatenate, zip(*judged, strict=True))
    print(f"{int(is_seen.sum())} points seen, chosen guess right {np.mean(error[is_seen] < 5):.1%}")
    print("chance    carried   <5 px  median  >20 px  hidden held back")
    for least in (0.1, 0.3, 0.5, 0.6, 0.7, 0.75, 0.8, 0.85, 0.9, 0.95):
        given = is_seen & (chance >= least)
        print(
            f"{least:6.2f}  {given.sum() / is_seen.sum():9.1%}"
            f"  {np.mean(error[given] < 5):6.1%}  {np.median(error[given]):6.2f}"
            f"  {np.mean(error[given] > 20):6.1%}  {np.mean(chance[~is_seen] < least):8.1%}"
        )


def _print_constants(weights: NDArray[np.float64], named: Sequence[str]) -> None:
    count = len(named)
    for name, plain, squared in zip(named, weights[:count], weights[count:-1], strict=True):
        print(f"    ({plain:.3f}, {squared:.3f}),  # {name}")
    print(f"bias {weights[-1]:.3f}")
