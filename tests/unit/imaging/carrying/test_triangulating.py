"""Cameras and depths are found from matches; checked against OpenCV's own projection."""

import cv2
import numpy as np
import pytest

from leaktrack.imaging.carrying.posing import begun, posed, reposed
from leaktrack.imaging.carrying.sighting import Sightings
from leaktrack.imaging.carrying.triangulating import USUAL_FOCAL, main_plane, px_per_nearness

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
    return begun(here, there, SIZE, SIZE)[0]


def sighted(here, there):
    """Return patches that may be in one place each."""
    return Sightings(np.arange(len(here)), here, there, np.full(len(here), 0.8))


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

    better = reposed(pose, sighted(here, exact))

    assert np.abs(better.off_line(here, exact)).max() < 0.1


def test_depths_are_in_proportion(pose, matches):
    here, _, _, places = matches
    better = reposed(pose, sighted(here, seen(places, TURN, SHIFT_MM, BEND[1])))

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

    pose = posed(begun(here, here, SIZE, SIZE), sighted(here, here))

    places = pose.seen_there(pose.rays(here), pose.nearness(here, here))
    assert np.quantile(np.linalg.norm(places - here, axis=1), 0.9) < 0.5


def test_too_few_matches_tell_nothing():
    few = np.random.default_rng(1).uniform(0, 1000, (12, 2))

    assert begun(few, few, SIZE, SIZE) == []


def test_the_pose_is_found_where_most_patches_look_more_like_wrong_places(matches):
    """Matches are 4 px off, all to one side, as in other light; each patch has five places."""
    here, _, _, places = matches
    exact = seen(places, TURN, SHIFT_MM, BEND[1])
    random = np.random.default_rng(3)
    wrong = exact[:, None] + random.uniform(-60, 60, (len(exact), 4, 2))
    patch = np.repeat(np.arange(len(here)), 5)
    there = np.concatenate([exact[:, None], wrong], axis=1).reshape(-1, 2)
    likeness = np.tile([0.6, 0.7, 0.65, 0.6, 0.5], len(here))
    # Where the patch is hidden in the other photo, the right place is not among them.
    likeness.reshape(-1, 5)[::3, 0] = 0.0
    lopsided = exact + np.column_stack([np.zeros(len(exact)), 0.02 * (exact[:, 0] - 800)])
    starts = begun(here, lopsided, SIZE, SIZE)

    found = posed(starts, Sightings(patch, here[patch], there, likeness))

    before, after = (np.abs(pose.off_line(here, exact)) for pose in (starts[0], found))
    assert np.median(before) > 3
    assert np.median(after) < 0.5


def test_single_precision_sees_places_where_double_does(pose, matches):
    here, there, _, _ = matches
    rays, near = pose.rays(here), pose.nearness(here, there)
    ahead = pose.ahead_there(rays).astype(np.float32)

    quick = np.stack(pose.seen_ahead(ahead, near.astype(np.float32)), axis=1)

    # A match gone wrong may lie in the plane of the camera, far outside the photo.
    exact = pose.seen_there(rays, near)
    is_inside = np.all((exact > 0) & (exact < SIZE), axis=1)
    assert is_inside.mean() > 0.9
    assert np.abs(quick - exact)[is_inside].max() < 0.01


def test_no_two_beginnings_say_the_same_of_the_matches(matches):
    here, there, _, _ = matches

    poses = begun(here, there, SIZE, SIZE)

    off = [np.abs(each.off_line(here, there)) for each in poses]
    apart = [
        np.median(np.abs(one - other)) for at, one in enumerate(off) for other in off[at + 1 :]
    ]
    assert min(apart, default=1) > 0.05
