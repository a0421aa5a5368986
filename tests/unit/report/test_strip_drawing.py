from dataclasses import replace
from datetime import UTC
from itertools import pairwise
from xml.etree import ElementTree
from xml.etree.ElementTree import Element

from leaktrack.model.joint_strip import JointStrip
from leaktrack.model.leak import SeepageGrade
from leaktrack.report.strip_drawing import strip_drawing, strip_sentences
from tests.unit.report import sample

STRIP = sample.FINDINGS.strips[0]
LAST_ROW = STRIP.rows[-1]
MARK = LAST_ROW.marks[0]


def drawn(strip: JointStrip) -> Element:
    svg, _ = strip_drawing(strip, UTC)
    return ElementTree.fromstring(f"<svg>{svg}</svg>")


def texts(svg: Element) -> list[str]:
    return [text.text or "" for text in svg.iter("text")]


def leak_labels(svg: Element) -> list[float]:
    return [
        float(text.get("x", ""))
        for text in svg.iter("text")
        if (text.text or "").startswith("leak")
    ]


def with_marks(*marks) -> JointStrip:
    return replace(STRIP, rows=(replace(LAST_ROW, marks=marks),))


def test_bolts_are_numbered_and_evenly_spread():
    circles = [float(circle.get("cx", "")) for circle in drawn(STRIP).iter("circle")]
    steps = {round(right - left, 1) for left, right in pairwise(circles)}

    assert len(circles) == 11
    assert len(steps) == 1
    assert [text for text in texts(drawn(STRIP)) if text.isdigit() and len(text) > 1] == [
        "10",
        "11",
    ]


def test_a_closed_joint_ends_with_its_first_bolt_again():
    closed = replace(STRIP, joint=replace(STRIP.joint, is_closed=True), last=12.0)

    circles = list(drawn(closed).iter("circle"))
    numbers = [text for text in texts(drawn(closed)) if text == "1"]

    assert len(circles) == 12
    assert len(numbers) == 2


def test_a_source_stands_between_its_bolts():
    svg = drawn(with_marks(MARK))
    bolts = [float(circle.get("cx", "")) for circle in svg.iter("circle")]
    ticks = [
        path.get("d", "") for path in svg.iter("path") if "d-ink-line" in path.get("class", "")
    ]
    source = float(ticks[0][1:].split(" ")[0])

    assert source == round(bolts[3] + 0.46 * (bolts[4] - bolts[3]), 1)


def test_a_mark_has_its_grade_in_digits_and_its_leak_in_words():
    assert {"4", "leak 1, drip"} <= set(texts(drawn(with_marks(MARK))))


def test_what_no_photo_shows_has_a_ground_of_its_own():
    unseen = [rect for rect in drawn(STRIP).iter("rect") if rect.get("class") == "d-unseen"]

    assert len(unseen) == 2  # one below the seen stretch of each inspection


def test_a_dry_mark_has_no_wet_bar():
    dry = drawn(with_marks(replace(MARK, grade=SeepageGrade.DRY)))
    wet = drawn(with_marks(MARK))

    assert len(list(wet.iter("rect"))) - len(list(dry.iter("rect"))) == 1


def test_two_photos_of_one_leak_count_once_with_the_worse_grade():
    milder = replace(MARK, grade=SeepageGrade.STAIN, station=4.4)

    assert replace(LAST_ROW, marks=(milder, MARK)).shown_marks == [MARK]


def test_signs_of_leaks_close_together_stand_beside_each_other():
    marks = [
        replace(MARK, leak_number=number, station=4.4 + number * 0.02) for number in range(1, 6)
    ]

    lefts = leak_labels(drawn(with_marks(*marks)))

    assert min(right - left for left, right in pairwise(lefts)) > 60


def test_a_sign_at_the_far_end_stays_on_the_chart():
    far = replace(MARK, station=11.0, wet_from=11.0, wet_to=11.0)

    assert leak_labels(drawn(with_marks(far)))[0] < 940


def test_an_inspection_without_a_line_of_the_joint_is_not_told_as_dry():
    unseen = replace(STRIP, rows=(replace(LAST_ROW, marks=(), seen=()),))

    assert strip_sentences(unseen, UTC).endswith(
        "4 April 2026: no photo with the line of this joint."
    )


def test_a_joint_without_bolts_is_drawn_from_its_start_to_its_end():
    plain = replace(STRIP, bolts=(), first=0.0, last=1.0, rows=())

    assert len(list(drawn(plain).iter("circle"))) == 0
    assert strip_sentences(plain, UTC) == "Bank 1 cover joint, unrolled."
