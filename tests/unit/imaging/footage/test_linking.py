"""The motion from picture to picture is told where there is one, and carries a place to a cut."""

from dataclasses import replace

import cv2
import numpy as np
import pytest

from leaktrack.imaging.footage.linking import LEAST_LINKED, link
from leaktrack.imaging.footage.packing import Footprint
from leaktrack.imaging.footage.taking import carried, places_for, takes
from leaktrack.imaging.matching.learned_matching import Features
from leaktrack.imaging.matching.moving import through

SIZE = (480, 270)
TURN = np.array([[1.1, -0.08, 21], [0.06, 1.05, -9], [0, 0, 1]])


def points(count, seed):
    rng = np.random.default_rng(seed)
    descriptors = rng.standard_normal((count, 64)).astype(np.float32)
    descriptors /= np.linalg.norm(descriptors, axis=1, keepdims=True)
    return Features((rng.random((count, 2)) * SIZE).astype(np.float32), descriptors, SIZE)


def filmed_after(before, seed):
    """The same points after the camera moved, a third of them new, the descriptors disturbed."""
    rng = np.random.default_rng(seed)
    xy = through(TURN, before.xy.astype(float)) + 0.3 * rng.standard_normal(before.xy.shape)
    descriptors = before.descriptors + 0.05 * rng.standard_normal(before.descriptors.shape)
    fresh = points(len(xy) // 3, seed + 1)
    xy[: len(fresh.xy)], descriptors[: len(fresh.xy)] = fresh.xy, fresh.descriptors
    descriptors /= np.linalg.norm(descriptors, axis=1, keepdims=True)
    return Features(xy.astype(np.float32), descriptors.astype(np.float32), SIZE)


def row(*linked, move=((1, 0, 0), (0, 1, 0))):
    count = len(linked)
    times = np.arange(count, dtype=np.int32)
    empty = Footprint.empty()
    return replace(
        empty,
        at_ms=times,
        linked=np.array(linked, np.int16),
        moves=np.tile(np.float32(move), (count, 1, 1)),
        points=np.zeros(count, np.int16),
    )


def test_the_motion_of_the_camera_is_found():
    before = points(300, 1)
    agreeing, move = link(before, filmed_after(before, 2))

    assert agreeing > 150
    # Outside check: where the true motion puts the corners of the picture.
    corners = np.array([[0, 0], [1, 0], [0, 1], [1, 1.0]])
    px = corners * SIZE - 0.5
    expected = (through(TURN, px) + 0.5) / SIZE
    assert corners @ move[:, :2].T + move[:, 2] == pytest.approx(expected, abs=0.005)


def test_two_pictures_without_anything_in_common_are_a_cut():
    agreeing, move = link(points(300, 1), points(300, 5))

    assert agreeing < LEAST_LINKED
    assert not move.any()


def test_a_picture_without_points_is_a_cut():
    assert link(points(300, 1), points(0, 1))[0] == 0


def test_each_cut_begins_a_new_take():
    assert takes(row(0, 50, 50, 3, 70)).tolist() == [1, 1, 1, 2, 2]


def test_a_long_take_has_more_places_in_a_shortlist():
    index = row(0, 50, 50, 3, 70, 0)
    at_ms = np.array([0, 8_000, 16_000, 20_000, 21_000, 30_000], np.int32)
    index = replace(index, at_ms=at_ms, from_ms=at_ms, until_ms=at_ms + 1000)

    assert places_for(index).tolist() == [4, 4, 4, 2, 2, 2]


def test_a_place_is_carried_both_ways_up_to_a_cut():
    # Each picture shows everything a tenth of its width further left.
    index = row(0, 50, 50, 50, 3, 50, move=[[1, 0, -0.1], [0, 1, 0]])
    known = cv2.getRotationMatrix2D((100, 80), 20, 0.5)
    plane = np.vstack([known, [0, 0, 1]])
    there = through(plane, np.array([[100.0, 80.0]]))[0]

    after = dict(carried(index, 1, 1, plane, SIZE))
    before = dict(carried(index, 1, -1, plane, SIZE))

    assert list(after) == [2, 3]
    assert list(before) == [0]
    shown = {one: through(at, np.array([[100.0, 80.0]]))[0] for one, at in (after | before).items()}
    assert shown[2] == pytest.approx(there - (48, 0), abs=1e-3)
    assert shown[3] == pytest.approx(there - (96, 0), abs=1e-3)
    assert shown[0] == pytest.approx(there - (-48, 0), abs=1e-3)
