import numpy as np

from leaktrack.imaging.spotting.masking import filled
from leaktrack.model.shapes import PointPx


def rectangle(left, top, right, bottom):
    return (PointPx(left, top), PointPx(right, top), PointPx(right, bottom), PointPx(left, bottom))


def test_an_outline_is_filled_with_its_edge():
    mask = filled([rectangle(2, 1, 5, 3)], (8, 6))

    truth = np.zeros((6, 8), np.uint8)
    truth[1:4, 2:6] = 255
    assert np.array_equal(mask, truth)


def test_what_two_outlines_share_is_filled_too():
    both = filled([rectangle(1, 1, 5, 5), rectangle(3, 3, 7, 7)], (10, 10))

    assert both[4, 4] == both[1, 1] == both[7, 7] == 255


def test_what_reaches_beyond_the_picture_is_cut():
    assert (filled([rectangle(-5, -5, 20, 20)], (8, 6)) == 255).all()


def test_nothing_is_black():
    assert not filled([], (8, 6)).any()
