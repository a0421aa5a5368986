import base64
from collections import Counter
from dataclasses import replace

import pytest

from leaktrack.report.as_html import html_pieces
from leaktrack.report.colors import DARK, LIGHT, contrast, fill, ink_on
from leaktrack.report.composing import composed
from tests.unit.report import sample
from tests.unit.report.documents import GreyPictures, page, page_text
from tests.unit.report.sample import FINDINGS

NASTY = '<script>alert(1)</script> & "x" <b>bold</b> *bold* #panic()'


def nasty_findings():
    """Return findings with markup in every kind of text that a person may type."""
    leak = replace(sample.LEAK_1, note=NASTY)
    return replace(
        FINDINGS,
        project=NASTY,
        engine=replace(sample.ENGINE, name=NASTY, description=NASTY),
        zones=(replace(sample.COVER, name=NASTY), sample.REAR),
        joints=(replace(sample.COVER_JOINT, name=NASTY), sample.REAR_JOINT),
        marks=(replace(sample.MARK_1, note=NASTY), sample.MARK_2),
        histories=(replace(FINDINGS.histories[0], leak=leak), *FINDINGS.histories[1:]),
        causes=(replace(sample.CAUSE, reason=NASTY, decided_by=NASTY),),
        photos=(replace(sample.COVER_PHOTO, original_name=NASTY), *FINDINGS.photos[1:]),
        strips=(
            replace(
                FINDINGS.strips[0],
                joint=replace(sample.COVER_JOINT, name=NASTY),
                rows=tuple(
                    replace(row, inspection=replace(sample.LAST, title=NASTY)) if row.marks else row
                    for row in FINDINGS.strips[0].rows
                ),
            ),
        ),
    )


def test_the_page_says_its_language_and_has_one_main_heading():
    tree = page(FINDINGS)

    assert tree.get("lang") == "en"
    assert [heading.text for heading in tree.iter("h1")] == ["Leak report: W7"]
    assert tree.findtext("head/title") == "Leak report: W7"


def test_the_page_has_landmarks_and_a_link_that_skips_to_its_text():
    body = page(FINDINGS).find("body")

    assert body is not None
    assert [child.tag for child in body] == ["a", "header", "nav", "main", "footer"]
    assert body[0].get("href") == f"#{body[3].get('id')}"


def test_the_page_needs_nothing_from_elsewhere_and_runs_nothing():
    tree = page(FINDINGS)
    names = Counter(element.tag for element in tree.iter())
    sources = [element.get("src") or "" for element in tree.iter("img")]
    links = [element.get("href") or "" for element in tree.iter("a")]

    assert names["script"] == names["link"] == names["iframe"] == 0
    assert all(source.startswith("data:image/jpeg;base64,") for source in sources)
    assert all(link.startswith("#") for link in links)


def test_every_link_inside_the_page_leads_somewhere():
    tree = page(FINDINGS)
    ids = [element.get("id") for element in tree.iter() if element.get("id")]

    assert {element.get("href", "")[1:] for element in tree.iter("a")} <= set(ids)
    assert max(Counter(ids).values()) == 1


def test_a_photo_is_the_very_jpeg_that_was_handed_over():
    source = next(page(FINDINGS).iter("img")).get("src") or ""

    assert base64.b64decode(source.partition(",")[2]) == GreyPictures()("any")


def test_every_photo_has_an_alternative_and_a_caption():
    figures = list(page(FINDINGS).iter("figure"))
    photos = [figure for figure in figures if figure.find("div/img") is not None]

    assert len(photos) == 6
    assert all((figure.find("div/img").get("alt") or "").strip() for figure in photos)
    assert all(figure.find("figcaption") is not None for figure in figures)


def test_a_chart_carries_its_words():
    chart = next(page(FINDINGS).iter("svg"), None)
    charts = [svg for svg in page(FINDINGS).iter("svg") if svg.get("role") == "img"]

    assert chart is not None
    assert charts[0].findtext("title", "").startswith("Bank 1 cover joint, bolts 1 to 11")


def test_marks_lie_over_the_photo_and_are_hidden_from_those_who_read_the_table():
    overlay = next(page(FINDINGS).iterfind(".//div[@class='photo']/svg"))

    assert overlay.get("aria-hidden") == "true"
    assert [text.text for text in overlay.iter("text")] == ["1", "4 drip", "2", "2 seep"]


def test_a_grade_is_a_word_and_a_digit_and_never_colour_alone():
    words = [" ".join(span.itertext()).split() for span in page(FINDINGS).iter("span")]

    assert ["4", "4", "drip"] in words
    assert ["not", "seen"] in words


def test_tables_have_captions_and_headings_with_their_scope():
    tables = list(page(FINDINGS).iter("table"))

    assert all(table.findtext("caption") for table in tables)
    assert {cell.get("scope") for table in tables for cell in table.iterfind("thead/tr/th")} == {
        "col"
    }
    assert {cell.get("scope") for table in tables for cell in table.iterfind("tbody/tr/th")} == {
        "row"
    }


def test_markup_that_somebody_typed_stands_there_as_text():
    tree = page(nasty_findings())
    shown = "".join(tree.itertext())

    assert not list(tree.iter("script")) + list(tree.iter("b"))
    assert shown.count(NASTY) > 10
    assert NASTY in {image.get("alt", "").split(", 4 April")[0] for image in tree.iter("img")}


def test_control_characters_do_not_reach_the_page():
    noisy = replace(FINDINGS, project="a\x00b\x1b[31m\ud800c\ue000")

    assert "Project ab[31mc." in page_text(noisy)


def test_the_page_comes_in_pieces_so_that_photos_need_not_be_in_memory_together():
    asked: list[str] = []

    def read_picture(file: str) -> bytes:
        asked.append(file)
        return b"x" * 1000

    pieces = html_pieces(composed(FINDINGS), "", read_picture)
    before_any = next(pieces)

    assert before_any.startswith("<!DOCTYPE html>")
    assert asked == []
    assert max(len(piece) for piece in pieces) < 12_000
    assert len(asked) == 6


@pytest.mark.parametrize("scheme", [LIGHT, DARK], ids=["light", "dark"])
def test_colours_stand_off_their_ground(scheme):
    # WCAG 2.2: 1.4.3 asks for 4.5 for text, 1.4.11 for 3 for graphics that carry meaning.
    text = [scheme.ink, scheme.quiet, scheme.accent]

    assert min(contrast(color, scheme.paper) for color in text) >= 4.5
    assert min(contrast(color, scheme.sheet) for color in text) >= 4.5
    assert contrast(scheme.warning, scheme.warning_sheet) >= 4.5
    assert contrast(scheme.edge, scheme.paper) >= 3
    assert min(contrast(color, ink_on(color)) for color in scheme.grades) >= 4.5
    assert contrast(scheme.ink, scheme.unseen) >= 4.5


@pytest.mark.parametrize("scheme", [LIGHT, DARK], ids=["light", "dark"])
def test_the_wetter_a_grade_the_further_its_colour_stands_off_the_ground(scheme):
    contrasts = [contrast(color, scheme.paper) for color in scheme.grades]

    assert contrasts == sorted(contrasts)


def test_not_seen_has_a_colour_that_no_grade_has():
    unseen = fill(LIGHT, sample.UNSEEN_MARK.grade)

    assert unseen not in LIGHT.grades
