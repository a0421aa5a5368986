"""Whatever a camera writes opens upright; whatever cannot be opened is told in one sentence."""

import os
import struct
import zlib
from datetime import datetime
from pathlib import Path

import numpy as np
import pytest
from PIL import Image, ImageOps

from leaktrack.imaging.reading import inspect_file, read_upright, upright_size
from leaktrack.model.errors import UnreadablePhoto
from leaktrack.model.photo import TakenAt
from tests.pictures import casting, four_corners, relit, write_photo

RED, GREEN, BLUE, WHITE = (220, 30, 30), (30, 200, 30), (30, 30, 220), (240, 240, 240)


SHUTTER = datetime.fromisoformat("2026-03-21T15:03:51")


def corner_colors(rgb):
    return [tuple(int(v) for v in rgb[y, x]) for y, x in ((8, 8), (8, -8), (-8, -8), (-8, 8))]


@pytest.mark.parametrize("ending", [".jpg", ".png", ".webp", ".tif"])
@pytest.mark.parametrize("orientation", range(1, 9))
def test_a_photo_from_a_turned_camera_stands_upright(tmp_path, ending, orientation):
    path = write_photo(tmp_path / f"photo{ending}", four_corners(), orientation=orientation)

    rgb = read_upright(path)

    # Outside check: Pillow's own exif_transpose.
    with Image.open(path) as image:  # noqa: TID251
        expected = np.asarray(ImageOps.exif_transpose(image).convert("RGB"))
    assert np.array_equal(rgb, expected)
    assert np.abs(np.subtract(corner_colors(rgb), [RED, GREEN, BLUE, WHITE])).max() <= 4


@pytest.mark.parametrize("orientation", range(1, 9))
def test_a_reduced_photo_is_the_full_photo_shrunk(tmp_path, orientation):
    upright = relit(casting(1003, 731))
    path = write_photo(tmp_path / "photo.jpg", upright, orientation=orientation)

    small = read_upright(path, longest_px=250)

    expected = np.asarray(Image.fromarray(read_upright(path)).resize((250, 182), Image.HAMMING))
    assert small.shape == (182, 250, 3)
    # Shifted by one pixel, these pictures differ by 7.7 on average (measured).
    assert np.abs(small.astype(int) - expected).mean() < 4


def test_a_small_photo_is_never_enlarged(tmp_path):
    path = write_photo(tmp_path / "photo.png", four_corners(96, 64))

    assert read_upright(path, longest_px=5000).shape == (64, 96, 3)


def test_pixels_come_as_contiguous_memory_that_may_be_changed(tmp_path):
    rgb = read_upright(write_photo(tmp_path / "photo.jpg", four_corners(), orientation=6))

    assert rgb.flags.c_contiguous
    assert rgb.flags.writeable
    assert rgb.dtype == np.uint8


def test_a_heic_photo_is_turned_once():
    # Drawn by four_corners(), stored turned, converted by heif-enc 1.15 of libheif, then given the
    # box "irot" that turns it upright, beside EXIF orientation 6: as telephones write it.
    path = Path(__file__).with_name("four_corners.heic")

    found = inspect_file(path)

    # Outside check: heif-convert of libheif writes 96 x 64 pixels with these corners.
    assert (found.file_type, found.width_px, found.height_px) == ("heic", 96, 64)
    assert upright_size(path) == (96, 64)
    assert found.taken == TakenAt(SHUTTER, 60)
    difference = np.subtract(corner_colors(read_upright(path)), [RED, GREEN, BLUE, WHITE])
    assert np.abs(difference).max() <= 4


def grey_16_bit(path):
    Image.fromarray(np.full((6, 8), 51400, np.uint16)).save(path)


def palette(path):
    Image.new("RGB", (8, 6), (200, 200, 200)).quantize(4).save(path)


def see_through(path):
    Image.new("RGBA", (8, 6), (200, 200, 200, 255)).save(path)


def grey(path):
    Image.new("L", (8, 6), 200).save(path)


def black_and_white(path):
    Image.new("1", (8, 6), 1).save(path)


