"""How did the camera move between two photos of one zone?

Matches give poses to begin with. Which is right, and by how much it is off, the patches of both
photos decide: each has several places where it may be, and the pose that most patches can live with
wins (an EM fit: which place is each patch's, given the pose; which pose, given the places). Matches
themselves are too coarse for that: on hard pairs their median is 2 to 4 px off the true line, and
wrong cameras fit them better than the true ones (own measurement).

Source:
    R. Hartley, A. Zisserman, "Multiple View Geometry in Computer Vision", 2nd edition, chapters 9
    to 11 and 13 (pose from an essential matrix and from a homography).
"""

from collections.abc import Callable
from dataclasses import dataclass

import cv2
import numpy as np

from leaktrack.imaging.carrying.sharing import each_in_turn, go_on
from leaktrack.imaging.carrying.sighting import Sightings
from leaktrack.imaging.carrying.triangulating import (
    TOLD_AT_PX,
    USUAL_FOCAL,
    Floats,
    Pose,
    off_lines,
    rays,
)
from leaktrack.imaging.matching.moving import Points, surface

# Far less than phones' main cameras differ: matches say little about it, and it must not run away
# to please wrong ones. Own measurement: 0.01 and less did well.
FOCAL_DOUBT = 0.01
BEND_DOUBT = 0.04  # own judgement: one to two per cent in a phone's corners
_DOUBTS = np.array([FOCAL_DOUBT, FOCAL_DOUBT, BEND_DOUBT, BEND_DOUBT, FOCAL_DOUBT])
_LEAST_MATCHES = 20
_MOST_MATCHES = 350
_TRIED = 10
_PROMISING = 3  # of these, once looked at coarsely
_SURFACES = 2
_MOST_ROLL = 1.4  # trace of a turn by up to about 75 degrees
_STRAY = 4.0  # doubts: a match that far off counts as wrong
_TRY_PX = 2.0
_SAME_PX = 0.1  # told at 1000 px; own measurement: of eleven starts four are left on average
_NUDGE = 1e-6  # of a value, to see what a change of it does
_DAMPINGS = np.array([1e-4, 1e-2, 1.0, 100.0])
_SETTLED = 0.9995  # a round that leaves more of the misfit is the last

# What a likeness is worth: a patch seen somewhere with that likeness is e^(7 (likeness - 0.35))
# times as likely to be there as nowhere. Own measurement: 5 to 12 and 0.35 to 0.5 did as well.
_PER_LIKENESS, _EVEN_LIKENESS = 7.0, 0.35
_COARSE_DOUBTS_PX = (4.0, 2.5)  # told at 1000 px, as are all of places
_DOUBTS_PX = (1.5, 1.0)
_FINE_DOUBTS_PX = (2.5, 1.5, 1.0, 0.7)
_JUDGED_PX = 1.5
_ROUNDS = 3  # with each doubt
_LEAST_SHARE = 0.02  # of a patch: places of less are left out of a round


_Misfit = Callable[[Floats], Floats]
_Sizes = tuple[tuple[int, int], tuple[int, int]]


@dataclass(frozen=True, slots=True, eq=False)
class _Fit:
    pose: Pose
    support: float


def posed(starts: list[Pose], seen: Sightings, pause: Callable[[], None] = go_on) -> Pose:
    """Return the pose that most patches can live with, beginning with each of several.

    Args:
        starts: At least one; see ``begun``.
        seen: Where patches of both photos may be in the other.
        pause: Called often; may raise to stop.
    """
    fits = each_in_turn(lambda start: _fitted(start, seen, _COARSE_DOUBTS_PX), starts, pause)
    promising = sorted(fits, key=_support)[-_PROMISING:]
    fits = each_in_turn(lambda fit: _fitted(fit.pose, seen, _DOUBTS_PX), promising, pause)
    return max(fits, key=_support).pose


