"""A photo under an ultraviolet lamp is searched for dye, without an earlier photo."""

from dataclasses import replace

import numpy as np
import pytest
from PIL import Image

from leaktrack.imaging.reading import read_upright
from leaktrack.model.errors import UnreadablePhoto
from leaktrack.model.photo import Light, PhotoWarning
from leaktrack.model.record import replaced
from leaktrack.model.shapes import PointPx, contains
from leaktrack.places import demo_source
from leaktrack.workflows.add_photos import add_photos
from leaktrack.workflows.find_glowing_regions import glow_search
from leaktrack.workflows.find_wet_regions import find_wet_in_files, find_wet_regions
from leaktrack.workflows.list_shots import photo_warnings

WHITE = demo_source() / "photos" / "bank1_cover_i0.jpg"  # 2000 px wide
MIDDLE = PointPx(1040, 900)


@pytest.fixture(scope="module")
def dyed(tmp_path_factory):
    """The demo's photo as a violet lamp would light it, with a disc of dye. Rendered, not taken."""
    light = (read_upright(WHITE) / 255.0) ** 2.2 * np.array([0.05, 0.012, 0.12])
    y, x = np.mgrid[0 : light.shape[0], 0 : light.shape[1]]
    disc = np.hypot(x - MIDDLE.x, y - MIDDLE.y) < 35
    light[disc] += np.array([0.3, 0.6, 0.05])
    light += np.random.default_rng(1).normal(0, 0.003, light.shape)
    path = tmp_path_factory.mktemp("lamp") / "dyed.jpg"
    seen = np.round(255 * np.clip(light, 0, 1) ** (1 / 2.2)).astype(np.uint8)
    Image.fromarray(seen).save(path, quality=92)
    return path


def put(project, path):
    added = add_photos(project, [path])
    project.apply(added.edit)
    return added.added[0]


def test_dye_is_found_in_a_file(dyed):
    found = glow_search(dyed)

    assert found is not None
    assert found.state == "aligned"
    assert found.regions[0].score > 0.5
    assert contains(found.regions[0].outline, MIDDLE)
    assert found.regions[0].area_px == pytest.approx(np.pi * 35**2, rel=0.2)


def test_a_photo_in_white_light_is_left_to_others():
    assert glow_search(WHITE) is None


@pytest.mark.parametrize("light", [Light.WHITE, Light.POWDER])
def test_what_a_person_said_goes_before_what_the_photo_looks_like(dyed, light):
    assert glow_search(dyed, light) is None
    assert glow_search(WHITE, Light.UV) is not None


def test_the_search_for_wet_regions_needs_no_earlier_photo_then(project, dyed):
    photo = put(project, dyed)

    found = find_wet_regions(project, photo.id)

    assert contains(found.regions[0].outline, MIDDLE)


def test_a_typed_scale_measures_what_glows(project, dyed, tmp_path):
    Image.fromarray(read_upright(dyed)[700:1100, 800:1300]).save(tmp_path / "no target.png")
    photo = put(project, tmp_path / "no target.png")
    project.apply(replaced(photo, replace(photo, mm_per_px=0.2)))

    (best, *_) = find_wet_regions(project, photo.id).regions

    assert best.area_mm2 == pytest.approx(best.area_px * 0.04)


def test_the_target_in_the_dark_photo_measures_what_glows(project, dyed):
    # The scene's own scale at the target is 0.178 mm to a px; the disc lies elsewhere, but near.
    (best, *_) = find_wet_regions(project, put(project, dyed).id).regions

    assert best.area_sigma_mm2 is not None
    assert abs(best.area_mm2 - best.area_px * 0.178**2) < 2 * best.area_sigma_mm2


def test_a_file_under_the_lamp_is_not_compared(project, dyed):
    found = find_wet_in_files([WHITE], dyed, project.matcher)

    assert contains(found.regions[0].outline, MIDDLE)


def test_a_missing_file_is_told(tmp_path):
    with pytest.raises(UnreadablePhoto):
        glow_search(tmp_path / "nowhere.jpg")


@pytest.fixture(scope="module")
def balanced(dyed, tmp_path_factory):
    """The same photo without dye, balanced to look grey, as cameras do."""
    rgb = read_upright(dyed).astype(float)[:600]
    path = tmp_path_factory.mktemp("grey") / "balanced.jpg"
    gains = rgb.mean() / rgb.reshape(-1, 3).mean(axis=0)
    Image.fromarray(np.clip(rgb * gains, 0, 255).astype(np.uint8)).save(path)
    return path


def test_a_look_under_the_lamp_lets_a_doubtful_photo_count(balanced):
    assert glow_search(balanced) is None
    assert glow_search(balanced, None, Light.UV) is not None
    assert glow_search(balanced, Light.WHITE, Light.UV) is None


def test_a_photo_in_plain_white_light_is_none_whatever_the_look():
    assert glow_search(WHITE, None, Light.UV) is None


def test_a_photo_under_the_lamp_is_not_called_too_dark(project, dyed, tmp_path):
    darker = (read_upright(dyed) * np.array([0.4, 0.4, 0.6])).astype(np.uint8)
    Image.fromarray(darker).save(tmp_path / "darker.jpg")
    photo = put(project, tmp_path / "darker.jpg")
    white = replace(photo, light=Light.WHITE)

    at_first = photo_warnings(project, photo.id)
    project.apply(replaced(photo, white))

    assert PhotoWarning.TOO_DARK not in at_first
    assert PhotoWarning.TOO_DARK in photo_warnings(project, photo.id)
