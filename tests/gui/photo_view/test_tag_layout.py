"""Tags of marks keep clear of each other and of what they point at."""

from itertools import combinations

import pytest

from leaktrack.gui.photo_view.tag_layout import Box, tag_boxes

FRAME = Box(0, 0, 800, 600)
SIZE = (100, 24)


def test_a_lone_tag_stands_close_by_up_and_to_the_right():
    box = tag_boxes([(400.1, 300.2)], [SIZE], FRAME)[0]

    assert 400 < box.left < 430
    assert 260 < box.top + box.height < 300


def test_tags_of_neighbours_do_not_cover_each_other():
    places = [(300 + 12 * number, 300) for number in range(8)]

    boxes = tag_boxes(places, [SIZE] * 8, FRAME)

    assert [a.overlap(b) for a, b in combinations(boxes, 2)] == [0] * 28


def test_a_tag_at_the_corner_stays_inside_the_photo():
    box = tag_boxes([(795, 4)], [SIZE], FRAME)[0]

    assert box.overlap(FRAME) == 100 * 24


def test_even_among_hundreds_each_tag_stays_inside_the_photo():
    places = [(float(number % 25 * 30), float(number // 25 * 30)) for number in range(500)]

    boxes = tag_boxes(places, [SIZE] * 500, FRAME)

    assert min(box.overlap(FRAME) for box in boxes) == pytest.approx(100 * 24)


def test_a_tag_keeps_off_the_numbers_of_bolts():
    bolt = (430.0, 280.0)

    box = tag_boxes([(400, 300)], [SIZE], FRAME, [bolt])[0]

    assert box.overlap(Box(bolt[0] - 9, bolt[1] - 9, 18, 18)) == 0
