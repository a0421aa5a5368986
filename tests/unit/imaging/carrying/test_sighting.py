"""Distinct patches of a picture are found in another; checked on pictures moved by a known way."""

import cv2
import numpy as np
import pytest

from leaktrack.imaging.carrying.flattening import Picture
from leaktrack.imaging.carrying.sighting import Look, Sightings, distinctness, sightings

LOOK = Look(window_px=15, reach_px=12, moved_px=3.0, block_px=10)
MOVED = np.array([5.3, -3.6])


def grain(rows=160, cols=200, seed=2):
    random = np.random.default_rng(seed).normal(size=(rows, cols)).astype(np.float32)
    soft = cv2.GaussianBlur(random, (0, 0), 1.5)
    return soft / soft.std()


def picture(flat, px=2.0):
    return Picture(np.array([px, px]), flat)


def in_place(rows=160, cols=200):
    return np.moveaxis(np.mgrid[0:rows, 0:cols][::-1], 0, 2).astype(np.float32)


def moved(flat):
    way = np.array([[1, 0, MOVED[0]], [0, 1, MOVED[1]]])
    return cv2.warpAffine(flat, way, flat.shape[::-1], borderMode=cv2.BORDER_REFLECT)


def test_patches_are_seen_where_the_picture_moved_to():
    flat = grain()

    found = sightings(picture(flat), picture(moved(flat)), in_place(), LOOK)

    best = found.likeness > 0.9
    off = found.there[best] - found.here[best] - 2.0 * MOVED
    assert best.sum() > 150
    assert np.quantile(np.linalg.norm(off, axis=1), 0.95) < 0.3


def test_what_is_expected_elsewhere_is_looked_for_there():
    flat = grain()
    far = np.array([40, 25], np.float32)
    rolled = np.roll(flat, (25, 40), axis=(0, 1))

    found = sightings(picture(flat), picture(rolled), in_place() + far, LOOK)

    best = found.likeness > 0.9
    off = found.there[best] - found.here[best] - 2.0 * far
    assert best.sum() > 80
    assert np.quantile(np.linalg.norm(off, axis=1), 0.95) < 0.3


def test_a_patch_that_occurs_twice_has_both_places():
    flat = np.zeros((160, 200), np.float32)
    flat[70:94, 70:94] = grain(24, 24)
    twice = flat.copy()
    twice[70:94, 96:120] = grain(24, 24)

    found = sightings(picture(flat), picture(twice), in_place(), Look(15, 30, 3.0, 10))

    by_x = (found.there - found.here)[found.likeness > 0.9, 0]
    assert np.any(np.abs(by_x) < 1)
    assert np.any(np.abs(by_x - 2 * 26) < 1)


def test_a_straight_rib_is_not_distinct_but_its_end_is():
    flat = np.zeros((80, 120), np.float32)
    flat[38:42, :70] = 3.0

    distinct = distinctness(flat, 15, 3.0)

    assert distinct[40, 30] < 0.05
    assert distinct[40, 68] > 0.15


@pytest.mark.parametrize(
    "flat", [np.zeros((160, 200), np.float32), np.tile(grain(1, 200), (160, 1))]
)
def test_plain_and_striped_pictures_have_no_distinct_patches(flat):
    found = sightings(picture(flat), picture(flat), in_place(), LOOK)

    assert len(found.patch) == 0


def test_pictures_smaller_than_a_patch_have_none():
    small = grain(16, 16)

    found = sightings(picture(small), picture(small), in_place(16, 16), Look(21, 40, 5.0, 14))

    assert len(found.patch) == 0


def test_patches_of_several_looks_stay_apart():
    flat = grain()
    one = sightings(picture(flat), picture(moved(flat)), in_place(), LOOK)

    both = Sightings.together([one, one.turned_round()])

    assert len(np.unique(both.patch)) == 2 * len(np.unique(one.patch))
    assert np.array_equal(both.here[len(one.here) :], one.there)


def test_what_is_known_to_be_distinct_need_not_be_found_again():
    flat = grain()
    distinct = distinctness(flat, LOOK.window_px, LOOK.moved_px)
    before = distinct.copy()

    one, other = (
        sightings(picture(flat), picture(moved(flat)), in_place(), LOOK, given)
        for given in (None, distinct)
    )

    assert np.array_equal(one.there, other.there)
    assert np.array_equal(distinct, before)


def test_a_look_takes_the_most_distinct_patches_only():
    flat = grain()

    found = sightings(picture(flat), picture(flat), in_place(), Look(15, 12, 3.0, 10, most=20))

    assert len(np.unique(found.patch)) <= 20
