import math

import cv2
import numpy as np
import pytest

from leaktrack.imaging.measuring.calibrating import scale_at_target, scale_of_bolts, scale_of_length
from leaktrack.imaging.measuring.projecting import Camera, Plane, camera_of, onto, through
from leaktrack.imaging.measuring.scaling import ScaleSource, ScaleState, area_mm2, length_mm
from leaktrack.imaging.measuring.targeting import TargetScale
from leaktrack.model.shapes import PointPx

SIZE_PX = (2000, 1500)
FOCAL_35MM = 36.0
CAMERA = camera_of(SIZE_PX, FOCAL_35MM)
SIDE_MM = 30.0


def a_plane(tilt_deg: float, distance_mm: float = 350.0, turned_deg: float = 30.0) -> Plane:
    """Return a plane ahead of the camera that leans away from it."""
    axis = np.array([math.cos(math.radians(turned_deg)), math.sin(math.radians(turned_deg)), 0])
    return Plane(np.array([0, 0, distance_mm]), np.array([0, 0, 1.0])).leaning(axis, tilt_deg)


def seen(plane: Plane, places_mm: object, camera: Camera = CAMERA) -> list[PointPx]:
    """Return where places of a plane are seen, in px."""
    to_px = np.linalg.inv(onto(plane, camera))
    return [
        PointPx(float(x), float(y)) for x, y in through(to_px, np.array(places_mm, dtype=float))
    ]


def a_square(side_mm: float, x: float = 0.0, y: float = 0.0) -> list[tuple[float, float]]:
    half = side_mm / 2
    return [
        (x - half, y - half),
        (x + half, y - half),
        (x + half, y + half),
        (x - half, y + half),
    ]


def a_target(plane: Plane, sigma_px: float = 0.12, camera: Camera = CAMERA) -> TargetScale:
    corners = tuple(seen(plane, a_square(SIDE_MM), camera))
    return TargetScale(corners, SIDE_MM, 0.2, 1.0, 7, sigma_px)


@pytest.mark.parametrize("tilt_deg", [0, 15, 30, 44])
def test_the_area_of_a_known_square_is_right_on_a_leaning_surface(tilt_deg):
    plane = a_plane(tilt_deg)
    scale = scale_at_target(a_target(plane), CAMERA)

    found = area_mm2(scale, seen(plane, a_square(20, x=60, y=40)))

    assert found is not None
    assert found.mm2 == pytest.approx(400, rel=0.01)


def test_a_length_on_a_leaning_surface_is_right():
    plane = a_plane(30)
    scale = scale_at_target(a_target(plane), CAMERA)

    found = length_mm(scale, seen(plane, [(-40, 10), (0, 10), (0, 40)]))

    assert found is not None
    assert found.mm == pytest.approx(70, rel=0.01)


def test_tilt_and_distance_are_told():
    scale = scale_at_target(a_target(a_plane(30, distance_mm=400)), CAMERA)

    assert scale.tilt_deg == pytest.approx(30, abs=1)
    assert scale.distance_mm == pytest.approx(400, rel=0.01)


def test_what_lies_nearer_than_the_target_reads_too_large_by_twice_the_share():
    # Pin-hole optics: 7 mm of 350 mm are 2 %, so the area reads 4 % too large.
    scale = scale_at_target(a_target(a_plane(0)), CAMERA)

    found = area_mm2(scale, seen(a_plane(0, distance_mm=343), a_square(20)))

    assert found is not None
    assert found.mm2 == pytest.approx(400 * (350 / 343) ** 2, rel=0.001)


def test_a_surface_three_mm_off_is_within_one_sigma():
    scale = scale_at_target(a_target(a_plane(0)), CAMERA)

    found = area_mm2(scale, seen(a_plane(0, distance_mm=347), a_square(20)))

    assert found is not None
    assert abs(found.mm2 - 400) < found.sigma_mm2


def test_the_same_plane_is_doubted_less():
    target = a_target(a_plane(20))
    outline = seen(a_plane(20), a_square(20, x=30))

    anywhere = area_mm2(scale_at_target(target, CAMERA), outline)
    same = area_mm2(scale_at_target(target, CAMERA, is_same_plane=True), outline)

    assert anywhere is not None
    assert same is not None
    assert same.mm2 == anywhere.mm2
    assert same.sigma_mm2 < 0.03 * same.mm2 < anywhere.sigma_mm2


