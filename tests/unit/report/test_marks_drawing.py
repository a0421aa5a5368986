import re
from itertools import combinations
from xml.etree import ElementTree
from xml.etree.ElementTree import Element

import pytest

from leaktrack.model.leak import SeepageGrade
from leaktrack.report.contents import Picture, Place, ShownMark
from leaktrack.report.marks_drawing import Box, marks_drawing, view_size

CROWD = tuple(
    ShownMark(number, SeepageGrade.HEAVY_SEEP, Place(0.5 + number * 0.01, 0.5))
    for number in range(1, 9)
)
AT_THE_EDGES = tuple(
    ShownMark(number, SeepageGrade.STREAM, place)
    for number, place in enumerate((Place(0, 0), Place(1, 0), Place(0, 1), Place(1, 1)), start=1)
)


def drawn(*marks: ShownMark, width_px: int = 2000, height_px: int = 1500) -> Element:
    picture = Picture("p.jpg", width_px, height_px, "", "", marks)
    return ElementTree.fromstring(f"<svg>{marks_drawing(picture)}</svg>")


def tags(svg: Element) -> list[Box]:
    return [
        Box(*(float(rect.get(name, "")) for name in ("x", "y", "width", "height")))
        for rect in svg.iter("rect")
        if rect.get("stroke")
    ]


def test_the_drawing_has_the_shape_of_the_photo():
    assert view_size(Picture("p.jpg", 4000, 3000, "", "")) == (1600, 1200)
    assert view_size(Picture("p.jpg", 300, 600, "", "")) == (800, 1600)


def test_an_outline_lies_where_it_lies_in_the_photo():
    outline = (Place(0.25, 0.5), Place(0.5, 0.5), Place(0.25, 0.75))

    paths = drawn(ShownMark(1, SeepageGrade.SEEP, None, outline)).iter("path")

    assert next(paths).get("d") == "M400.0 600.0L800.0 600.0L400.0 900.0Z"


def test_each_line_is_double_so_that_it_shows_on_any_photo():
    strokes = [path.get("stroke") for path in drawn(CROWD[0]).iter("path")]

    assert strokes == ["#16181A", "#FFFFFF"]


def test_a_source_is_a_ring_and_a_mark_without_one_has_none():
    without = ShownMark(1, SeepageGrade.SEEP, None, (Place(0, 0), Place(1, 0), Place(1, 1)))

    assert len(list(drawn(CROWD[0]).iter("circle"))) == 2
    assert not list(drawn(without).iter("circle"))


def test_a_mark_that_the_photo_does_not_show_is_not_drawn():
    assert len(drawn(ShownMark(3, SeepageGrade.NOT_SEEN, None))) == 0


def test_a_tag_names_leak_and_grade_in_words():
    texts = [text.text for text in drawn(CROWD[2]).iter("text")]

    assert texts == ["3", "3 heavy seep"]


def test_tags_of_a_crowd_of_marks_do_not_cover_each_other():
    boxes = tags(drawn(*CROWD))

    assert len(boxes) == len(CROWD)
    assert not any(one.overlaps(other) for one, other in combinations(boxes, 2))


@pytest.mark.parametrize(("width_px", "height_px"), [(2000, 1500), (1500, 2000)])
def test_tags_stay_inside_the_photo(width_px, height_px):
    width, height = view_size(Picture("p.jpg", width_px, height_px, "", ""))

    boxes = tags(drawn(*AT_THE_EDGES, width_px=width_px, height_px=height_px))

    assert all(box.left >= 0 and box.left + box.width <= width for box in boxes)
    assert all(box.top >= 0 and box.top + box.height <= height for box in boxes)


def test_a_hundred_marks_at_one_place_are_still_drawn():
    marks = [ShownMark(n, SeepageGrade.DRIP, Place(0.5, 0.5)) for n in range(100)]

    assert len(tags(drawn(*marks))) == 100


def test_numbers_in_the_drawing_are_plain():
    picture = Picture("p.jpg", 1234, 777, "", "", CROWD)

    assert not re.search(r"nan|inf|e[+-]\d", marks_drawing(picture))
