import cv2
import numpy as np
import pytest

from leaktrack.imaging.measuring.targeting import square_target

SIDE_PX = 120


def a_page(side_px: int = SIDE_PX) -> np.ndarray:
    """Return a grey page with a target whose top left corner is at (200, 100)."""
    dictionary = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_4X4_50)
    page = np.full((500, 700), 200, np.uint8)
    page[80 : 140 + side_px, 180 : 240 + side_px] = 255
    page[100 : 100 + side_px, 200 : 200 + side_px] = cv2.aruco.generateImageMarker(
        dictionary, 7, side_px
    )
    return np.ascontiguousarray(np.repeat(page[:, :, None], 3, axis=2))


def test_the_scale_is_the_printed_side_over_its_pixels():
    found = square_target(a_page(), side_mm=30)

    assert found is not None
    assert found.mm_per_px == pytest.approx(30 / SIDE_PX, rel=0.01)
    assert found.corners_px[0].x == pytest.approx(199.5, abs=1)
    assert found.corners_px[0].y == pytest.approx(99.5, abs=1)


def test_places_and_scale_are_those_of_the_full_photo():
    page = a_page()
    small = cv2.resize(page, None, fx=0.5, fy=0.5, interpolation=cv2.INTER_AREA)

    full, shrunk = square_target(page), square_target(small, shrunk_by=2)

    assert full is not None
    assert shrunk is not None
    assert shrunk.mm_per_px == pytest.approx(full.mm_per_px, rel=0.02)
    assert shrunk.corners_px[2].x == pytest.approx(full.corners_px[2].x, abs=1.5)


def test_a_tilted_target_says_so():
    corners = np.float32([[0, 0], [699, 0], [699, 499], [0, 499]])
    seen = np.float32([[60, 20], [640, 120], [640, 380], [60, 480]])
    tilted = cv2.warpPerspective(
        a_page(), cv2.getPerspectiveTransform(corners, seen), (700, 500), borderValue=(90, 90, 90)
    )

    straight, found = square_target(a_page()), square_target(tilted)

    assert straight is not None
    assert found is not None
    assert found.tilt < 0.95 < straight.tilt


def test_a_page_without_target_has_no_scale():
    assert square_target(np.full((300, 300, 3), 120, np.uint8)) is None


def test_a_target_of_a_few_pixels_is_not_trusted():
    assert square_target(a_page(side_px=12)) is None


def test_a_target_in_the_dark_under_a_violet_lamp_is_found():
    # Paper is deep blue there, which hardly counts in grey, with the noise of a dark photo.
    light = (a_page() / 255.0) ** 2.2 * np.array([0.0003, 0.0003, 0.03])
    noisy = light + np.random.default_rng(1).normal(0, 0.001, light.shape)
    dark = np.round(255 * np.clip(noisy, 0, 1) ** (1 / 2.2)).astype(np.uint8)

    found = square_target(dark, side_mm=30)

    assert found is not None
    assert found.mm_per_px == pytest.approx(30 / SIDE_PX, rel=0.01)