def test_sigma_holds_what_corners_a_little_off_do():
    plane, outline = a_plane(25), a_square(20, x=20)
    rng = np.random.default_rng(1)
    errors, sigmas = [], []
    for _ in range(60):
        corners = [
            PointPx(corner.x + dx, corner.y + dy)
            for corner, (dx, dy) in zip(
                seen(plane, a_square(SIDE_MM)), rng.normal(0, 1, (4, 2)), strict=True
            )
        ]
        target = TargetScale(tuple(corners), SIDE_MM, 0.2, 1.0, 7, 1.0)
        scale = scale_at_target(target, CAMERA, is_same_plane=True)
        found = area_mm2(scale, seen(plane, outline), edge_px=0)
        assert found is not None
        errors.append(found.mm2 - 400)
        sigmas.append(found.sigma_mm2)

    assert 0.6 < np.std(errors) / np.median(sigmas) < 1.2


def test_a_jagged_edge_adds_perimeter_times_edge_doubt():
    scale = scale_at_target(a_target(a_plane(0)), CAMERA, is_same_plane=True)
    outline = seen(a_plane(0), a_square(20))
    mm_per_px = 350 / CAMERA.focal_px

    sharp, doubted = area_mm2(scale, outline, edge_px=0), area_mm2(scale, outline, edge_px=2)

    assert sharp is not None
    assert doubted is not None
    added = math.sqrt(doubted.sigma_mm2**2 - sharp.sigma_mm2**2)
    assert added == pytest.approx(80 * 2 * mm_per_px, rel=0.01)


def test_a_steep_target_is_refused_in_its_state():
    scale = scale_at_target(a_target(a_plane(52)), CAMERA)

    assert scale.state is ScaleState.TOO_TILTED
    assert scale.mm_per_px is None
    assert area_mm2(scale, seen(a_plane(52), a_square(20))) is None


def test_a_small_target_is_refused_in_its_state():
    scale = scale_at_target(a_target(a_plane(0, distance_mm=2500)), CAMERA)

    assert scale.state is ScaleState.TOO_SMALL


def test_an_assumed_focal_length_is_doubted_more():
    plane, guessed = a_plane(30), camera_of(SIZE_PX)
    outline = seen(plane, a_square(20, x=150))

    told = area_mm2(scale_at_target(a_target(plane), CAMERA, is_same_plane=True), outline)
    assumed = area_mm2(scale_at_target(a_target(plane), guessed, is_same_plane=True), outline)

    assert told is not None
    assert assumed is not None
    assert told.sigma_mm2 < assumed.sigma_mm2
    assert abs(assumed.mm2 - 400) < 3 * assumed.sigma_mm2


def test_an_outline_above_the_surface_s_horizon_has_no_area():
    scale = scale_at_target(a_target(a_plane(44, turned_deg=0)), CAMERA)
    far_away = [PointPx(0, -40_000), PointPx(100, -40_000), PointPx(100, -39_000)]
    beyond = [PointPx(0, 40_000), PointPx(100, 40_000), PointPx(100, 39_000)]

    assert None in (area_mm2(scale, far_away), area_mm2(scale, beyond))


def test_two_corners_are_no_outline():
    scale = scale_at_target(a_target(a_plane(0)), CAMERA)

    with pytest.raises(ValueError, match="three corners"):
        area_mm2(scale, seen(a_plane(0), [(0, 0), (1, 1)]))


def test_the_camera_s_focal_length_follows_exif():
    # EXIF 2.32, tag 41989: in terms of 36 x 24 mm film, whose diagonal is 43.27 mm.
    assert camera_of((3600, 2400), 50.0).focal_px == pytest.approx(5000, rel=0.001)


