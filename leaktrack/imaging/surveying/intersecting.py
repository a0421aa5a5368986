"""How deep do places lie, told by where several photos show them? What most photos say counts.

Source:
    R. Hartley, A. Zisserman, "Multiple View Geometry in Computer Vision", 2nd edition, chapter 12
    (triangulation).
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.carrying.triangulating import Pose
from leaktrack.imaging.matching.moving import Points
from leaktrack.imaging.surveying.tying import Ties

Floats = NDArray[np.float64]

_AGREES_PX = 2.0  # told at 1000 px
_STRAY_PX = 1.5
_ROUNDS = 4
_NUDGE = 1e-6
_NEAREST = 1e-6


@dataclass(frozen=True, slots=True, eq=False)
class Intersected:
    """Depths of places.

    Attributes:
        nearness: (N,) inverse depths; not a number where no tie tells one.
        votes: (N,) how many ties agree; one that is off by a little counts in part.
        against: (N,) how many do not.
        off_px: (N,) how far ties are off, on average over those that agree; told at 1000 px.
    """

    nearness: Floats
    votes: Floats
    against: Floats
    off_px: Floats


def intersected(poses: Mapping[int, Pose], here: Points, ties: Sequence[Ties]) -> Intersected:
    """Return the depth of each of (N, 2) places that most of its ties agree on.

    Args:
        poses: Cameras of the other photos by number; ties to photos without one are left out.
        here: The places in the reference photo.
        ties: Where other photos show them.
    """
    usable = [each for each in ties if each.photo in poses]
    best = np.full(len(here), np.nan)
    most = np.zeros(len(here))
    for one in usable:
        near = poses[one.photo].nearness(here[one.place], one.xy)
        is_ahead = near > _NEAREST
        tried = np.full(len(here), np.nan)
        tried[one.place[is_ahead]] = near[is_ahead]
        votes = np.exp(-((_off(poses, here, usable, tried) / _AGREES_PX) ** 2) / 2)
        told = np.nansum(votes, axis=0)
        is_better = np.isfinite(tried) & (told > most)
        best[is_better], most[is_better] = tried[is_better], told[is_better]
    best = _polished(poses, here, usable, best)
    best[best <= _NEAREST] = np.nan  # it went behind a camera: its ties do not tell a depth
    off = _off(poses, here, usable, best)
    votes = np.exp(-((off / _AGREES_PX) ** 2) / 2)
    total = np.nansum(votes, axis=0)
    mean_off = np.nansum(votes * np.nan_to_num(off), axis=0) / np.maximum(total, 1e-9)
    return Intersected(best, total, np.isfinite(off).sum(axis=0) - total, mean_off)


def _off(poses: Mapping[int, Pose], here: Points, ties: Sequence[Ties], nearness: Floats) -> Floats:
    """Return (ties, N): how far each tie is off at these depths; not a number without a tie."""
    off = np.full((len(ties), len(here)), np.nan)
    for row, each in zip(off, ties, strict=True):
        pose, known = poses[each.photo], np.isfinite(nearness[each.place])
        place = each.place[known]
        seen = pose.seen_there(pose.rays(here[place]), nearness[place])
        row[place] = np.linalg.norm(seen - each.xy[known], axis=1) / pose.told_px
    return off


def _polished(
    poses: Mapping[int, Pose], here: Points, ties: Sequence[Ties], nearness: Floats
) -> Floats:
    """Return the depths that fit the ties best near those given."""
    is_known = np.isfinite(nearness)
    if not is_known.any():
        return nearness
    nudge = _NUDGE * float(np.median(nearness[is_known]))
    for _ in range(_ROUNDS):
        bend, slope = np.zeros(len(here)), np.zeros(len(here))
        for each in ties:
            known = is_known[each.place]
            place, pose = each.place[known], poses[each.photo]
            rays = pose.rays(here[place])
            seen = pose.seen_there(rays, nearness[place])
            off = (seen - each.xy[known]) / pose.told_px
            by_depth = (
                (pose.seen_there(rays, nearness[place] + nudge) - seen) / nudge / pose.told_px
            )
            # A tie that is far off counts for nothing (Geman and McClure's estimator).
            weight = 1 / (1 + (off**2).sum(axis=1) / _STRAY_PX**2) ** 2
            bend[place] += (by_depth**2).sum(axis=1) * weight
            slope[place] += (by_depth * off).sum(axis=1) * weight
        nearness = nearness - np.where(bend > 0, slope / np.maximum(bend, 1e-12), 0)
    return nearness
