"""A place is followed from picture to picture, and not beyond a cut."""

import numpy as np
import pytest

from leaktrack.imaging.footage.following import followed, small_grey
from leaktrack.imaging.matching.moving import through
from tests.pictures import casting

SIZE = (640, 360)
STEP_PX = 24


def window(rgb, step):
    left = 100 + step * STEP_PX
    return np.ascontiguousarray(rgb[40 : 40 + SIZE[1], left : left + SIZE[0]])


@pytest.fixture(scope="module")
def engine():
    return casting(1280, 720, 4)


def plane_of(step):
    """Where places of the whole picture lie in a window of it."""
    return np.array([[1.0, 0, -(100.0 + step * STEP_PX)], [0, 1.0, -40.0], [0, 0, 1.0]])


def test_a_place_is_followed_both_ways(engine):
    greys = [small_grey(window(engine, step)) for step in range(7)]

    found = followed(greys, 3, plane_of(3), SIZE)

    assert [one.number for one in found] == list(range(7))
    for one in found:
        place = np.array([[500.0, 200.0]])
        assert through(one.plane, place) == pytest.approx(
            through(plane_of(one.number), place), abs=3.0
        )


def test_nothing_is_followed_over_a_cut(engine):
    other = casting(1280, 720, 7)
    greys = [small_grey(window(other if step < 2 else engine, step)) for step in range(5)]

    assert [one.number for one in followed(greys, 3, plane_of(3), SIZE)] == [2, 3, 4]
