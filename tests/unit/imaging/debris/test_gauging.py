import numpy as np
import pytest
from skimage.draw import polygon2mask
from skimage.measure import label, regionprops

from leaktrack.imaging.debris.gauging import area_inside, calipers

ELLIPSE = np.array([[3.0 * np.cos(t), 1.2 * np.sin(t)] for t in np.linspace(0, 2 * np.pi, 400)])


@pytest.mark.parametrize("angle", [0.0, 0.4, 1.3])
def test_an_ellipse_has_the_calipers_of_its_axes(angle):
    turn = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])

    length, width = calipers(ELLIPSE @ turn.T)

    assert length == pytest.approx(6.0, abs=1e-3)
    assert width == pytest.approx(2.4, abs=1e-3)


def test_a_square_is_as_wide_as_its_side_and_as_long_as_its_diagonal():
    square = np.array([[0, 0], [2, 0], [2, 2], [0, 2]], float)

    assert calipers(square) == pytest.approx((2 * 2**0.5, 2))
    assert area_inside(square) == 4


def test_a_line_has_no_width():
    assert calipers(np.array([[0, 0], [3, 4], [0, 0]], float)) == pytest.approx((5, 0))


def test_length_and_area_are_those_of_scikit_image():
    """Feret diameter and area of the same shape drawn in pixels."""
    star = np.array(
        [
            [100 + r * np.cos(t), 100 + r * np.sin(t)]
            for t, r in zip(np.linspace(0, 2 * np.pi, 15)[:-1], [80, 40] * 7, strict=True)
        ]
    )
    (shape,) = regionprops(label(polygon2mask((200, 200), star)))

    assert calipers(star)[0] == pytest.approx(shape.feret_diameter_max, rel=0.02)
    assert area_inside(star) == pytest.approx(shape.area, rel=0.02)