@pytest.mark.parametrize(
    ("draw", "ending", "tone"),
    [
        (grey_16_bit, ".png", 200),
        (grey_16_bit, ".tif", 200),
        (palette, ".png", 200),
        (see_through, ".png", 200),
        (see_through, ".webp", 200),
        (grey, ".jpg", 200),
        (grey, ".bmp", 200),
        (black_and_white, ".tif", 255),
    ],
)
def test_every_pixel_format_becomes_8_bit_rgb(tmp_path, draw, ending, tone):
    path = tmp_path / f"photo{ending}"
    draw(path)

    rgb = read_upright(path)

    assert rgb.shape == (6, 8, 3)
    assert np.abs(rgb.astype(int) - tone).max() <= 1


def test_a_cmyk_photo_keeps_its_colours(tmp_path):
    Image.new("CMYK", (8, 6), (0, 255, 255, 0)).save(tmp_path / "photo.jpg", quality=95)

    red, green, blue = read_upright(tmp_path / "photo.jpg")[3, 3]

    assert red > 240
    assert green < 15
    assert blue < 15


def test_what_is_transparent_becomes_white(tmp_path):
    Image.new("RGBA", (8, 6), (10, 20, 30, 0)).save(tmp_path / "photo.png")

    assert (read_upright(tmp_path / "photo.png") == 255).all()


def test_the_type_is_told_by_content_and_not_by_name(tmp_path):
    png = write_photo(tmp_path / "photo.png", four_corners())
    mislabelled = png.rename(tmp_path / "photo.jpg")

    assert inspect_file(mislabelled).file_type == "png"
    assert read_upright(mislabelled).shape == (64, 96, 3)


def test_the_size_is_that_of_the_upright_photo(tmp_path):
    path = write_photo(tmp_path / "photo.jpg", four_corners(96, 64), orientation=8)

    found = inspect_file(path)

    assert (found.width_px, found.height_px, found.orientation) == (96, 64, 8)


def test_a_name_in_another_script_opens(tmp_path):
    path = write_photo(tmp_path / "Ölwanne 油底壳 🔧.jpg", four_corners())

    assert inspect_file(path).width_px == 96


@pytest.mark.parametrize("ending", [".jpg", ".png", ".webp", ".tif", ".bmp"])
@pytest.mark.parametrize("share", [0.3, 0.6, 0.9])
def test_a_cut_off_photo_is_refused_by_name(tmp_path, ending, share):
    path = write_photo(tmp_path / f"photo{ending}", casting(200, 150))
    whole = path.read_bytes()
    path.write_bytes(whole[: int(len(whole) * share)])

    with pytest.raises(UnreadablePhoto, match=f"^photo{ending} "):
        inspect_file(path)
    with pytest.raises(UnreadablePhoto, match=f"^photo{ending} "):
        read_upright(path, longest_px=50)


@pytest.mark.parametrize("ending", [".jpg", ".png", ".webp", ".tif"])
@pytest.mark.parametrize("orientation", range(1, 9))
def test_the_upright_size_is_that_of_the_decoded_photo(tmp_path, ending, orientation):
    path = write_photo(tmp_path / f"photo{ending}", four_corners(), orientation=orientation)

    rows, cols = read_upright(path).shape[:2]

    assert upright_size(path) == (cols, rows)


def test_a_cut_off_heic_photo_is_refused_by_name(tmp_path):
    whole = Path(__file__).with_name("four_corners.heic").read_bytes()
    path = tmp_path / "photo.heic"
    path.write_bytes(whole[:600])

    with pytest.raises(UnreadablePhoto, match=r"^photo\.heic is .* damaged"):
        inspect_file(path)


def test_an_empty_file_is_refused(tmp_path):
    (tmp_path / "photo.jpg").touch()

    with pytest.raises(UnreadablePhoto, match=r"^photo\.jpg is empty"):
        inspect_file(tmp_path / "photo.jpg")


def test_a_text_file_is_refused(tmp_path):
    (tmp_path / "photo.jpg").write_text("not a photo at all, whatever its name says")

    with pytest.raises(UnreadablePhoto, match=r"^photo\.jpg is not a photo"):
        read_upright(tmp_path / "photo.jpg")


