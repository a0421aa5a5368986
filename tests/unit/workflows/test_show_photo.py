"""Pictures for the window: never larger than asked, upright, and quick the second time."""

from pathlib import Path

import numpy as np
import pytest

from leaktrack.model.errors import UnreadablePhoto
from leaktrack.workflows import show_photo
from leaktrack.workflows.add_photos import add_photos
from leaktrack.workflows.clips import add_clip
from tests.pictures import casting, four_corners, write_photo

VIDEO = Path(__file__).parents[3] / "demo_project" / "assembly_video.mp4"


@pytest.fixture
def photo(project, tmp_path):
    path = write_photo(tmp_path / "shot.png", casting(800, 600), orientation=6)
    added = add_photos(project, [path])
    project.apply(added.edit)
    return added.added[0]


def cache_files(project):
    return [path for path in (project.cache_folder / "thumbs").rglob("*") if path.is_file()]


@pytest.mark.parametrize(("side_px", "shape"), [(200, (150, 200, 3)), (2000, (600, 800, 3))])
def test_a_thumbnail_is_never_larger_than_asked_or_than_the_photo(project, photo, side_px, shape):
    rgb = show_photo.thumbnail(project, photo.id, side_px)

    assert (rgb.shape, rgb.dtype, rgb.flags.c_contiguous) == (shape, np.uint8, True)


def test_the_second_thumbnail_comes_from_the_cache(project, photo):
    first = show_photo.thumbnail(project, photo.id, 200)
    project.photo_path(photo).unlink()

    second = show_photo.thumbnail(project, photo.id, 200)

    # The cache is slightly lossy: a few grey levels on average at most.
    assert np.abs(first.astype(int) - second).mean() < 4


def test_a_lost_file_is_named_as_the_person_knows_it(project, photo):
    path = project.photo_path(photo)
    path.unlink()

    with pytest.raises(UnreadablePhoto, match=r"^The file of shot\.png is missing") as told:
        show_photo.preview(project, photo.id)
    assert f"Copy photos/{path.parent.name}/{path.name} back" in str(told.value)


def test_each_size_is_cached_on_its_own(project, photo):
    show_photo.thumbnail(project, photo.id, 200)

    assert show_photo.thumbnail(project, photo.id, 100).shape == (75, 100, 3)
    assert len(cache_files(project)) == 2


@pytest.mark.parametrize("damage", [b"", b"not a picture", b"RIFF\x10\x00\x00\x00WEBPVP8 "])
def test_a_damaged_cache_file_is_made_anew(project, photo, damage):
    show_photo.thumbnail(project, photo.id, 200)
    (file,) = cache_files(project)
    file.write_bytes(damage)

    rgb = show_photo.thumbnail(project, photo.id, 200)

    assert rgb.shape == (150, 200, 3)
    assert file.read_bytes() != damage


def test_a_cache_that_cannot_be_written_only_costs_time(project, photo, tmp_path):
    (tmp_path / "blocked").touch()

    rgb = show_photo.thumbnail(project, photo.id, 200, cache=tmp_path / "blocked")

    assert rgb.shape == (150, 200, 3)


def test_no_half_written_file_stays_in_the_cache(project, photo):
    show_photo.thumbnail(project, photo.id, 200)

    assert [path.suffix for path in cache_files(project)] == [".webp"]


def test_preview_and_full_picture_are_upright(project, photo):
    preview = show_photo.preview(project, photo.id, longest_px=400)
    full = show_photo.full(project, photo.id)

    assert preview.shape == (300, 400, 3)
    assert np.array_equal(full, casting(800, 600))


def test_a_missing_file_is_told(project, photo):
    project.photo_path(photo).unlink()

    with pytest.raises(UnreadablePhoto):
        show_photo.full(project, photo.id)


def test_a_clip_is_shown_by_one_of_its_frames(project):
    clip, edit = add_clip(project, VIDEO)
    project.apply(edit)

    rgb = show_photo.clip_thumbnail(project, clip.id, 120)

    assert max(rgb.shape) == 120
    assert rgb.std() > 5  # not a black or empty frame
    assert len(cache_files(project)) == 1


def test_corners_stay_where_they_are(project, tmp_path):
    path = write_photo(tmp_path / "corners.png", four_corners(), orientation=3)
    added = add_photos(project, [path])
    project.apply(added.edit)

    rgb = show_photo.full(project, added.added[0].id)

    assert np.array_equal(rgb, four_corners())
