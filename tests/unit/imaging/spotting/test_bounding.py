"""Maps become outlines that hold what they should, in px of the full photo."""

from itertools import pairwise

import numpy as np
import pytest

from leaktrack.imaging.spotting.bounding import Candidate, candidates, outline_of, outlines_of
from leaktrack.model.shapes import PointPx, area_px2, contains


def test_an_outline_runs_round_its_pixels_in_the_full_photo():
    square = Candidate(np.ones((20, 30), np.uint8), left=10, top=40)

    outline = outline_of(square, px=2.0)

    # Pixels 10 to 39 across cover 9.5 to 39.5; at twice the size that is 19.5 to 79.5.
    xs, ys = [point.x for point in outline], [point.y for point in outline]
    assert (min(xs), max(xs)) == pytest.approx((19.5, 79.5), abs=0.8)
    assert (min(ys), max(ys)) == pytest.approx((79.5, 119.5), abs=0.8)
    assert area_px2(outline) == pytest.approx(20 * 30 * 4, rel=0.05)


def test_a_single_pixel_has_an_outline_too():
    outline = outline_of(Candidate(np.ones((1, 1), np.uint8), left=5, top=5), px=1.0)

    assert contains(outline, PointPx(5, 5))


def test_a_frame_is_told_without_what_it_frames():
    frame = np.ones((300, 400), bool)
    frame[40:250, 60:340] = False
    frame[100:120, 100:200] = True  # an island within

    around, island = sorted(outlines_of(frame, px=1.0, least_px=50), key=area_px2)[::-1]

    assert area_px2(around) + area_px2(island) == pytest.approx(frame.sum(), rel=0.03)
    assert not contains(around, PointPx(200, 150))
    assert contains(around, PointPx(20, 150))
    assert contains(around, PointPx(380, 150))


def test_small_parts_are_left_out():
    spots = np.zeros((100, 100), bool)
    spots[10:14, 10:14] = spots[40:60, 40:60] = True

    assert len(outlines_of(spots, px=1.0, least_px=100)) == 1


def test_candidates_are_cut_at_several_limits_and_lie_within_each_other():
    ys, xs = np.mgrid[:120, :160]
    hill = (5 - np.hypot(xs - 80, ys - 60) / 8).astype(np.float32)

    found = sorted(candidates(hill, 40), key=lambda region: region.area_px)

    assert len(found) > 2
    assert all(wide.holds(core) for core, wide in pairwise(found))
    assert not found[0].holds(found[-1])


def test_regions_side_by_side_do_not_overlap():
    left = Candidate(np.ones((10, 10), np.uint8), left=0, top=0)
    right = Candidate(np.ones((10, 10), np.uint8), left=10, top=0)
    corner = Candidate(np.ones((10, 10), np.uint8), left=9, top=9)

    assert not left.overlaps(right)
    assert left.overlaps(corner)


def test_a_thin_line_that_a_region_ran_into_is_cut_off():
    mask = np.zeros((60, 200), np.uint8)
    mask[:3] = 1  # along a joint
    mask[:, 90:110] = 1

    trimmed = Candidate(mask, left=5, top=7).trimmed()

    assert (trimmed.left, trimmed.top) == (5, 7)
    assert trimmed.mask[:, 92:108].all()
    assert not trimmed.mask[:, :80].any()


def test_a_region_that_is_thin_all_over_stays():
    thin = Candidate(np.ones((50, 4), np.uint8), left=0, top=0)

    assert thin.trimmed().area_px == 200
