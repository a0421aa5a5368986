import re
from dataclasses import replace
from datetime import UTC
from xml.etree import ElementTree
from xml.etree.ElementTree import Element

import pytest

from leaktrack.model.joint_strip import JointStrip
from leaktrack.report.strip_drawing import strip_drawing, strip_sentences
from leaktrack.workflows.gather_beads import strip_bead
from tests.beads import a_bead_audit
from tests.unit.report import sample

STRIP = sample.FINDINGS.strips[0]
SEAL, *LOOKS = STRIP.rows
LEFT, RIGHT = 265.0, 975.0


def sealed(**audit) -> JointStrip:
    bead = strip_bead(a_bead_audit(stations=(1.0, 11.0), **audit), None)
    return replace(STRIP, rows=(replace(SEAL, beads=(bead,), cured_h=30.0), *LOOKS))


def drawn(strip: JointStrip) -> Element:
    svg, _ = strip_drawing(strip, UTC)
    return ElementTree.fromstring(f"<svg>{svg}</svg>")


def ribbons(svg: Element) -> list[tuple[float, float]]:
    """Left and right end of each shape of the bead."""
    ends = []
    for path in svg.iter("path"):
        if path.get("class") == "d-quiet d-ink-line":
            xs = [float(x) for x in re.findall(r"[ML]([\d.]+) ", path.get("d", ""))]
            ends.append((min(xs), max(xs)))
    return sorted(ends)


def texts(svg: Element) -> list[str]:
    return [text.text or "" for text in svg.iter("text")]


def at(station: float) -> float:
    return LEFT + (station - 1) / 10 * (RIGHT - LEFT)


def test_a_continuous_bead_is_one_ribbon_from_end_to_end():
    (ends,) = ribbons(drawn(sealed()))

    assert ends == pytest.approx((LEFT, RIGHT), abs=1)


def test_a_gap_parts_the_ribbon_where_it_is():
    before, after = ribbons(drawn(sealed(gaps=((120.0, 130.0),))))

    assert before[1] == pytest.approx(at(4.0), abs=2)
    assert after[0] == pytest.approx(at(4.25), abs=2)


def test_each_kind_of_fault_has_a_word_and_a_shape_of_its_own():
    svg = drawn(sealed(gaps=((40, 45),), thins=((150, 160),), thicks=((280, 290),)))

    assert {"gap", "thin", "thick"} <= set(texts(svg))
    signs = [path.get("class") for path in svg.iter("path") if "Z" in path.get("d", "")]
    assert signs.count("d-ink d-ink-line") == 1  # the full triangle of the gap
    assert signs.count("d-paper d-ink-line") == 2


def test_a_column_leads_from_a_gap_to_every_look_at_its_seal_but_none_from_a_thick_place():
    svg = drawn(sealed(gaps=((120.0, 130.0),), thicks=((300, 310),)))

    columns = [rect for rect in svg.iter("rect") if rect.get("class") == "d-warning-sheet"]
    assert len(columns) == len(LOOKS)
    assert {round(float(each.get("x", ""))) for each in columns} == {round(at(4.0))}


def test_what_cannot_be_read_is_a_question_and_no_gap():
    svg = drawn(sealed(glares=((200.0, 220.0),)))

    assert "?" in texts(svg)
    assert "gap" not in texts(svg)


@pytest.mark.parametrize("has_bead", [True, False])
def test_a_bolt_that_no_tightening_names_is_struck_at_its_seal(has_bead):
    seal = replace(sealed().rows[0] if has_bead else SEAL, untightened=(4,))
    strip = replace(STRIP, rows=(seal, *LOOKS))

    svg = drawn(strip)

    (ring,) = [each for each in svg.iter("circle") if "d-warning-line" in each.get("class", "")]
    assert float(ring.get("cx", "")) == at(4)
    assert "no tightening recorded for bolt 4" in strip_sentences(strip, UTC)


def test_allowed_widths_and_cure_stand_beside_the_seal():
    assert {"ran after 30 h", "2 to 4 mm"} <= set(texts(drawn(sealed())))


def test_the_drawing_is_as_high_as_its_rows():
    _, without = strip_drawing(STRIP, UTC)
    _, with_bead = strip_drawing(sealed(), UTC)

    assert with_bead - without == 92 - 30


def test_the_bead_is_told_in_words_too():
    told = strip_sentences(sealed(gaps=((120.0, 130.0),), glares=((200.0, 220.0),)), UTC)

    assert "Its bead: gap, 10.0 mm long, at bolt 4.1; cannot be read (glare) at bolt 6.2." in told


def test_a_sound_bead_is_told_in_a_word():
    assert "Its bead: continuous." in strip_sentences(sealed(), UTC)


def test_a_doubt_is_drawn_below_its_tick_and_told():
    mark = replace(LOOKS[-1].marks[0], sigma=0.1, sigma_mm=4.0)
    strip = replace(STRIP, rows=(replace(LOOKS[-1], marks=(mark,)),))

    svg = drawn(strip)

    bars = [
        path.get("d", "")
        for path in svg.iter("path")
        if path.get("class") == "d-ink-line" and path.get("stroke-width") == "1.4"
    ]
    start, end = (float(x) for x in re.search(r"M([\d.]+) [\d.]+H([\d.]+)", bars[0]).groups())
    assert end - start == pytest.approx(4 * 0.1 / 10 * (RIGHT - LEFT), abs=0.2)
    assert "± 8 mm" in strip_sentences(strip, UTC)
