"""Small pictures keep the shape of the photo and survive the cache."""

import numpy as np
import pytest

from leaktrack.imaging.tiling import decode_cache, encode_cache, thumbnail
from leaktrack.model.errors import UnreadablePhoto
from tests.pictures import casting, write_photo


def test_a_thumbnail_stands_upright_and_fits_its_square(tmp_path):
    path = write_photo(tmp_path / "photo.jpg", casting(400, 300), orientation=6)

    assert thumbnail(path, 128).shape == (96, 128, 3)


def test_a_cached_thumbnail_looks_the_same():
    rgb = casting(128, 96)

    again = decode_cache(encode_cache(rgb))

    assert again is not None
    assert np.abs(again.astype(int) - rgb).mean() < 6


@pytest.mark.parametrize(
    "encoded", [b"", b"RIFF1234WEBPVP8 ", encode_cache(casting(64, 48))[:-200]]
)
def test_a_damaged_cache_file_is_nothing(encoded):
    assert decode_cache(encoded) is None


def test_a_thumbnail_of_a_damaged_photo_is_refused(tmp_path):
    (tmp_path / "photo.jpg").write_bytes(b"\xff\xd8\xff\xe0 but no more")

    with pytest.raises(UnreadablePhoto, match=r"^photo\.jpg "):
        thumbnail(tmp_path / "photo.jpg", 64)
