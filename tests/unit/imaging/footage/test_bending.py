"""Matches of several surfaces move like their neighbours; those of chance do not."""

import numpy as np
import pytest

from leaktrack.imaging.footage.bending import bent, like_neighbours

SIZE = (640, 480)
BEHIND = 240.0
OFF_PX = 60.0


@pytest.fixture(scope="module")
def matches():
    """Two surfaces, of which the upper lies far behind, with some noise."""
    rng = np.random.default_rng(4)
    here = rng.uniform((0, 0), SIZE, (240, 2))
    here = here[np.abs(here[:, 1] - BEHIND) > 40]
    there = here + np.where(here[:, 1:] < BEHIND, [OFF_PX, 0.0], 0.0)
    return here, there + rng.normal(0, 0.5, here.shape)


def test_matches_of_two_surfaces_move_like_their_neighbours(matches):
    assert like_neighbours(*matches, SIZE).mean() > 0.95


def test_matches_by_chance_do_not(matches):
    here, there = matches
    by_chance = np.random.default_rng(5).permutation(there)

    assert like_neighbours(here, by_chance, SIZE).mean() < 0.05


def test_a_few_matches_tell_nothing(matches):
    here, there = matches

    assert not like_neighbours(here[:12], there[:12], SIZE).any()


def test_each_pixel_goes_where_the_matches_of_its_surface_do(matches):
    here, there = matches

    x, y = bent(SIZE[::-1], np.eye(3), here, there)

    assert x[100, 400] == pytest.approx(400 - OFF_PX, abs=1.5)
    assert y[100, 400] == pytest.approx(100, abs=1.5)
    assert x[400, 300] == pytest.approx(300, abs=1.5)


def test_without_matches_the_plane_tells():
    plane = np.array([[2.0, 0, 10.0], [0, 2.0, -6.0], [0, 0, 1.0]])
    nothing = np.empty((0, 2))

    x, y = bent(SIZE[::-1], plane, nothing, nothing)

    assert (x[40, 30], y[40, 30]) == pytest.approx((10.0, 23.0))
