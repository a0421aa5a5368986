import io

import numpy as np
import pytest
from PIL import Image

from leaktrack.imaging.reading import read_upright
from leaktrack.places import demo_source
from leaktrack.workflows.add_photos import add_photos
from leaktrack.workflows.lay_over import lay_over

COVER = demo_source() / "photos" / "bank1_cover_i0.jpg"
LEFT, TOP, WIDTH, HEIGHT = 300, 250, 1400, 1050  # what the closer photo shows of the first one


@pytest.fixture
def closer(tmp_path):
    """The same view from nearer: a part of the photo at another size."""
    part = Image.fromarray(read_upright(COVER)).crop((LEFT, TOP, LEFT + WIDTH, TOP + HEIGHT))
    path = tmp_path / "closer.png"
    path.write_bytes(_png(part.resize((1600, 1200))))
    return path


def _png(picture):
    file = io.BytesIO()
    picture.save(file, "PNG")
    return file.getvalue()


def put(project, *paths):
    """Add photos and return their ids, in order."""
    added = add_photos(project, paths)
    project.apply(added.edit)
    return [result.photo.id for result in added.results]


def difference(one, other, where):
    return np.abs(one[where].astype(float) - other[where]).mean()


def test_the_earlier_photo_is_bent_into_the_frame_of_the_later_one(project, closer):
    before, after = put(project, COVER, closer)

    overlay = lay_over(project, before, after, longest_px=800)

    assert overlay.state == "aligned"
    assert overlay.before_rgb.shape == overlay.after_rgb.shape == (600, 800, 3)
    assert overlay.is_valid.mean() > 0.99
    # Both frames filled with one picture: what is left is resampling. Unaligned it is over 20.
    assert difference(overlay.before_rgb, overlay.after_rgb, overlay.is_valid) < 6


def test_places_that_the_earlier_photo_does_not_show_are_not_valid(project, closer):
    wider, nearer = put(project, COVER, closer)

    overlay = lay_over(project, nearer, wider, longest_px=800)

    shown = WIDTH * HEIGHT / (2000 * 1500)
    assert overlay.is_valid.mean() == pytest.approx(shown, abs=0.02)
    assert not overlay.is_valid[:90].any()
    assert overlay.before_rgb[~overlay.is_valid].mean() < 5


@pytest.mark.thorough
def test_photos_of_different_things_are_not_laid_over_each_other(project, tmp_path):
    black = tmp_path / "cap left on.png"
    Image.new("RGB", (400, 300)).save(black)
    before, after = put(project, COVER, black)

    overlay = lay_over(project, before, after, longest_px=800)

    assert overlay.state == "failed"
    assert not overlay.is_valid.any()
    assert not overlay.before_rgb.any()
