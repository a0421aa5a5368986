import cv2
import numpy as np
import pytest

from leaktrack.imaging.measuring.cornering import fitted_corners
from leaktrack.imaging.measuring.targeting import square_target

CORNERS = np.array([[150.3, 120.7], [330.6, 135.2], [322.4, 318.9], [141.8, 300.1]])
"""Where the target's true corners are drawn."""

ROUGH = np.array([[1.5, 1], [-1, 1.5], [-1.5, -1], [1, -1.5]])
"""How far off a marker search may have found them."""


def a_photo(blur_px: float, brightness: float, marker: int = 7, noise: float = 2.0) -> np.ndarray:
    """Return a grey photo of a target, as a lens and a camera would make it.

    OpenCV's own generator draws the marker. The light is blurred; bright paper saturates.
    """
    dictionary = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_4X4_50)
    cell, side = 60, 360
    printed = np.full((8 * cell, 8 * cell), 255, np.uint8)
    printed[cell:-cell, cell:-cell] = cv2.aruco.generateImageMarker(dictionary, marker, side)
    finer = 3
    corners = (CORNERS + 0.5) * finer - 0.5
    square = np.array([[cell, cell], [cell + side, cell], [cell + side] * 2, [cell, cell + side]])
    to_photo = cv2.getPerspectiveTransform(
        (square - 0.5).astype(np.float32), corners.astype(np.float32)
    )
    big = cv2.warpPerspective(
        printed, to_photo, (480 * finer, 440 * finer), flags=cv2.INTER_AREA, borderValue=90
    )
    light = (big / 255.0 * 0.85 + 0.03) * brightness
    light = cv2.GaussianBlur(light, (0, 0), blur_px * finer)
    light = cv2.resize(light, None, fx=1 / finer, fy=1 / finer, interpolation=cv2.INTER_AREA)
    grey = 255 * np.clip(light, 0, 1) ** (1 / 2.2)
    grey += np.random.default_rng(4).normal(0, noise, grey.shape)
    return np.clip(np.round(grey), 0, 255).astype(np.uint8)


def mean_error_px(found: np.ndarray) -> float:
    return float(np.linalg.norm(found - CORNERS, axis=1).mean())


@pytest.mark.parametrize(
    ("blur_px", "brightness"), [(0.8, 0.9), (1.5, 1.0), (1.5, 1.6), (2.2, 1.3)]
)
def test_blur_and_bright_paper_do_not_move_the_corners(blur_px, brightness):
    photo = a_photo(blur_px, brightness)

    fitted = fitted_corners(photo, CORNERS + ROUGH, 7)

    assert mean_error_px(fitted.corners_px) < 0.2


def test_the_square_s_own_corners_lie_too_far_inside():
    # So there is something to mend: the marker search alone is more than half a pixel off.
    photo = a_photo(2.0, 1.5)
    settings = cv2.aruco.DetectorParameters()
    settings.cornerRefinementMethod = cv2.aruco.CORNER_REFINE_SUBPIX
    dictionary = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_4X4_50)
    found, _, _ = cv2.aruco.ArucoDetector(dictionary, settings).detectMarkers(photo)
    rough = np.asarray(found[0], float).reshape(4, 2)

    fitted = fitted_corners(photo, rough, 7)

    assert mean_error_px(rough) > 0.5
    assert mean_error_px(fitted.corners_px) < 0.2
    assert fitted.white_rim_px > 0.3


def test_the_printed_top_left_stays_first_on_a_turned_photo():
    turned = np.ascontiguousarray(np.rot90(a_photo(1.0, 1.0)))
    width = a_photo(1.0, 1.0).shape[1]

    found = square_target(np.repeat(turned[:, :, None], 3, axis=2))

    assert found is not None
    first = found.corners_px[0]
    # np.rot90 takes (x, y) to (y, width - 1 - x).
    assert (first.x, first.y) == pytest.approx((CORNERS[0, 1], width - 1 - CORNERS[0, 0]), abs=0.3)


def test_sigma_is_about_as_large_as_the_error():
    errors = []
    for seed in range(8):
        photo = a_photo(1.5, 1.2, marker=seed, noise=6)
        fitted = fitted_corners(photo, CORNERS, seed)
        errors.append((fitted.corners_px - CORNERS) / fitted.sigma_px)

    assert np.sqrt(np.mean(np.square(errors))) < 1.3


def test_a_target_with_small_cells_comes_back_as_it_was():
    corners = CORNERS[0] + (CORNERS - CORNERS[0]) * 0.1

    fitted = fitted_corners(a_photo(1.0, 1.0), corners, 7)

    assert (fitted.corners_px == corners).all()
    assert fitted.sigma_px >= 1


def test_a_wrong_marker_s_grid_does_not_run_away():
    fitted = fitted_corners(a_photo(1.0, 1.0, marker=7), CORNERS, 23)

    assert mean_error_px(fitted.corners_px) < 3