def test_a_folder_is_refused(tmp_path):
    (tmp_path / "photo.jpg").mkdir()

    with pytest.raises(UnreadablePhoto, match=r"^photo\.jpg is a folder"):
        read_upright(tmp_path / "photo.jpg")


def test_a_missing_file_is_refused(tmp_path):
    with pytest.raises(UnreadablePhoto, match=r"^photo\.jpg cannot be opened: No such file"):
        read_upright(tmp_path / "photo.jpg")


@pytest.mark.skipif(os.name == "nt" or os.geteuid() == 0, reason="may read every file")
def test_a_file_that_may_not_be_read_is_refused(tmp_path):
    path = write_photo(tmp_path / "photo.jpg", four_corners())
    path.chmod(0)

    with pytest.raises(UnreadablePhoto, match=r"^photo\.jpg cannot be opened: Permission denied"):
        read_upright(path)


def png_header_only(width, height):
    def chunk(kind, content):
        checksum = zlib.crc32(kind + content)
        return struct.pack(">I", len(content)) + kind + content + struct.pack(">I", checksum)

    header = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", header) + chunk(b"IDAT", b"") + chunk(b"IEND", b"")


def test_a_photo_above_250_megapixels_is_refused_before_decoding(tmp_path):
    path = tmp_path / "photo.png"
    path.write_bytes(png_header_only(20_000, 20_000))

    with pytest.raises(UnreadablePhoto, match="20000 x 20000 pixels; more than 250 megapixels"):
        read_upright(path, longest_px=100)


@pytest.mark.slow
def test_a_108_megapixel_photo_opens(tmp_path):
    path = tmp_path / "photo.jpg"
    Image.new("RGB", (12_000, 9_000), (90, 120, 150)).save(path)

    assert inspect_file(path).width_px == 12_000
    assert read_upright(path, longest_px=256).shape == (192, 256, 3)
    assert read_upright(path).shape == (9_000, 12_000, 3)


@pytest.mark.parametrize("ending", [".jpg", ".png", ".webp"])
def test_the_camera_time_comes_with_its_zone(tmp_path, ending):
    path = write_photo(
        tmp_path / f"photo{ending}", four_corners(), taken="2026:03:21 15:03:51", offset="-03:30"
    )

    assert inspect_file(path).taken == TakenAt(SHUTTER, -210)


@pytest.mark.parametrize("offset", [None, "   :  ", "+9", "", "+77:00"])
def test_a_camera_that_names_no_zone_leaves_it_unknown(tmp_path, offset):
    path = write_photo(
        tmp_path / "photo.jpg", four_corners(), taken="2026:03:21 15:03:51", offset=offset
    )

    assert inspect_file(path).taken == TakenAt(SHUTTER, None)


@pytest.mark.parametrize(
    "taken",
    ["0000:00:00 00:00:00", "    :  :     :  :  ", "2026:13:40 12:00:00", b"\xff\xfe\x00", "soon"],
)
def test_an_unreadable_camera_time_is_no_time(tmp_path, taken):
    path = write_photo(tmp_path / "photo.jpg", four_corners(), taken=taken)

    assert inspect_file(path).taken is None


def test_a_camera_time_with_bytes_after_its_end_is_read(tmp_path):
    path = write_photo(tmp_path / "photo.jpg", four_corners(), taken=b"2026:03:21 15:03:51\0\0junk")

    assert inspect_file(path).taken == TakenAt(SHUTTER)


def test_broken_exif_does_not_keep_a_photo_from_opening(tmp_path):
    path = write_photo(tmp_path / "photo.jpg", four_corners(), taken="2026:03:21 15:03:51")
    whole = path.read_bytes()
    start = whole.index(b"Exif\0\0") + 6
    path.write_bytes(whole[: start + 4] + b"\xff\xff\xff\x7f" + whole[start + 8 :])

    assert read_upright(path).shape == (64, 96, 3)
    assert inspect_file(path).taken is None
