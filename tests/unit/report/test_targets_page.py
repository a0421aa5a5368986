"""The page of targets is true to size: read back as geometry, and rendered and measured."""

import re
import shutil
import subprocess
from datetime import UTC, datetime

import cv2
import numpy as np
import pikepdf
import pytest

from leaktrack.imaging.measuring.cornering import fitted_corners, white_cells
from leaktrack.imaging.measuring.targeting import squares_seen
from leaktrack.places import resource
from leaktrack.report.targets_drawing import ruler_drawing, target_drawing
from leaktrack.report.targets_page import placed_targets, targets_page
from tests.unit.report.documents import tagged

DPI = 300
PX_PER_MM = DPI / 25.4
# ISO 216: A4 is 210 x 297 mm. Letter is 8.5 x 11 inches (ANSI/ASME Y14.1, size A).
PAPER_MM = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
MADE_AT = datetime(2026, 4, 4, 12, tzinfo=UTC)


def page(paper, side_mm=30.0):
    template = resource("report") / "targets.typ"
    return targets_page(paper, side_mm, white_cells, template.read_bytes(), MADE_AT)


@pytest.fixture(scope="module", params=["A4", "Letter"])
def printed(request, tmp_path_factory):
    """Return paper, PDF file and the page as a printer would lay it down: grey, 300 dpi."""
    folder = tmp_path_factory.mktemp("targets")
    path = folder / "targets.pdf"
    path.write_bytes(page(request.param))
    render = shutil.which("pdftoppm")
    if render is None:
        pytest.skip("pdftoppm is not here to render the page")
    subprocess.run([render, "-r", str(DPI), "-gray", str(path), str(folder / "page")], check=True)
    (file,) = folder.glob("page*.pgm")
    header, _, pixels = file.read_bytes().partition(b"\n255\n")
    width, height = map(int, header.split()[-2:])
    grey = np.frombuffer(pixels, np.uint8).reshape(height, width)
    return request.param, path, np.ascontiguousarray(grey)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_page_has_the_size_of_its_paper(paper, tmp_path):
    (tmp_path / "page.pdf").write_bytes(page(paper))

    with pikepdf.open(tmp_path / "page.pdf") as opened:
        boxes = [[float(value) for value in one.mediabox] for one in opened.pages]

    assert len(boxes) == 1
    # PDF counts in points of 1/72 inch: ISO 32000-1, 8.3.2.3.
    size_mm = [value / 72 * 25.4 for value in boxes[0]]
    assert size_mm == pytest.approx([0, 0, *PAPER_MM[paper]], abs=0.05)


def test_every_target_is_found_at_its_size(printed):
    paper, _, grey = printed
    rgb = np.repeat(grey[:, :, None], 3, axis=2)
    dictionary = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_4X4_50)
    corners, markers, _ = cv2.aruco.ArucoDetector(dictionary).detectMarkers(rgb)
    expected = {target.marker: target.side_mm for target in placed_targets(paper, 30)}

    found = {
        int(marker): fitted_corners(grey, square.reshape(4, 2).astype(float), int(marker))
        for square, marker in zip(corners, np.ravel(markers), strict=True)
    }

    assert found.keys() == expected.keys()
    for marker, fitted in found.items():
        sides = np.linalg.norm(fitted.corners_px - np.roll(fitted.corners_px, -1, axis=0), axis=1)
        assert sides / PX_PER_MM == pytest.approx(expected[marker], abs=0.1)


def test_the_rulers_are_100_mm_both_ways(printed):
    paper, _, grey = printed
    targets = placed_targets(paper, 30)
    top_px = round((targets[0].y_mm - 15) * PX_PER_MM)
    across = grey[top_px : top_px + 12, : round(140 * PX_PER_MM)].min(axis=0) < 128
    right_px = round((PAPER_MM[paper][0] - 14 - 12 + 1) * PX_PER_MM)
    upright = grey[round(targets[0].y_mm * PX_PER_MM) :, right_px : right_px + 12].min(axis=1) < 128

    for is_dark in (across, upright):
        places = np.flatnonzero(is_dark)
        ticks = [
            group.mean() for group in np.split(places, np.flatnonzero(np.diff(places) > 1) + 1)
        ]
        assert len(ticks) == 101
        assert (ticks[-1] - ticks[0]) / PX_PER_MM == pytest.approx(100, abs=0.1)


def test_a_target_has_its_white_margin(printed):
    paper, _, grey = printed

    for target in placed_targets(paper, 30):
        least = round(target.side_mm / 6 * PX_PER_MM) - 2  # one cell, less a soft edge
        left = round((target.x_mm + target.margin_mm) * PX_PER_MM)
        middle = round((target.y_mm + target.whole_mm / 2) * PX_PER_MM)
        assert grey[middle, left - least : left - 2].min() > 200


def test_the_search_of_the_program_finds_all_targets(printed):
    paper, _, grey = printed

    found = squares_seen(np.repeat(grey[:, :, None], 3, axis=2))

    assert len(found) == len(placed_targets(paper, 30))


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("side_mm", [10, 15, 20, 30, 47.5, 80])
def test_targets_lie_apart_and_on_the_paper(paper, side_mm):
    targets = placed_targets(paper, side_mm)
    width, height = PAPER_MM[paper]

    assert targets[0].side_mm == side_mm
    assert [target.marker for target in targets] == list(range(len(targets)))
    assert len(targets) <= 50  # as many as the dictionary DICT_4X4_50 has
    for one in targets:
        assert one.x_mm + one.whole_mm < width - 14 - 12
        assert one.y_mm + one.whole_mm + 6 <= height - 14
        for other in targets[one.marker + 1 :]:
            is_apart = abs(one.x_mm - other.x_mm) > min(one.whole_mm, other.whole_mm) or abs(
                one.y_mm - other.y_mm
            ) > min(one.whole_mm, other.whole_mm)
            assert is_apart


def test_the_page_is_tagged_and_each_picture_has_an_alternative(tmp_path):
    (tmp_path / "page.pdf").write_bytes(page("A4"))

    with pikepdf.open(tmp_path / "page.pdf") as opened:
        alternatives = [str(item.Alt) for kind, item in tagged(opened) if kind == "/Figure"]

        assert bool(opened.Root.MarkInfo.Marked)
        assert opened.Root.Lang == "en"
    assert {"Ruler of 100 mm, across the page", "Ruler of 100 mm, upright"} < set(alternatives)
    assert sum(text.startswith("Target ") for text in alternatives) == len(placed_targets("A4", 30))


def test_the_drawing_is_the_generator_s_marker():
    # OpenCV's own marker, drawn from the SVG's path at 10 px to a cell.
    svg = target_drawing(white_cells(17), 6, 1)
    drawn = np.zeros((60, 60), np.uint8)
    for x, y in re.findall(r"M([\d.]+) ([\d.]+)h1", svg):
        col, row = round(float(x)) - 1, round(float(y)) - 1
        drawn[row * 10 : row * 10 + 10, col * 10 : col * 10 + 10] = 255

    dictionary = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_4X4_50)
    assert (drawn == cv2.aruco.generateImageMarker(dictionary, 17, 60)).all()


def test_a_ruler_has_a_tick_for_each_millimetre():
    assert ruler_drawing(is_upright=False).count("<line") == 101
