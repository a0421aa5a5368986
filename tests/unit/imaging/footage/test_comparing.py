"""Pixels tell whether a photo and a picture of a video show one place."""

import cv2
import numpy as np
import pytest

from leaktrack.imaging.footage.comparing import Likeness, likeness
from leaktrack.model.shapes import BoxPx, PointPx
from tests.pictures import casting, relit

SIZE = (640, 480)
ALL = BoxPx(-0.5, -0.5, *SIZE)
AS_IT_IS = np.eye(3)


def with_depth(rgb, most_px):
    """Move a picture as depth does: smoothly, here more and there less."""
    y, x = np.mgrid[: rgb.shape[0], : rgb.shape[1]].astype(np.float32)
    wave = most_px * np.sin(x / 120.0) * np.cos(y / 150.0)
    return cv2.remap(rgb, x + wave, y, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REFLECT)


@pytest.fixture(scope="module")
def photo():
    return casting(*SIZE, 3)


def test_one_place_in_other_light_is_alike_to_the_finest_detail(photo):
    found = likeness(photo, SIZE, ALL, (), relit(photo, gain=0.7), AS_IT_IS)

    assert min(found.fine, found.coarse, found.followed) > 0.9


def test_what_depth_has_moved_is_followed_and_another_casting_is_not(photo):
    moved = likeness(photo, SIZE, ALL, (), with_depth(photo, 12.0), AS_IT_IS)
    other = likeness(photo, SIZE, ALL, (), casting(*SIZE, 9), AS_IT_IS)

    assert moved.followed > moved.fine + 0.2
    assert moved.followed > 0.6
    assert other.followed < 0.4


def test_what_lies_far_behind_agrees_where_its_own_matches_put_it(photo):
    behind, off_px = 240, 60
    filmed = photo.copy()
    filmed[:behind] = np.roll(photo, off_px, axis=1)[:behind]
    here = np.stack(np.meshgrid(np.arange(20, 570, 25), np.arange(10, 480, 20)), -1)
    here = here.reshape(-1, 2).astype(float)
    there = here + np.where(here[:, 1:] < behind, [off_px, 0.0], 0.0)

    on_plane = likeness(photo, SIZE, ALL, (), filmed, AS_IT_IS)
    bent = likeness(photo, SIZE, ALL, (), filmed, AS_IT_IS, (here, there))
    other = likeness(casting(*SIZE, 9), SIZE, ALL, (), filmed, AS_IT_IS, (here, there))

    assert bent.fine > on_plane.fine + 0.2
    assert min(bent.fine, bent.coarse, bent.followed) > 0.9
    assert other.followed < 0.4


def test_a_printed_target_says_nothing(photo):
    target = tuple(
        PointPx(x, y)
        for x, y in ((-900.0, -900.0), (1600.0, -900.0), (1600.0, 1600.0), (-900.0, 1600.0))
    )

    assert likeness(photo, SIZE, ALL, [target], photo, AS_IT_IS) == Likeness()


def test_where_they_do_not_lie_over_each_other_nothing_is_told(photo):
    beside = np.array([[1.0, 0, 5000.0], [0, 1.0, 0], [0, 0, 1.0]])

    assert likeness(photo, SIZE, ALL, (), photo, beside) == Likeness()
