import numpy as np
import pytest

from leaktrack.imaging.spotting.growing import grown_region
from leaktrack.model.shapes import PointPx, area_px2, contains


def a_stain(center: tuple[int, int] = (300, 200), radius: int = 40) -> np.ndarray:
    """Return grey, slightly noisy metal with a brown disc on it."""
    noise = np.random.default_rng(7).normal(0, 2, (400, 600, 3))
    metal = np.full((400, 600, 3), (150.0, 150.0, 145.0)) + noise
    y, x = np.mgrid[0:400, 0:600]
    inside = (x - center[0]) ** 2 + (y - center[1]) ** 2 <= radius**2
    metal[inside] -= (40, 60, 80)
    return np.clip(metal, 0, 255).astype(np.uint8)


def overlap(outline: tuple[PointPx, ...], center: tuple[int, int], radius: int) -> float:
    """Return intersection over union with a disc."""
    y, x = np.mgrid[0:400:2, 0:600:2]
    disc = (x - center[0]) ** 2 + (y - center[1]) ** 2 <= radius**2
    grown = np.array(
        [[contains(outline, PointPx(float(i), float(j))) for i in range(0, 600, 2)]
         for j in range(0, 400, 2)]
    )  # fmt: skip
    return float((disc & grown).sum() / (disc | grown).sum())


def test_a_drawn_stain_is_outlined():
    outline = grown_region(a_stain(), PointPx(310, 205), reach_px=150)

    assert overlap(outline, (300, 200), 40) > 0.85


def test_a_stain_cut_by_the_photo_s_edge_is_outlined():
    outline = grown_region(a_stain(center=(5, 200)), PointPx(12, 200), reach_px=150)

    assert overlap(outline, (5, 200), 40) > 0.7


@pytest.mark.parametrize("seed", [PointPx(0, 0), PointPx(599, 399), PointPx(-40, 900)])
def test_clicks_at_and_beyond_the_edge_grow_something_inside_the_photo(seed):
    outline = grown_region(a_stain(), seed)

    assert len(outline) >= 1
    assert all(0 <= point.x <= 599 and 0 <= point.y <= 399 for point in outline)


def test_on_a_picture_of_one_colour_a_small_disc_is_offered():
    flat = np.full((200, 200, 3), 128, np.uint8)

    outline = grown_region(flat, PointPx(100, 100))

    assert 10 < area_px2(outline) < 200


def test_a_hole_in_a_stain_is_filled():
    stain = a_stain()
    stain[195:206, 295:306] = (150, 150, 145)

    outline = grown_region(stain, PointPx(320, 200), reach_px=150)

    assert contains(outline, PointPx(300, 200))