class TestLengths:
    def test_two_bolts_give_the_scale_along_their_line(self):
        plane = a_plane(0)
        scale = scale_of_bolts(seen(plane, [(-40, 0), (40, 0)]), [(0, 0), (80, 0)], CAMERA)

        found = area_mm2(scale, seen(plane, a_square(20, x=10)))

        assert scale.source is ScaleSource.BOLTS
        assert found is not None
        assert found.mm2 == pytest.approx(400, rel=0.001)

    def test_an_unseen_lean_of_20_degrees_is_about_one_sigma(self):
        plane = a_plane(20, turned_deg=0)
        scale = scale_of_bolts(seen(plane, [(-40, 0), (40, 0)]), [(0, 0), (80, 0)], CAMERA)

        found = area_mm2(scale, seen(plane, a_square(20)))

        assert found is not None
        assert found.mm2 == pytest.approx(400 * math.cos(math.radians(20)), rel=0.01)
        assert abs(found.mm2 - 400) < 1.2 * found.sigma_mm2

    def test_a_typed_length_says_where_it_comes_from(self):
        scale = scale_of_length(PointPx(100, 100), PointPx(400, 500), 50, CAMERA)

        assert scale.source is ScaleSource.LENGTH
        assert scale.mm_per_px == pytest.approx(0.1)

    def test_clicks_too_near_together_are_refused(self):
        scale = scale_of_length(PointPx(100, 100), PointPx(120, 100), 50, CAMERA)

        assert scale.state is ScaleState.TOO_SMALL

    def test_bolts_on_a_leaning_line_still_fit(self):
        stations = [(0, 0), (30, 0), (75, 0), (120, 0)]
        places = seen(a_plane(35, turned_deg=90), [(x - 60, 0) for x, _ in stations])

        assert scale_of_bolts(places, stations, CAMERA).state is ScaleState.MEASURED

    def test_a_wrong_station_on_a_line_is_refused(self):
        stations = [(0, 0), (30, 0), (75, 0), (120, 0)]
        places = seen(a_plane(20), [(x - 60, 0) for x, _ in stations])
        stations[1] = (40, 0)

        assert scale_of_bolts(places, stations, CAMERA).state is ScaleState.WRONG_PATTERN


class TestPatterns:
    bolts = ((0, 0), (90, 0), (95, 60), (40, 80), (-5, 55))

    def test_four_bolts_give_the_flange_s_plane(self):
        plane = a_plane(35)
        scale = scale_of_bolts(seen(plane, self.bolts[:4]), self.bolts[:4], CAMERA)

        found = area_mm2(scale, seen(plane, a_square(20, x=100, y=20)))

        assert scale.source is ScaleSource.PATTERN
        assert found is not None
        assert found.mm2 == pytest.approx(400, rel=0.01)

    def test_the_focal_length_is_found_where_none_is_told(self):
        plane = a_plane(35)
        scale = scale_of_bolts(seen(plane, self.bolts), self.bolts, camera_of(SIZE_PX))

        found = area_mm2(scale, seen(plane, a_square(20, x=100, y=20)))

        assert found is not None
        assert found.mm2 == pytest.approx(400, rel=0.02)

    def test_clicks_a_pixel_off_still_fit(self):
        off = np.random.default_rng(3).normal(0, 1, (5, 2))
        places = [
            PointPx(place.x + dx, place.y + dy)
            for place, (dx, dy) in zip(seen(a_plane(30), self.bolts), off, strict=True)
        ]

        assert scale_of_bolts(places, self.bolts, CAMERA).state is ScaleState.MEASURED

    @pytest.mark.parametrize("camera", [CAMERA, camera_of(SIZE_PX)], ids=["told", "assumed"])
    def test_a_wrong_pattern_is_refused(self, camera):
        wrong = [*self.bolts[:3], (50, 80), self.bolts[4]]

        scale = scale_of_bolts(seen(a_plane(25), self.bolts), wrong, camera)

        assert scale.state is ScaleState.WRONG_PATTERN

    def test_a_place_for_each_bolt_is_needed(self):
        with pytest.raises(ValueError, match="at least two"):
            scale_of_bolts([PointPx(0, 0)], [(0, 0)], CAMERA)


def test_a_square_drawn_into_a_photo_is_measured():
    # Drawn by OpenCV's own marker generator: 240 px are 30 mm, so 160 x 80 px are 20 x 10 mm.
    page = np.full((600, 900), 255, np.uint8)
    dictionary = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_4X4_50)
    page[100:340, 100:340] = cv2.aruco.generateImageMarker(dictionary, 3, 240)
    from leaktrack.imaging.measuring.targeting import square_target

    target = square_target(np.repeat(page[:, :, None], 3, axis=2), SIDE_MM)
    assert target is not None
    scale = scale_at_target(target, camera_of((900, 600)))
    outline = [PointPx(500, 200), PointPx(660, 200), PointPx(660, 280), PointPx(500, 280)]

    found = area_mm2(scale, outline)

    assert found is not None
    assert found.mm2 == pytest.approx(200, rel=0.01)
    assert scale.mm_per_px == pytest.approx(0.125, rel=0.002)
