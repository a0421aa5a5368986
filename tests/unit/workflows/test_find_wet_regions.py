"""A photo with oil painted on it is searched, as a plain file and in a project."""

import itertools

import cv2
import numpy as np
import pytest
from PIL import Image

from leaktrack.imaging.matching.learned_matching import LearnedMatcher
from leaktrack.imaging.reading import read_upright
from leaktrack.model.errors import BadInput, Cancelled, UnreadablePhoto
from leaktrack.model.shapes import PointPx, contains
from leaktrack.model.wet_search import WetKind
from leaktrack.places import demo_source, resource
from leaktrack.workflows.find_wet_regions import find_wet_in_files, find_wet_regions
from tests.shared_cache import shared_cache
from tests.zone_bench import ZoneBench

pytestmark = pytest.mark.usefixtures("shared_features")

DRY = demo_source() / "photos" / "bank1_cover_i0.jpg"  # 2000 px wide, shows a target
STRAINER = demo_source() / "photos" / "strainer.jpg"
# A run of oil below the joint, in px of the photo.
RUN = [(1010, 800), (1090, 800), (1065, 825), (1068, 960), (1058, 985), (1040, 985), (1032, 960)]
MIDDLE = PointPx(1050, 900)
TAKEN = np.array([0.75, 1.15, 1.7])  # of red, green and blue, as powers of e


@pytest.fixture(scope="module")
def oiled(tmp_path_factory):
    """The dry photo with oil painted on it, as if it were taken later."""
    rgb = read_upright(DRY)
    mask = np.zeros(rgb.shape[:2], np.uint8)
    cv2.fillPoly(mask, [np.array(RUN, np.int32)], 1)
    soft = cv2.GaussianBlur(mask.astype(np.float32), (0, 0), 1.2)[..., None]
    light = (rgb / 255.0) ** 2.2 * np.exp(-soft * TAKEN)
    noise = np.random.default_rng(3).normal(0, 2, rgb.shape)
    path = tmp_path_factory.mktemp("later") / "oiled.jpg"
    seen = np.clip(light ** (1 / 2.2) * 255 + noise, 0, 255).astype(np.uint8)
    Image.fromarray(seen).save(path, quality=90)
    return path


def painted_px():
    mask = np.zeros((1500, 2000), np.uint8)
    cv2.fillPoly(mask, [np.array(RUN, np.int32)], 1)
    return int(mask.sum())


@pytest.fixture(scope="module")
def matcher():
    return LearnedMatcher(resource("models"))


@pytest.fixture(scope="module")
def cache(tmp_path_factory):
    return shared_cache(tmp_path_factory, tmp_path_factory.mktemp("wet") / "cache")


@pytest.fixture(scope="module")
def found(matcher, cache, oiled):
    return find_wet_in_files([DRY], oiled, matcher, cache_folder=cache)


def test_oil_is_found_in_a_file(found):
    best = found.regions[0]
    assert found.state == "aligned"
    assert (best.kind, best.score > 0.5) == (WetKind.WET, True)
    assert contains(best.outline, MIDDLE)
    assert best.area_px == pytest.approx(painted_px(), rel=0.25)


def test_it_is_measured_by_the_target(found):
    best = found.regions[0]
    assert best.area_mm2 == pytest.approx(best.area_px * found.scale.mm_per_px**2, rel=0.3)
    assert 0 < best.area_sigma_mm2 < best.area_mm2


@pytest.mark.thorough
def test_another_target_side_measures_otherwise(matcher, cache, oiled, found):
    half = find_wet_in_files([DRY], oiled, matcher, 15.0, cache_folder=cache)

    assert half.regions[0].area_mm2 == pytest.approx(found.regions[0].area_mm2 / 4, rel=0.01)


@pytest.mark.thorough
def test_turned_round_it_is_dried_up(matcher, cache, oiled):
    found = find_wet_in_files([oiled], DRY, matcher, cache_folder=cache)

    assert [one for one in found.of_kind(WetKind.WET) if one.score > 0.5] == []
    assert contains(found.of_kind(WetKind.DRIED)[0].outline, MIDDLE)


@pytest.mark.thorough
def test_photos_of_other_things_fail(matcher):
    found = find_wet_in_files([STRAINER], DRY, matcher)

    assert (found.state, found.regions) == ("failed", ())


@pytest.mark.parametrize("grey", [0, 255])
@pytest.mark.parametrize("size", [(1600, 1200), (30, 20)])
def test_empty_and_tiny_photos_fail(matcher, tmp_path, grey, size):
    path = tmp_path / "empty.png"
    Image.new("L", size, grey).save(path)

    for before, after in ((path, DRY), (DRY, path)):
        found = find_wet_in_files([before], after, matcher)
        assert (found.state, found.regions, found.unassessed) == ("failed", (), ())


def test_a_damaged_file_is_told(matcher, tmp_path):
    path = tmp_path / "damaged.jpg"
    path.write_bytes(DRY.read_bytes()[:5000])

    with pytest.raises(UnreadablePhoto, match=r"damaged\.jpg"):
        find_wet_in_files([path], DRY, matcher)


def test_nothing_to_compare_with_is_told(matcher):
    with pytest.raises(BadInput, match="nothing"):
        find_wet_in_files([], DRY, matcher)


def test_in_a_project_a_photo_is_compared_with_earlier_inspections(project, oiled):
    bench = ZoneBench(project)
    bench.photo(DRY, day=0)
    after = bench.photo(oiled, day=1)

    found = find_wet_regions(project, after.id)

    assert contains(found.regions[0].outline, MIDDLE)
    assert found.regions[0].area_mm2 is not None


def test_what_only_came_later_is_not_compared_with(project, oiled):
    bench = ZoneBench(project)
    first = bench.photo(DRY, day=0)
    bench.photo(oiled, day=1)

    with pytest.raises(BadInput, match="earlier inspection"):
        find_wet_regions(project, first.id)


def test_a_search_can_be_stopped(project, oiled):
    bench = ZoneBench(project)
    bench.photo(DRY, day=0)
    after = bench.photo(oiled, day=1)
    told = itertools.count()

    def stop(done, total, what):
        assert 0 <= done <= total
        if next(told) > 30:
            raise Cancelled

    with pytest.raises(Cancelled):
        find_wet_regions(project, after.id, progress=stop)