def reposed(pose: Pose, seen: Sightings) -> Pose:
    """Return the pose made exact by places found with the pose known about."""
    return _fitted(pose, seen, _FINE_DOUBTS_PX).pose


def begun(
    here: Points, there: Points, here_size: tuple[int, int], there_size: tuple[int, int]
) -> list[Pose]:
    """Return poses that matches allow, of which many may be wrong, best first; none if unknown.

    Args:
        here: (N, 2) matched places of the first photo, in px.
        there: (N, 2) the same places in the second photo.
        here_size: Width and height of the first photo.
        there_size: Width and height of the second photo.
    """
    if len(here) < _LEAST_MATCHES:
        return []
    step = -(-len(here) // _MOST_MATCHES)
    here, there = here[::step], there[::step]
    starts = _starts(here, there, here_size, there_size)
    starts.sort(key=lambda start: float(np.median(np.abs(start.off_line(here, there)))))
    starts = _different(starts, here, there)[:_TRIED]
    tried = [_settled(start, here, there, _TRY_PX, 5) for start in starts]
    if not tried:
        return []
    best = min(tried, key=lambda one: one[1])[0]
    exact = _settled(best, here, there, 1.0, 12)[0]
    return _different([exact, *(each for each, _ in tried)], here, there)


def _different(poses: list[Pose], here: Points, there: Points) -> list[Pose]:
    """Return poses without those that say the same of matches as one before them.

    A surface allows each motion twice, there and back; and many starts settle at the same pose.
    """
    kept: list[Pose] = []
    known: list[Floats] = []
    for pose in poses:
        off = np.abs(pose.off_line(here, there))
        if all(np.median(np.abs(off - other)) > _SAME_PX for other in known):
            kept.append(pose)
            known.append(off)
    return kept


def _starts(
    here: Points, there: Points, here_size: tuple[int, int], there_size: tuple[int, int]
) -> list[Pose]:
    """Return poses to begin with: those that the largest surfaces and the matches allow."""
    one = rays(here, here_size, 0.0, 0.0)[:, :2]
    other = rays(there, there_size, 0.0, 0.0)[:, :2]
    px = 1 / (USUAL_FOCAL * TOLD_AT_PX)
    moves: list[tuple[Floats, Floats]] = []
    essential, _ = cv2.findEssentialMat(
        one, other, np.eye(3), method=cv2.USAC_MAGSAC, prob=0.999, threshold=_TRY_PX * px
    )
    if essential is not None and essential.shape == (3, 3):
        first, second, shift = cv2.decomposeEssentialMat(essential)
        moves += [(np.asarray(turn), np.asarray(shift)) for turn in (first, second)]
    left = np.ones(len(one), bool)
    for _ in range(_SURFACES):
        found = surface(one[left], other[left], 3.0 * px)
        if found is None:
            break
        _, turns, shifts, _ = cv2.decomposeHomographyMat(found[0], np.eye(3))
        moves += [
            (np.asarray(turn), np.asarray(shift)) for turn, shift in zip(turns, shifts, strict=True)
        ]
        left[np.nonzero(left)[0][found[1]]] = False
        if left.sum() < _LEAST_MATCHES:
            break
    starts = []
    for turn, shift in moves:
        length = float(np.linalg.norm(shift))
        if np.trace(turn) < _MOST_ROLL:
            continue
        along = shift.ravel() / length if length > 1e-9 else np.array([1.0, 0, 0])
        values = np.concatenate([np.zeros(4), cv2.Rodrigues(turn)[0].ravel(), along])
        starts.append(Pose(values, here_size, there_size))
    return starts


def _settled(
    pose: Pose, here: Points, there: Points, doubt_px: float, rounds: int
) -> tuple[Pose, float]:
    """Return the pose after fitting it to matches, and how badly it fits."""

    def misfit(values: Floats) -> Floats:
        off = off_lines(values, here, there, pose.here_size, pose.there_size) / doubt_px
        # A wrong match counts the same however wrong it is (Geman and McClure's estimator).
        calmed = off / np.sqrt(1 + (off / _STRAY) ** 2)
        return np.concatenate([calmed, _unlikely(values)], axis=1)

    values, cost = pose.values, np.inf
    for _ in range(rounds):
        values, before, cost = _stepped(values, misfit)
        if cost > _SETTLED * before:
            break
    return Pose(values, pose.here_size, pose.there_size), cost


def _fitted(pose: Pose, seen: Sightings, doubts_px: tuple[float, ...]) -> _Fit:
    """Return the pose after fitting it to the places where patches may be.

    Source:
        A. P. Dempster, N. M. Laird, D. B. Rubin, "Maximum likelihood from incomplete data via the
        EM algorithm", Journal of the Royal Statistical Society B 39, 1977.
    """
    sizes = pose.here_size, pose.there_size
    values = pose.values
    for doubt_px in doubts_px:
        for _ in range(_ROUNDS):
            values, _, _ = _stepped(values, _misfit(values, seen, doubt_px, sizes))
    _, total = _chances(values, seen, _JUDGED_PX, sizes)
    return _Fit(Pose(values, *sizes), float(np.log(total).sum()))


def _misfit(values: Floats, seen: Sightings, doubt_px: float, sizes: _Sizes) -> _Misfit:
    """Return what tells how badly values fit the places that are likely with the values given."""
    chance, total = _chances(values, seen, doubt_px, sizes)
    share = chance / total[seen.patch]
    is_near = share > _LEAST_SHARE
    here, there = seen.here[is_near], seen.there[is_near]
    weight = np.sqrt(share[is_near]) / doubt_px

    def misfit(values: Floats) -> Floats:
        off = off_lines(values, here, there, *sizes) * weight
        return np.concatenate([off, _unlikely(values)], axis=1)

    return misfit


def _chances(
    values: Floats, seen: Sightings, doubt_px: float, sizes: _Sizes
) -> tuple[Floats, Floats]:
    """Return how likely each place is, and for each patch those of all its places and of none."""
    worth = _PER_LIKENESS * (seen.likeness - _EVEN_LIKENESS)
    off = off_lines(values[None], seen.here, seen.there, *sizes)[0] / doubt_px
    chance: Floats = np.exp(worth - off**2 / 2)
    count = int(seen.patch[-1]) + 1 if len(seen.patch) else 0
    return chance, 1 + np.bincount(seen.patch, chance, count).astype(np.float64)


def _support(fit: _Fit) -> float:
    return fit.support


def _stepped(values: Floats, misfit: _Misfit) -> tuple[Floats, float, float]:
    """Return values that fit better, how badly they fitted before, and how badly they fit now.

    One step of Levenberg and Marquardt's method, with several dampings tried at once.
    """
    moved = misfit(np.concatenate([values[None], values + _NUDGE * np.eye(len(values))]))
    slopes = (moved[1:] - moved[0]) / _NUDGE
    normal, downhill = slopes @ slopes.T, slopes @ moved[0]
    damped = normal + _DAMPINGS[:, None, None] * np.diag(np.diag(normal) + 1e-9)
    steps = np.linalg.solve(damped, np.broadcast_to(downhill[:, None], (*damped.shape[:2], 1)))
    tried = values - steps[..., 0]
    costs = (misfit(tried) ** 2).sum(axis=1) / 2
    before, best = float((moved[0] ** 2).sum() / 2), int(costs.argmin())
    if costs[best] < before:
        return tried[best], before, float(costs[best])
    return values, before, before


def _unlikely(values: Floats) -> Floats:
    """Return (V, 6) how unlikely the lenses of (V, 10) values are, and the length of the shift."""
    lenses: Floats = np.c_[values[:, :4], values[:, 0] - values[:, 1]] / _DOUBTS
    unit = 100 * (np.linalg.norm(values[:, 7:10], axis=1, keepdims=True) - 1)
    return np.concatenate([lenses, unit], axis=1)
