"""A third photo tells where places lie that two photos alone cannot be sure of."""

import numpy as np
import pytest

from leaktrack.imaging.carrying.triangulating import USUAL_FOCAL
from leaktrack.imaging.matching.aligning import AlignmentState, Carried
from leaktrack.imaging.surveying.joining import Shown, joined
from leaktrack.model.place import PlaceState
from tests.pictures import casting, relit

WIDTH, HEIGHT = 720, 540
SIZE = (WIDTH, HEIGHT)
FOCAL_PX = USUAL_FOCAL * WIDTH
EDGE = 270  # rows below are nearer
NEAR_PX, FAR_PX = 30.0, 12.0
ALONG, DOWN = np.array([1.0, 0]), np.array([0, 1.0])


def go_on():
    """Never stop."""


def moved_px(points):
    return np.where(points[:, 1] >= EDGE, NEAR_PX, FAR_PX)[:, None]


class Way:
    """How a photo from aside lies over the reference; sure only where ``is_sure`` says so."""

    def __init__(self, shift, is_sure=lambda points: np.ones(len(points), bool)):
        self._shift, self._is_sure = shift, is_sure
        self.state, self.size = AlignmentState.ALIGNED, SIZE

    def places(self, points):
        return points + self._shift(points)

    def carry(self, points):
        sure = self._is_sure(points)
        states = tuple(PlaceState.CARRIED if one else PlaceState.HIDDEN for one in sure)
        xy = np.where(sure[:, None], self.places(points), np.nan)
        return Carried(xy, np.where(sure, 0.7, np.inf), states)


def is_far(points):
    return points[:, 1] < EDGE


@pytest.fixture(scope="module")
def photos():
    """The second seen from one side, the third from above: what is near moves farther."""
    reference = casting(WIDTH, HEIGHT)
    aside, above = reference.copy(), reference.copy()
    near, far = int(NEAR_PX), int(FAR_PX)
    aside[:EDGE, far:] = reference[:EDGE, :-far]
    aside[EDGE:, near:] = reference[EDGE:, :-near]
    above[far : EDGE + far] = reference[:EDGE]
    above[EDGE + near :] = reference[EDGE:-near]
    above[EDGE + far : EDGE + near] = 90  # what only the one above can look at
    rgbs = (reference, relit(aside, gamma=0.85), relit(above, gamma=1.1, seed=4))
    return {number: Shown(rgb, SIZE) for number, rgb in enumerate(rgbs)}


@pytest.fixture(scope="module")
def ways():
    def aside(points):
        return moved_px(points) * ALONG

    def above(points):
        return moved_px(points) * DOWN

    return {(0, 1): Way(aside, is_far), (0, 2): Way(above)}


@pytest.fixture(scope="module")
def joint(ways, photos):
    return joined(ways, photos, go_on)


def grid(low, high):
    x, y = np.meshgrid(np.arange(80, WIDTH - 120, 40.0), np.arange(low, high, 30.0))
    return np.stack([x.ravel(), y.ravel()], axis=1)


@pytest.mark.parametrize(("low", "high"), [(60, EDGE - 20), (EDGE + 20, HEIGHT - 80)])
def test_places_are_carried_though_the_two_photos_alone_are_not_sure(joint, low, high):
    points = grid(low, high)

    carried = joint.carry(points)

    is_carried = np.array([state is PlaceState.CARRIED for state in carried.states])
    off = np.linalg.norm(carried.xy - points - moved_px(points) * ALONG, axis=1)
    assert is_carried.mean() > 0.8
    assert np.percentile(off[is_carried], 95) < 1.5


def test_two_photos_alone_make_no_survey_where_they_are_sure_of_nothing(ways, photos):
    unsure = Way(
        lambda points: moved_px(points) * ALONG, lambda points: np.zeros(len(points), bool)
    )
    two = {number: photos[number] for number in (0, 1)}

    assert joined({(0, 1): unsure}, two, go_on) is None


def test_photos_that_could_not_be_laid_over_each_other_are_left_alone(ways, photos):
    failed = Way(lambda points: 0 * points)
    failed.state = AlignmentState.FAILED

    assert joined({**ways, (0, 1): failed}, photos, go_on) is None


def test_it_can_be_stopped(ways, photos):
    def stop():
        raise InterruptedError

    with pytest.raises(InterruptedError):
        joined(ways, photos, stop)
