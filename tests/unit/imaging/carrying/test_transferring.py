from dataclasses import dataclass

import numpy as np
import pytest

from leaktrack.imaging.carrying.transferring import carried_scale
from leaktrack.imaging.matching.aligning import AlignmentState, Carried
from leaktrack.imaging.measuring.calibrating import scale_at_target
from leaktrack.imaging.measuring.projecting import Plane, camera_of, onto, through
from leaktrack.imaging.measuring.scaling import ScaleSource, ScaleState, area_mm2
from leaktrack.imaging.measuring.targeting import TargetScale
from leaktrack.model.place import PlaceState
from leaktrack.model.shapes import PointPx

SIZE_PX = (2000, 1500)
CAMERA = camera_of(SIZE_PX, 36.0)
HERE = Plane(np.array([0, 0, 350.0]), np.array([0, 0, 1.0])).leaning(np.array([1.0, 0, 0]), 20)
THERE = Plane(np.array([40.0, -20, 420.0]), np.array([0, 0, 1.0])).leaning(
    np.array([0, 1.0, 0]), 25
)
SQUARE = np.array([[-15.0, -15], [15, -15], [15, 15], [-15, 15]])


@dataclass
class APlacing:
    """Carries by the true planes, with noise; every place of the wrong ones is thrown far away."""

    sigma_px: float = 0.5
    share_wrong: float = 0.0
    places_state: PlaceState = PlaceState.CARRIED
    state: AlignmentState = AlignmentState.ALIGNED
    size: tuple[int, int] = SIZE_PX

    def places(self, points):
        return through(np.linalg.inv(onto(THERE, CAMERA)) @ onto(HERE, CAMERA), points)

    def carry(self, points):
        rng = np.random.default_rng(5)
        there = self.places(points) + rng.normal(0, self.sigma_px, points.shape)
        is_wrong = rng.random(len(points)) < self.share_wrong
        there[is_wrong] += 40
        sigma = np.full(len(points), max(self.sigma_px, 0.5))
        return Carried(there, sigma, (self.places_state,) * len(points))


def a_scale(*, is_same_plane=False):
    corners = through(np.linalg.inv(onto(HERE, CAMERA)), SQUARE)
    square = tuple(PointPx(float(x), float(y)) for x, y in corners)
    return scale_at_target(
        TargetScale(square, 30.0, 0.2, 1.0, 7, 0.12), CAMERA, is_same_plane=is_same_plane
    )


def an_outline(x: float, y: float) -> list[PointPx]:
    """Return where a square of 20 mm of the surface is seen in the photo without target."""
    places = through(np.linalg.inv(onto(THERE, CAMERA)), SQUARE * 2 / 3 + (x, y))
    return [PointPx(float(u), float(v)) for u, v in places]


@pytest.mark.parametrize(("x", "y"), [(0, 0), (50, 20), (-40, 50)])
def test_an_area_in_a_photo_without_target_is_right(x, y):
    scale = carried_scale(a_scale(), APlacing(), CAMERA)

    found = area_mm2(scale, an_outline(x, y))

    assert scale.source is ScaleSource.CARRIED
    assert found is not None
    assert found.mm2 == pytest.approx(400, rel=0.02)
    assert abs(found.mm2 - 400) < 2 * found.sigma_mm2


def test_places_that_went_astray_do_not_spoil_it():
    found = area_mm2(
        carried_scale(a_scale(), APlacing(share_wrong=0.15), CAMERA), an_outline(20, 0)
    )

    assert found is not None
    assert found.mm2 == pytest.approx(400, rel=0.02)


def test_a_worse_alignment_is_doubted_more():
    known = a_scale(is_same_plane=True)
    well = area_mm2(carried_scale(known, APlacing(0.3), CAMERA), an_outline(60, 0))
    ill = area_mm2(carried_scale(known, APlacing(12), CAMERA), an_outline(60, 0))

    assert well is not None
    assert ill is not None
    assert ill.sigma_mm2 > 1.5 * well.sigma_mm2
    assert abs(ill.mm2 - 400) < 2 * ill.sigma_mm2


def test_where_nothing_was_carried_there_is_no_scale():
    scale = carried_scale(a_scale(), APlacing(places_state=PlaceState.HIDDEN), CAMERA)

    assert scale.state is ScaleState.NOT_CARRIED
    assert scale.mm_per_px is None


def test_a_scale_that_cannot_be_used_is_not_carried():
    steep = HERE.leaning(np.array([1.0, 0, 0]), 35)
    corners = through(np.linalg.inv(onto(steep, CAMERA)), SQUARE)
    square = tuple(PointPx(float(x), float(y)) for x, y in corners)
    scale = scale_at_target(TargetScale(square, 30.0, 0.2, 1.0, 7, 0.12), CAMERA)

    assert carried_scale(scale, APlacing(), CAMERA).state is ScaleState.TOO_TILTED
