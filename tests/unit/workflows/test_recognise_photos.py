"""The program recognises where a photo was taken, says when it is of little use, and its scale."""

import numpy as np
import pytest
from PIL import Image, ImageFilter

from leaktrack.imaging.reading import read_upright
from leaktrack.model.errors import BadInput
from leaktrack.model.photo import Photo, PhotoWarning
from leaktrack.places import demo_source
from leaktrack.workflows.add_photos import add_photos
from leaktrack.workflows.assign_photos import assign_photos
from leaktrack.workflows.list_shots import photo_warnings
from leaktrack.workflows.measure_scale import measure_scale
from leaktrack.workflows.suggest_zone import suggest_zone
from tests.pictures import write_photo

pytestmark = pytest.mark.usefixtures("shared_features")

PHOTOS = demo_source() / "photos"
# Scale of bank1_cover_i1_b.jpg at its target: 30 mm by the area of the square between the corners
# of the scene it is rendered from. Blur makes the printed square look about 1 px smaller.
TRUE_MM_PER_PX = 0.12279


def put(project, path, zone_id=None, inspection_id=None):
    added = add_photos(project, [path], zone_id, inspection_id)
    project.apply(added.edit)
    return added.added[0]


@pytest.fixture
def known(project, filled):
    """Return a project with photos of two zones, one of each taken at the baseline."""
    # The filled project's own photos have no files.
    project.apply(assign_photos(project, [filled.reference.id, filled.later.id], None, None))
    put(project, PHOTOS / "bank1_cover_i0.jpg", filled.zone.id, filled.baseline.id)
    put(project, PHOTOS / "bank2_solenoid_i0.jpg", filled.empty_zone.id, filled.baseline.id)
    return filled


def test_the_zone_of_similar_photos_is_suggested(project, known):
    new = put(project, PHOTOS / "bank1_cover_i2.jpg")

    (suggestion,) = suggest_zone(project, new.id)

    assert suggestion.zone_id == known.zone.id
    assert suggestion.score >= 0.5


@pytest.mark.parametrize("name", ["strainer", "bank2_cover_bead_a"])
def test_no_zone_is_suggested_for_a_photo_of_something_else(project, known, name):
    new = put(project, PHOTOS / f"{name}.jpg")

    assert suggest_zone(project, new.id) == ()


def test_no_zone_is_suggested_while_no_photo_has_one(project):
    new = put(project, PHOTOS / "bank1_cover_i2.jpg")

    assert suggest_zone(project, new.id) == ()


def test_features_are_found_once(project, known):
    new = put(project, PHOTOS / "bank1_cover_i2.jpg")
    first = suggest_zone(project, new.id)
    project.photo_path(new).unlink()

    assert suggest_zone(project, new.id) == first


def test_a_good_photo_of_the_right_zone_has_no_warnings(project, known):
    new = put(project, PHOTOS / "bank1_cover_i2.jpg", known.zone.id, known.inspection.id)

    assert photo_warnings(project, new.id) == ()


def test_a_photo_of_another_place_is_warned_of(project, known):
    new = put(project, PHOTOS / "strainer.jpg", known.zone.id, known.inspection.id)

    assert photo_warnings(project, new.id) == (PhotoWarning.SHOWS_SOMETHING_ELSE,)


def test_a_blurred_photo_is_warned_of(project, tmp_path):
    sharp = Image.fromarray(read_upright(PHOTOS / "bank1_cover_i2.jpg"))
    path = tmp_path / "blurred.jpg"
    sharp.filter(ImageFilter.GaussianBlur(8)).save(path)
    new = put(project, path)

    assert PhotoWarning.BLURRED in photo_warnings(project, new.id)


@pytest.mark.parametrize(
    ("grey", "warning"), [(5, PhotoWarning.TOO_DARK), (255, PhotoWarning.TOO_BRIGHT)]
)
def test_a_badly_exposed_photo_is_warned_of(project, tmp_path, grey, warning):
    new = put(project, write_photo(tmp_path / "flat.png", np.full((300, 400, 3), grey, np.uint8)))

    assert warning in photo_warnings(project, new.id)


def test_the_scale_comes_from_the_printed_target(project):
    photo = put(project, PHOTOS / "bank1_cover_i1_b.jpg")

    project.apply(measure_scale(project, photo.id, side_mm=30))

    measured = project.get(Photo, photo.id)
    assert measured.mm_per_px == pytest.approx(TRUE_MM_PER_PX, rel=0.02)
    assert measured.scale_source == "printed target, 30 mm"


def test_a_photo_without_a_target_keeps_its_scale(project):
    photo = put(project, PHOTOS / "bank1_cover_i1.jpg")

    with pytest.raises(BadInput, match=r"No printed target is found in bank1_cover_i1\.jpg"):
        measure_scale(project, photo.id)


@pytest.mark.parametrize("side_mm", [0, -30, float("nan"), 5000])
def test_a_target_of_impossible_size_is_refused(project, filled, side_mm):
    with pytest.raises(BadInput, match="A target cannot be"):
        measure_scale(project, filled.loose.id, side_mm)
