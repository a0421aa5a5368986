"""Scale, limits and complaints of measuring a bead in a photo file."""

import numpy as np
import pytest
from PIL import Image

from leaktrack.model.errors import BadInput, Cancelled
from leaktrack.model.shapes import PointPx
from leaktrack.workflows.audit_bead_file import (
    PathPoint,
    Tolerance,
    audit_bead_in_file,
    limits_of,
)
from tests.paint_beads import Painting, painted


@pytest.fixture(scope="module")
def photo(tmp_path_factory):
    seen = painted(Painting(reach_mm=(64.0, 17.0), px_per_mm=8.0, tilt=(8.0, 5.0)))
    path = tmp_path_factory.mktemp("bead") / "bead.png"
    Image.fromarray(seen.rgb).save(path)
    last = np.array(seen.rgb.shape[1::-1])
    is_seen = ((seen.path_px > 4) & (seen.path_px < last - 5)).all(axis=1)
    return path, seen.path_px[is_seen][::12], seen.along_mm[is_seen][::12]


def points_of(path_px, along=None):
    told = [None] * len(path_px) if along is None else [float(each) for each in along]
    return [
        PathPoint(PointPx(float(x), float(y)), place)
        for (x, y), place in zip(path_px, told, strict=True)
    ]


def test_told_places_give_mm_and_are_kept(photo):
    path, path_px, along = photo

    found = audit_bead_in_file(path, points_of(path_px, along + 100), Tolerance(3.0))

    assert (found.audit.unit, found.scale_source) == ("mm", "path")
    assert found.width == pytest.approx(3.0, rel=0.1)
    assert found.audit.points[0].along == pytest.approx(100 + along[0], abs=0.2)
    assert found.audit.points[-1].along == pytest.approx(100 + along[-1], abs=1)


def test_a_path_told_backwards_is_turned_round(photo):
    path, path_px, along = photo

    found = audit_bead_in_file(path, points_of(path_px[::-1], along[::-1]))

    places = [point.along for point in found.audit.points]
    assert places == sorted(places)


def test_without_any_scale_figures_are_in_px_and_it_says_so(photo):
    path, path_px, _ = photo

    found = audit_bead_in_file(path, points_of(path_px))

    assert (found.audit.unit, found.scale_source, found.audit.mm_per_px) == ("px", "none", None)
    assert found.width == pytest.approx(24, rel=0.12)
    assert "no scale" in found.warnings[-1]


def test_a_known_scale_of_the_photo_serves_where_nothing_else_does(photo):
    path, path_px, _ = photo

    found = audit_bead_in_file(path, points_of(path_px), mm_per_px=1 / 8)

    assert (found.audit.unit, found.scale_source) == ("mm", "photo")
    assert found.width == pytest.approx(3.0, rel=0.12)


def test_the_usual_tolerance_is_a_quarter_and_half_a_mm_at_least():
    """Published: a car maker's 2.0 +- 0.5 mm and 1.75 +- 0.5 mm (repair manual, 2018)."""
    two, three = limits_of(Tolerance(2.0), 2.0), limits_of(Tolerance(3.0), 3.0)

    assert (two.narrowest, two.widest) == (1.5, 2.5)
    assert (limits_of(Tolerance(1.75), 1.75).narrowest) == 1.25
    assert (three.narrowest, three.widest) == (2.25, 3.75)


@pytest.mark.parametrize(
    ("points", "match"),
    [
        ([PathPoint(PointPx(5, 5))], "at least two"),
        ([PathPoint(PointPx(5, 5)), PathPoint(PointPx(5, 5))], "at least two"),
        ([PathPoint(PointPx(5, 5), 1.0), PathPoint(PointPx(9, 5))], "Only some points"),
        (
            [PathPoint(PointPx(5 * i, 5), s) for i, s in enumerate((1.0, 3.0, 2.0))],
            "neither rise nor fall",
        ),
    ],
)
def test_a_path_that_cannot_be_is_refused(photo, points, match):
    with pytest.raises(BadInput, match=match):
        audit_bead_in_file(photo[0], points)


def test_a_width_that_cannot_be_is_refused(photo):
    path, path_px, along = photo

    with pytest.raises(BadInput, match="cannot be -1 mm wide"):
        audit_bead_in_file(path, points_of(path_px, along), Tolerance(-1.0))


def test_it_can_be_stopped(photo):
    path, path_px, along = photo

    def stop(done, total, what):
        raise Cancelled("stopped")

    with pytest.raises(Cancelled):
        audit_bead_in_file(path, points_of(path_px, along), progress=stop)
