"""Where the cameras of several photos of a zone stood, and how deep its places lie.

Two photos that lie well over each other, seen from far apart, begin; each further photo is placed
by what it shows of the places known so far; then all is adjusted at once.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.carrying.posing import begun
from leaktrack.imaging.carrying.triangulating import Pose
from leaktrack.imaging.matching.moving import Points
from leaktrack.imaging.surveying.adjusting import Block, adjusted
from leaktrack.imaging.surveying.intersecting import Intersected, intersected
from leaktrack.imaging.surveying.resecting import resected
from leaktrack.imaging.surveying.tying import REFERENCE, Ties

Floats = NDArray[np.float64]
Sizes = Mapping[int, tuple[int, int]]

_LEAST_TIES = 100  # of the first pair; so many places must have a depth
_LEAST_PARALLAX_PX = 5.0  # own judgement: photos from the same spot tell no depth
_MOST_SHARE = 0.5  # of all places: more ties make a pair no better to begin with
_MOST_PARALLAX_PX = 60.0
_FITS_PX = 2.5  # told at 1000 px: ties of the first pair that far from its lines are wrong
_ADJUSTED = 300  # places; own measurement: 500 and 1000 did no better
_RESECTED = 1500
_DOUBTS_PX, _LAST_DOUBTS_PX = (3.0, 1.5), (2.0, 1.0)


@dataclass(frozen=True, slots=True, eq=False)
class Survey:
    """Cameras of photos of a zone and depths of places of the reference photo.

    Attributes:
        poses: By number of the other photo, of those that could be placed.
        depths: Of each place.
    """

    poses: dict[int, Pose]
    depths: Intersected

    @property
    def tells_depths(self) -> bool:
        """Whether enough places have a depth to go on from."""
        return int(np.isfinite(self.depths.nearness).sum()) >= _LEAST_TIES

    def seen_from(self, photo: int) -> dict[int, Pose]:
        """Return the poses from one of the other photos to all others and the reference photo."""
        base = self.poses[photo]
        turn, shift = base.turn, base.values[7:10]
        others = {number: pose for number, pose in self.poses.items() if number != photo}
        found = {}
        for number, pose in others.items():
            turned = pose.turn @ turn.T
            moved = pose.values[7:10] - turned @ shift
            found[number] = _between(base, pose, turned, moved)
        still = base.values.copy()
        still[[0, 1, 2, 3]] = still[[1, 0, 3, 2]]
        still[4:7] *= -1
        still[7:10] = -turn.T @ shift
        found[REFERENCE] = Pose(still, base.there_size, base.here_size)
        return found


def _between(base: Pose, pose: Pose, turn: Floats, shift: Floats) -> Pose:
    lenses = [base.values[1], pose.values[1], base.values[3], pose.values[3]]
    values = np.concatenate([lenses, cv2.Rodrigues(turn)[0].ravel(), shift])
    return Pose(values, base.there_size, pose.there_size)


def surveyed(
    here: Points, sizes: Sizes, ties: Sequence[Ties], pause: Callable[[], None]
) -> Survey | None:
    """Return the survey of (N, 2) places of the reference photo; None where nothing can begin.

    Args:
        here: Places, in px of the full reference photo.
        sizes: Width and height of each photo by number, the reference photo among them.
        ties: Where other photos show the places.
        pause: Called often; may raise to stop.
    """
    random = np.random.default_rng(0)
    first = _first(here, sizes, ties)
    if first is None:
        return None
    survey = first
    waiting = {each.photo for each in ties} - set(first.poses)
    while waiting and survey.tells_depths:
        pause()
        known = {number: _known(ties, number, survey.depths.nearness) for number in waiting}
        number = max(known, key=lambda each: len(known[each][0]))
        waiting.remove(number)
        place, xy = known[number]
        picked = random.permutation(len(place))[:_RESECTED]
        place, xy = place[picked], xy[picked]
        lens = next(iter(survey.poses.values())).values[[0, 2]]
        near = survey.depths.nearness[place]
        pose = resected(here[place], near, xy, lens, (sizes[REFERENCE], sizes[number]))
        if pose is not None:
            poses = {**survey.poses, number: pose}
            survey = _adjusted(Survey(poses, survey.depths), here, ties, _DOUBTS_PX, random, pause)
    if survey.tells_depths:
        survey = _adjusted(survey, here, ties, _LAST_DOUBTS_PX, random, pause)
    return survey if survey.tells_depths else None


def readjusted(
    survey: Survey, here: Points, ties: Sequence[Ties], pause: Callable[[], None]
) -> Survey:
    """Return a survey made exact by ties found with its cameras and depths known.

    It stays as it is where these ties tell too few depths.

    Args:
        survey: To begin with.
        here: (N, 2) places, in px of the full reference photo.
        ties: Where other photos show them.
        pause: Called often; may raise to stop.
    """
    begun_with = Survey(survey.poses, intersected(survey.poses, here, ties))
    if not begun_with.tells_depths:
        return survey
    random = np.random.default_rng(0)
    better = _adjusted(begun_with, here, ties, _LAST_DOUBTS_PX, random, pause)
    return better if better.tells_depths else survey


def _first(here: Points, sizes: Sizes, ties: Sequence[Ties]) -> Survey | None:
    """Return the survey of the pair that tells depths best."""
    best: tuple[float, Survey] | None = None
    for each in ties:
        if not each.is_direct or len(each.place) < _LEAST_TIES:
            continue
        starts = begun(here[each.place], each.xy, sizes[REFERENCE], sizes[each.photo])
        if not starts:
            continue
        pose = _facing(starts[0], here[each.place], each.xy)
        fits = np.abs(pose.off_line(here[each.place], each.xy)) < _FITS_PX
        fitting = Ties(each.photo, each.place[fits], each.xy[fits], True)
        survey = Survey({each.photo: pose}, intersected({each.photo: pose}, here, [fitting]))
        parallax_px = _parallax_px(pose, here, survey.depths.nearness)
        if not survey.tells_depths or parallax_px < _LEAST_PARALLAX_PX:
            continue
        share = min(np.isfinite(survey.depths.nearness).mean(), _MOST_SHARE)
        worth = share * min(parallax_px, _MOST_PARALLAX_PX)
        if best is None or worth > best[0]:
            best = worth, survey
    return None if best is None else best[1]


def _facing(pose: Pose, here: Points, there: Points) -> Pose:
    """Return the pose, its shift turned round where it puts most places behind the camera."""
    if np.median(pose.nearness(here, there)) >= 0:
        return pose
    values = pose.values.copy()
    values[7:10] *= -1
    return Pose(values, pose.here_size, pose.there_size)


def _parallax_px(pose: Pose, here: Points, nearness: Floats) -> float:
    known = np.isfinite(nearness)
    if not known.any():
        return 0.0
    rays = pose.rays(here[known])
    near, far = pose.seen_there(rays, nearness[known]), pose.seen_there(rays, 0 * nearness[known])
    return float(np.median(np.linalg.norm(near - far, axis=1))) / pose.told_px


def _known(ties: Sequence[Ties], photo: int, nearness: Floats) -> tuple[NDArray[np.int64], Points]:
    """Return which places of known depth a photo shows, and where."""
    of_photo = [each for each in ties if each.photo == photo]
    place = np.concatenate([each.place for each in of_photo])
    xy = np.concatenate([each.xy for each in of_photo])
    is_known = np.isfinite(nearness[place])
    return place[is_known], xy[is_known]


def _adjusted(
    survey: Survey,
    here: Points,
    ties: Sequence[Ties],
    doubts_px: Sequence[float],
    random: np.random.Generator,
    pause: Callable[[], None],
) -> Survey:
    """Return the survey after adjusting cameras by some places, and all depths by the cameras."""
    usable = [each for each in ties if each.photo in survey.poses]
    count = np.zeros(len(here))
    for each in usable:
        count[each.place] += 1
    count[~np.isfinite(survey.depths.nearness)] = 0
    # Places that several photos show tie these together, and are taken before others.
    some = random.choice(
        len(here), min(_ADJUSTED, int((count > 0).sum())), replace=False, p=count / count.sum()
    )
    number = np.full(len(here), -1)
    number[some] = np.arange(len(some))
    of_some = []
    for each in usable:
        is_in = number[each.place] >= 0
        of_some.append(Ties(each.photo, number[each.place[is_in]], each.xy[is_in], each.is_direct))
    block = Block(survey.poses, survey.depths.nearness[some])
    block = adjusted(block, here[some], of_some, doubts_px, pause)
    return Survey(block.poses, intersected(block.poses, here, usable))
