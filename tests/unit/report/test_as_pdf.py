import itertools
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pikepdf
import pytest

from leaktrack.model.errors import ReportFailed
from leaktrack.report.as_pdf import pdf
from leaktrack.report.composing import composed
from leaktrack.report.showable import STAND_IN
from tests.unit.report.documents import pdf_file, tagged
from tests.unit.report.sample import FINDINGS
from tests.unit.report.sample_records import ENGINE
from tests.unit.report.test_as_html import NASTY, nasty_findings

# What a PDF/UA-1 and PDF/A-2a file says of itself: ISO 14289-1 clause 5, ISO 19005-2 clause 6.6.4.
PDF_UA_PART = "{http://www.aiim.org/pdfua/ns/id/}part"
PDF_A_PART = "{http://www.aiim.org/pdfa/ns/id/}part"
PDF_A_LEVEL = "{http://www.aiim.org/pdfa/ns/id/}conformance"


@pytest.fixture(scope="module")
def document(tmp_path_factory):
    with pikepdf.open(pdf_file(FINDINGS, tmp_path_factory.mktemp("pdf"))) as opened:
        yield opened


def alternatives(opened: pikepdf.Pdf) -> list[str]:
    return [str(item.Alt) for kind, item in tagged(opened) if kind == "/Figure"]


def all_titles(items) -> Iterator[str]:
    for item in items:
        yield item.title
        yield from all_titles(item.children)


def shown_text(opened: pikepdf.Pdf) -> str:
    """Return what a reader aloud gets: the alternatives, titles of bookmarks and metadata."""
    with opened.open_outline() as outline:
        titles = list(all_titles(outline.root))
    return "\n".join([*alternatives(opened), *titles, str(opened.docinfo["/Title"])])


def test_the_pdf_keeps_to_the_standards_it_names(document):
    with document.open_metadata() as metadata:
        named = (metadata[PDF_UA_PART], metadata[PDF_A_PART], metadata[PDF_A_LEVEL])

    assert named == ("1", "2", "A")


def test_the_pdf_is_tagged_and_says_language_and_title(document):
    assert "/StructTreeRoot" in document.Root
    assert bool(document.Root.MarkInfo.Marked)
    assert document.Root.Lang == "en"
    assert bool(document.Root.ViewerPreferences.DisplayDocTitle)
    assert document.docinfo["/Title"] == "Leak report: W7"


def test_every_picture_has_an_alternative(document):
    assert sorted(alternatives(document)) == [
        "Bank 1 cover joint, bolts 1 to 11, unrolled. 7 March 2026: sealed. 14 March 2026: "
        "no marks. 4 April 2026: leak 1 at bolt 4.5, 4 drip; leak 2 at bolt 7, 2 seep.",
        "Bank 1 cover, 14 March 2026, Baseline, not yet run: no marks",
        "Bank 1 cover, 14 March 2026, Baseline, not yet run: no marks",
        "Bank 1 cover, 4 April 2026, After 4 hours: 2 marks: 1 drip, 1 seep",
        "Debris in the drain strainer, 1 photo",
        "Evidence of the sealing: Bank 1 cover joint, sealed 7 March 2026. "
        "cover_bead.jpg. whole bead, open",
        "Rear seal carrier, 21 March 2026, After 25 minutes on the stand: 1 mark: 1 not seen",
    ]


def test_tables_have_heading_cells_and_headings_have_levels(document):
    kinds = Counter(kind for kind, _ in tagged(document))

    assert kinds["/H1"] == 1
    assert kinds["/H2"] == len(composed(FINDINGS).sections)
    assert kinds["/Table"] == kinds["/THead"] == 9
    assert kinds["/TH"] >= 9 * 4


@pytest.mark.parametrize(("paper", "size"), [("A4", (595, 842)), ("Letter", (612, 792))])
def test_pages_have_the_size_that_was_asked_for(paper, size, tmp_path):
    # ISO 216 and ANSI Y14.1 in points of 1/72 inch.
    with pikepdf.open(pdf_file(FINDINGS, tmp_path, paper)) as opened:
        box = [float(edge) for edge in opened.pages[0].MediaBox]

    assert (round(box[2]), round(box[3])) == size


def test_markup_that_somebody_typed_stands_there_as_text(tmp_path):
    with pikepdf.open(pdf_file(nasty_findings(), tmp_path)) as opened:
        text = shown_text(opened)

    assert f"Leak report: {NASTY}" in text
    assert f"Leak 1, {NASTY}" in text
    assert f"{NASTY}, bolts 1 to 11, unrolled." in text


def test_a_character_that_no_font_shows_becomes_an_empty_square(tmp_path):
    # An unassigned hieroglyph-like script; no common font has Anatolian hieroglyphs.
    strange = replace(FINDINGS, engine=replace(ENGINE, name="W7 \U00014400\U00014401 Ж"))

    with pikepdf.open(pdf_file(strange, tmp_path)) as opened:
        title = str(opened.docinfo["/Title"])

    assert title == f"Leak report: W7 {STAND_IN}{STAND_IN} Ж"


def test_pictograms_that_are_joined_up_do_not_stop_the_report(tmp_path):
    joined = "\U0001f469\u200d\U0001f527 \U0001f1e9\U0001f1ea \u2764\ufe0f نص हिन्दी"

    file = pdf_file(replace(FINDINGS, engine=replace(ENGINE, name=joined)), tmp_path)

    assert file.read_bytes().startswith(b"%PDF-1.7")


def test_a_word_that_is_longer_than_a_line_is_broken_and_takes_lines_of_its_own(tmp_path):
    # Without a break, it would run off the page as one line, and no page would be added.
    long = replace(ENGINE, description="x" * 30_000)

    with pikepdf.open(pdf_file(replace(FINDINGS, engine=long), tmp_path)) as opened:
        assert len(opened.pages) >= 12


def test_the_same_findings_make_the_same_file(tmp_path):
    folders = [tmp_path / name for name in ("one", "two")]
    for folder in folders:
        folder.mkdir()

    files = [pdf_file(FINDINGS, folder).read_bytes() for folder in folders]

    assert files[0] == files[1]


def test_a_picture_that_is_not_there_is_a_failure_that_says_so(tmp_path):
    template = (Path(__file__).parents[3] / "resources/report/report.typ").read_bytes()

    with pytest.raises(ReportFailed, match="The PDF could not be made: file not found"):
        pdf(composed(FINDINGS), "A4", template, tmp_path)


def test_pages_name_the_project_the_date_and_their_number(document, tmp_path):
    # Text in the page's stream is glyph numbers; the artifacts say what kind of text it is.
    kinds = [
        [str(operand) for operand in operands]
        for page in document.pages
        for operands, operator in pikepdf.parse_content_stream(page)
        if str(operator) == "BDC" and "/Artifact" in map(str, operands)
    ]

    footers = [kind for kind in itertools.chain.from_iterable(kinds) if "Footer" in kind]
    assert len(footers) == len(document.pages)
