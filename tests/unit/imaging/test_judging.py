import cv2
import numpy as np
import pytest

from leaktrack.imaging.judging import photo_quality
from leaktrack.imaging.reading import read_upright
from leaktrack.places import demo_source

PHOTO = demo_source() / "photos" / "bank1_cover_i0.jpg"


@pytest.fixture(scope="module")
def sharp():
    return read_upright(PHOTO, longest_px=1000)


def test_a_sharp_photo_passes(sharp):
    quality = photo_quality(sharp)

    assert not quality.is_blurred
    assert not quality.is_too_dark
    assert not quality.is_too_bright


def test_a_blurred_photo_is_told(sharp):
    assert photo_quality(cv2.GaussianBlur(sharp, (0, 0), 1.5)).is_blurred


@pytest.mark.parametrize("kernel", [np.full((1, 9), 1 / 9), np.full((9, 1), 1 / 9), np.eye(9) / 9])
def test_a_shaken_photo_is_told_whichever_way_it_shook(sharp, kernel):
    assert photo_quality(cv2.filter2D(sharp, -1, kernel)).is_blurred


def test_sharpness_hardly_depends_on_the_light(sharp):
    darker = (sharp * 0.5).astype(np.uint8)

    assert photo_quality(darker).sharpness == pytest.approx(photo_quality(sharp).sharpness, rel=0.1)


def test_a_black_photo_is_too_dark_and_a_white_one_too_bright():
    black = np.zeros((400, 600, 3), np.uint8)

    assert photo_quality(black).is_too_dark
    assert photo_quality(255 - black).is_too_bright


def test_a_tiny_picture_is_not_called_blurred():
    assert not photo_quality(np.full((20, 20, 3), 128, np.uint8)).is_blurred
