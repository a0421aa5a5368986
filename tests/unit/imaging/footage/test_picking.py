"""Of pictures that show the same the sharpest is picked; blur is left out where there is other."""

import cv2
import numpy as np

from leaktrack.imaging.footage.picking import LONGEST_RUN_MS, Picker
from leaktrack.imaging.footage.walking import Look
from tests.pictures import casting


def grey(seed=1):
    return cv2.cvtColor(casting(320, 240, seed), cv2.COLOR_RGB2GRAY)


def other():
    return np.ascontiguousarray(grey(5)[::-1, ::-1])


def blurred(picture, sigma=6):
    return cv2.GaussianBlur(picture, (0, 0), sigma)


def picked(*pictures, step_ms=500):
    picker = Picker()
    found = []
    for number, picture in enumerate(pictures):
        found += picker.take(Look(picture, number * step_ms, (320, 240)))
    return [one.look.at_ms for one in [*found, *picker.rest()]]


def test_a_camera_that_rests_gives_one_picture_for_each_longest_run():
    assert len(picked(*[grey()] * 24)) == 24 * 500 // LONGEST_RUN_MS


def test_something_new_is_picked():
    found = picked(*[grey()] * 3, *[other()] * 3)

    assert [at // 1500 for at in found] == [0, 1]


def test_the_sharpest_of_a_run_is_picked():
    found = picked(blurred(grey(), 1), blurred(grey(), 2), grey(), blurred(grey(), 1.5))

    assert found == [1000]


def test_a_blurred_picture_is_left_out_where_another_is_near():
    found = picked(*[grey()] * 3, *[blurred(other(), 9)] * 3, *[grey()] * 3)

    assert [at // 1500 for at in found] == [0, 2]


def test_nothing_gives_nothing():
    assert picked() == []
