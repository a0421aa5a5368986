"""Cameras and depths are found from matches; checked against OpenCV's own projection."""

import cv2
import numpy as np
import pytest

from leaktrack.imaging.carrying.triangulating import (
    USUAL_FOCAL,
    main_plane,
    posed,
    px_per_nearness,
    reposed,
)

SIZE = (1600, 1200)
FOCAL_PX = USUAL_FOCAL * max(SIZE)
BEND = (0.03, -0.04)
TURN = np.array([0.06, -0.11, 0.05])
SHIFT_MM = np.array([45.0, -12.0, 20.0])


def surface_points(count=300):
    """Return (N, 3) places in mm: a wall, and a cover that stands 35 mm before it."""
    random = np.random.default_rng(4)
    xy = random.uniform((-130, -95), (130, 95), (count, 2))
    depth = np.where(xy[:, 1] < -20, 300.0, 335.0) + 0.05 * xy[:, 0]
    return np.column_stack([xy, depth])


def seen(places, turn, shift, bend):
    camera = np.array(
        [[FOCAL_PX, 0, (SIZE[0] - 1) / 2], [0, FOCAL_PX, (SIZE[1] - 1) / 2], [0, 0, 1]]
    )
    return cv2.projectPoints(places, turn, shift, camera, np.array([bend, 0, 0, 0]))[0][:, 0]


@pytest.fixture(scope="module")
def matches():
    """Matches as found by networks: half a pixel off, a third of them wrong."""
    random = np.random.default_rng(7)
    places = surface_points()
    here = seen(places, np.zeros(3), np.zeros(3), BEND[0])
    there = seen(places, TURN, SHIFT_MM, BEND[1]) + random.normal(0, 0.5, (len(places), 2))
    is_wrong = random.random(len(places)) < 0.33
    there[is_wrong] += random.uniform(-80, 80, (is_wrong.sum(), 2))
    return here, there, is_wrong, places


@pytest.fixture(scope="module")
def pose(matches):
    here, there, _, _ = matches
    return posed(here, there, SIZE, SIZE)


def test_right_matches_fit_the_cameras_and_most_wrong_ones_do_not(pose, matches):
    here, there, is_wrong, _ = matches

    off = np.abs(pose.off_line(here, there))

    assert np.quantile(off[~is_wrong], 0.95) < 1.5
    assert np.mean(off[is_wrong] > 2.5) > 0.75


def test_places_are_seen_where_opencv_sees_them(pose, matches):
    here, _, _, places = matches
    exact = seen(places, TURN, SHIFT_MM, BEND[1])

    seen_there = pose.seen_there(pose.rays(here), pose.nearness(here, exact))

    assert np.quantile(np.linalg.norm(seen_there - exact, axis=1), 0.95) < 2


def test_better_matches_make_the_cameras_exact(pose, matches):
    here, _, _, places = matches
    exact = seen(places, TURN, SHIFT_MM, BEND[1])

    better = reposed(pose, here, exact)

    assert np.abs(better.off_line(here, exact)).max() < 0.1


def test_depths_are_in_proportion(pose, matches):
    here, _, _, places = matches
    better = reposed(pose, here, seen(places, TURN, SHIFT_MM, BEND[1]))

    near = better.nearness(here, seen(places, TURN, SHIFT_MM, BEND[1]))

    assert np.corrcoef(near, 1 / places[:, 2])[0, 1] > 0.99


def test_the_main_plane_is_the_surface_with_most_matches(pose, matches):
    here, there, is_wrong, places = matches
    rays = pose.rays(here)
    near = pose.nearness(here, there)

    plane = main_plane(pose, here[~is_wrong], there[~is_wrong])

    off_px = np.abs(rays @ plane - near) * px_per_nearness(pose, rays, near)
    is_on_wall = places[:, 1] >= -20
    assert np.median(off_px[is_on_wall & ~is_wrong]) < 1.5
    assert np.median(off_px[~is_on_wall & ~is_wrong]) > 5


def test_a_camera_that_did_not_move_is_no_trouble():
    here = seen(surface_points(), np.zeros(3), np.zeros(3), 0.0)

    pose = posed(here, here, SIZE, SIZE)

    places = pose.seen_there(pose.rays(here), pose.nearness(here, here))
    assert np.quantile(np.linalg.norm(places - here, axis=1), 0.9) < 0.5


def test_too_few_matches_tell_nothing():
    few = np.random.default_rng(1).uniform(0, 1000, (12, 2))

    assert posed(few, few, SIZE, SIZE) is None
