"""A photo that was cut looks elsewhere than along its middle; scales say how much that may do."""

import math

import numpy as np
import pytest
from PIL import Image

from leaktrack.imaging.measuring.calibrating import scale_at_target, scale_of_length
from leaktrack.imaging.measuring.cutting import cut_of
from leaktrack.imaging.measuring.projecting import Camera, Plane, camera_of, onto, through
from leaktrack.imaging.measuring.scaling import area_mm2
from leaktrack.imaging.measuring.targeting import TargetScale
from leaktrack.imaging.reading import told_size
from leaktrack.model.shapes import PointPx


@pytest.mark.parametrize(
    ("size_px", "told_px"),
    [
        ((4000, 3000), None),
        ((3000, 4000), None),
        ((2000, 1333), None),  # 3 : 2 made smaller
        ((4032, 3024), (4032, 3024)),
        ((1600, 1200), (4000, 3000)),  # made smaller
        ((3000, 4000), (4000, 3000)),  # turned, and the note left as it was
        ((1080, 1080), None),  # square, as phones make them
        ((4608, 2592), None),  # 16 : 9
        ((2040, 1536), None),  # 4 : 3 in whole blocks of 8 px
    ],
)
def test_a_whole_photo_is_not_taken_for_a_cut_one(size_px, told_px):
    assert cut_of(size_px, told_px) is None


def test_what_was_cut_is_the_difference_to_what_the_camera_noted():
    cut = cut_of((3000, 1000), (4000, 3000))

    # The window may lie anywhere: an even distribution has a deviation of its width / sqrt(12).
    assert cut.whole_px == (4000, 3000)
    assert cut.off_px == pytest.approx((1000 / math.sqrt(12), 2000 / math.sqrt(12)))
    assert cut.is_told


def test_by_its_shape_alone_the_least_is_taken_to_be_cut():
    cut = cut_of((3000, 1000))

    assert cut.whole_px == pytest.approx((3000, 2000))  # 3 : 2 holds it with the least
    assert not cut.is_told
    assert cut.off_px[1] == pytest.approx(1000 / math.sqrt(12))
    assert cut_of((1000, 3000)).whole_px == pytest.approx((2000, 3000))


def test_the_focal_length_holds_for_the_whole_photo():
    whole, part = camera_of((4000, 3000), 28.0), camera_of((1500, 900), 28.0, (4000, 3000))

    assert part.focal_px == pytest.approx(whole.focal_px)
    assert part.is_cut
    assert not whole.is_cut


@pytest.mark.parametrize(("orientation", "upright"), [(1, (4000, 3000)), (6, (3000, 4000))])
def test_the_noted_size_is_read_upright(tmp_path, orientation, upright):
    exif = Image.Exif()
    exif[0x0112] = orientation
    exif.get_ifd(0x8769).update({0xA002: 4000, 0xA003: 3000})  # PixelXDimension, PixelYDimension
    Image.new("RGB", (80, 40)).save(tmp_path / "one.jpg", exif=exif)
    Image.new("RGB", (80, 40)).save(tmp_path / "other.jpg")

    assert told_size(tmp_path / "one.jpg") == upright
    assert told_size(tmp_path / "other.jpg") is None


WHOLE = (4000, 3000)
FOCAL = camera_of(WHOLE, 28.0).focal_px


def corner_of_a_photo(left: int, top: int, size_px: tuple[int, int]) -> Camera:
    """The true camera of a window of a photo: it looks along the middle of the whole."""
    aside = tuple((WHOLE[i] - size_px[i]) / 2 - (left, top)[i] for i in (0, 1))
    return Camera(size_px, FOCAL, 0.0, is_told=True, off_middle_px=aside)


def seen(plane, places_mm, camera):
    return [
        PointPx(float(x), float(y))
        for x, y in through(np.linalg.inv(onto(plane, camera)), np.array(places_mm, float))
    ]


def square(side, x=0.0, y=0.0):
    h = side / 2
    return [(x - h, y - h), (x + h, y - h), (x + h, y + h), (x - h, y + h)]


def off_in_sigmas(knows_of_the_cut: bool) -> list[float]:
    """Measure a far square by a target in windows all over a photo, by geometry alone."""
    found = []
    size_px = (1500, 1100)
    for left in (250, 750, 1250, 1750, 2250):
        for top in (190, 570, 950, 1330, 1710):
            for turned in (30.0, 200.0):
                true = corner_of_a_photo(left, top, size_px)
                ahead = true.ray(size_px[0] / 2, size_px[1] / 2) * 300.0
                axis = np.array([math.cos(math.radians(turned)), math.sin(math.radians(turned)), 0])
                plane = Plane(ahead, np.array([0, 0, 1.0])).leaning(axis, 20.0)
                target = TargetScale(tuple(seen(plane, square(30), true)), 30.0, 0.2, 1, 7, 0.12)
                told = WHOLE if knows_of_the_cut else size_px
                camera = camera_of(size_px, 28.0, told)
                scale = scale_at_target(target, camera, is_same_plane=True)
                area = area_mm2(scale, seen(plane, square(20, 55, 20), true), 0.0)
                found.append(abs(area.mm2 - 400) / area.sigma_mm2)
    return found


def test_the_stated_error_holds_for_windows_all_over_a_photo():
    """Where a window lies decides the error: of many, 95 % must lie within two deviations."""
    aware, unaware = off_in_sigmas(True), off_in_sigmas(False)

    assert np.mean(np.array(aware) < 2) >= 0.95
    assert np.median(aware) < np.median(unaware)


def test_a_typed_length_is_less_sure_in_a_cut_photo_and_says_so():
    ends = PointPx(200, 300), PointPx(900, 300)
    whole = scale_of_length(*ends, 60.0, camera_of((2000, 1500), 28.0))
    cut = scale_of_length(*ends, 60.0, camera_of((2000, 900), 28.0, (4000, 3000)))

    assert (whole.is_cut, cut.is_cut) == (False, True)
    assert {doubt.why for doubt in cut.doubts} - {doubt.why for doubt in whole.doubts} == {
        "cut photo"
    }
