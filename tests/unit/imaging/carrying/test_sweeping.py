"""Depth is found by comparing both photos as if every place had it, neighbours agreeing."""

import numpy as np
import pytest

from leaktrack.imaging.carrying.flattening import Picture, pictures
from leaktrack.imaging.carrying.ranging import Tries, depths_to_try
from leaktrack.imaging.carrying.sweeping import STEP_PX, likenesses, swept
from leaktrack.imaging.carrying.triangulating import USUAL_FOCAL, Pose, px_per_nearness
from tests.pictures import casting, relit

WIDTH, HEIGHT = 720, 540
SIZE = (WIDTH, HEIGHT)
FOCAL_PX = USUAL_FOCAL * WIDTH
NEAR_PX, FAR_PX = 24, 6
EDGE = 300  # rows below are nearer
ASIDE = Pose(np.array([0, 0, 0, 0, 0, 0, 0, -1.0, 0, 0]), SIZE, SIZE)
"""The second camera stands one shift to the right: what it sees moves to the left."""

PLANE = np.array([0, 0, FAR_PX / FOCAL_PX])


def go_on():
    """Never stop."""


@pytest.fixture(scope="module")
def photos():
    reference = casting(WIDTH, HEIGHT)
    new = reference.copy()
    new[EDGE:, :-NEAR_PX] = reference[EDGE:, NEAR_PX:]
    new[:EDGE, :-FAR_PX] = reference[:EDGE, FAR_PX:]
    return pictures(reference, SIZE), pictures(relit(new, gamma=0.85), SIZE)


@pytest.fixture(scope="module")
def depths():
    return np.linspace(-10, 30, 41) / FOCAL_PX


def as_likely(depths):
    return Tries(depths, np.zeros(len(depths), np.float32))


def test_a_depth_that_is_unlikely_beforehand_loses_where_others_fit_as_well(photos, depths):
    plain = np.full(photos[0][0].flat.shape, 0.1, np.float32)
    nothing = tuple(
        Picture(each.px, plain[: len(each.flat), : each.flat.shape[1]]) for each in photos[0]
    )
    cost = np.where(depths < 0, 1.0, 0.0).astype(np.float32)

    found = swept(ASIDE, PLANE, nothing, nothing, Tries(depths, cost), go_on)

    assert (found.offset >= -1e-9).all()


def test_each_surface_gets_its_depth(photos, depths):
    found = swept(ASIDE, PLANE, *photos, as_likely(depths), go_on)

    moved_px = found.offset * FOCAL_PX + FAR_PX
    rim = 60 // STEP_PX
    row = EDGE // STEP_PX
    far, near = moved_px[rim : row - 4, rim:-rim], moved_px[row + 4 : -rim, rim:-rim]
    assert np.mean(np.abs(far - FAR_PX) < 1) > 0.95
    assert np.mean(np.abs(near - NEAR_PX) < 1) > 0.95


def test_the_right_depth_looks_alike_and_a_wrong_one_does_not(photos, depths):
    alike = likenesses(ASIDE, PLANE, *photos, depths, go_on)
    middle = (slice(None), slice(20, 40), slice(30, 90))  # of the far surface

    right, wrong = (alike[:, np.argmin(np.abs(depths * FOCAL_PX - px))] for px in (0, 15))

    assert np.nanmedian(right[middle]) > 0.8
    assert np.nanmedian(wrong[middle]) < 0.3


def test_what_the_new_photo_does_not_show_is_not_a_number(photos, depths):
    alike = likenesses(ASIDE, PLANE, *photos, depths, go_on)

    assert np.isnan(alike[0, -1, :, 0]).all()  # moved by 36 px beyond the left edge


def test_the_depths_tried_cover_the_matches_in_even_steps(photos):
    random = np.random.default_rng(3)
    here = random.uniform(50, 500, (200, 2))
    moved_px = random.uniform(FAR_PX, NEAR_PX, 200)
    there = here - np.column_stack([moved_px, np.zeros(200)])

    tries = depths_to_try(ASIDE, PLANE, here, there, step_px=2.0)

    depths = tries.depths
    steps = np.diff(depths) * px_per_nearness(ASIDE, ASIDE.rays(here), np.zeros(200))
    assert np.ptp(steps) < 1e-6  # even
    assert steps[0] <= 2.0
    assert depths[0] * FOCAL_PX < 0
    assert depths[-1] * FOCAL_PX > NEAR_PX - FAR_PX
    is_covered = (depths * FOCAL_PX >= 0) & (depths * FOCAL_PX <= NEAR_PX - FAR_PX)
    assert not tries.cost[is_covered].any()
    assert tries.cost[-1] > 0  # thin things in front, that no match shows


def test_sweeping_stops_when_asked_to(photos, depths):
    class StoppedError(Exception):
        """Somebody cancelled."""

    def stop():
        raise StoppedError

    with pytest.raises(StoppedError):
        swept(ASIDE, PLANE, *photos, as_likely(depths), stop)
