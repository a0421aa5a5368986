from itertools import pairwise

import numpy as np
import pytest
from skimage.transform import ProjectiveTransform

from leaktrack.analysis.flattening import flattened
from leaktrack.model.shapes import PointPx
from tests.unit.analysis.a_flange import Flange

BENT = Flange(np.array([[-60.0, 20], [10, -15], [70, 5], [80, 60]]), 27, -19)
LOOP = Flange(np.array([[-40.0, -30], [50, -20], [45, 35], [-30, 40]]), 20, 15, is_closed=True)


def flat_path(flange: Flange):
    line = flange.line({})
    to_mm = np.linalg.inv(flange.to_px)
    return line.path, flattened(line.path, is_closed=flange.is_closed, homography=to_mm)


def seen_length(flange: Flange, along_mm: float) -> float:
    """Length in the photo up to a place: straight sides stay straight."""
    sides = np.linalg.norm(np.diff(flange.ring_mm, axis=0), axis=1)
    before = [0.0, *(end for end in np.cumsum(sides) if end < along_mm)]
    places = [flange.seen(each) for each in (*before, along_mm)]
    return sum(start.distance_px(end) for start, end in pairwise(places))


@pytest.mark.parametrize("flange", [BENT, LOOP], ids=["bent", "loop"])
@pytest.mark.parametrize("share", [0.07, 0.4, 0.73, 0.95])
def test_flat_length_is_the_length_on_the_flange(flange, share):
    along_mm = share * flange.length_mm
    _, flat = flat_path(flange)
    along_px = seen_length(flange, along_mm)

    assert flat.flat_at(along_px) == pytest.approx(along_mm, abs=1e-3)
    assert flat.seen_at(along_mm) == pytest.approx(along_px, abs=1e-2)


def test_corners_lie_where_scikit_image_maps_them():
    # Reference: skimage.transform.ProjectiveTransform, applied to the corners.
    path, flat = flat_path(BENT)
    there = ProjectiveTransform(np.linalg.inv(BENT.to_px))(np.array([(p.x, p.y) for p in path]))
    lengths = np.linalg.norm(np.diff(there, axis=0), axis=1)

    assert np.diff(flat.flat) == pytest.approx(lengths)


def test_inside_a_side_the_middle_lies_where_scikit_image_maps_it():
    path, flat = flat_path(BENT)
    half_px = path[0].distance_px(path[1]) / 2
    middle = [(path[0].x + path[1].x) / 2, (path[0].y + path[1].y) / 2]
    to_mm = ProjectiveTransform(np.linalg.inv(BENT.to_px))
    start, at = to_mm(np.array([[path[0].x, path[0].y], middle]))

    assert flat.flat_at(half_px) == pytest.approx(float(np.linalg.norm(at - start)))


def test_a_loop_goes_round_and_round():
    _, flat = flat_path(LOOP)
    round_px = flat.seen_px[-1]

    assert flat.flat_at(1.25 * round_px) == pytest.approx(
        flat.total + flat.flat_at(0.25 * round_px)
    )
    assert flat.seen_at(-0.2 * flat.total) == pytest.approx(
        flat.seen_at(0.8 * flat.total) - round_px
    )


def test_without_a_map_flat_lengths_are_those_of_the_photo():
    flat = flattened([PointPx(0, 0), PointPx(30, 40)], is_closed=False)

    assert (flat.flat_at(20), flat.seen_at(20), flat.flat_at(60)) == (20, 20, 60)


def test_a_map_that_puts_a_corner_behind_the_camera_is_left_out():
    behind = np.array([[1, 0, 0], [0, 1, 0], [-0.02, 0, 1.0]])

    flat = flattened([PointPx(0, 0), PointPx(100, 0)], is_closed=False, homography=behind)

    assert flat.total == 100
