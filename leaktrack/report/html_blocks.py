"""Write each kind of block of a report as HTML."""

from collections.abc import Callable
from typing import assert_never

from leaktrack.model.words import grade_words
from leaktrack.report import grade_sign
from leaktrack.report.contents import (
    Block,
    Bullets,
    Cell,
    Drawing,
    Facts,
    Gallery,
    Paragraph,
    Picture,
    Subheading,
    Table,
    Warnings,
)
from leaktrack.report.marks_drawing import marks_drawing, view_size
from leaktrack.report.markup import Markup, element, joined, void

PictureUrl = Callable[[str], str]
"""Gives the address of a picture by the name of its file."""


def block_markup(block: Block, key: str, picture_url: PictureUrl) -> Markup:
    """Return a block as HTML.

    Args:
        block: What to write.
        key: Unique in the document; ids are made of it.
        picture_url: Called once for each picture in the block.
    """
    match block:
        case Paragraph() | Subheading() | Facts() | Bullets():
            return _words(block)
        case Table():
            return _table(block, key)
        case Drawing():
            return _drawing(block, key)
        case Warnings():
            return _warnings(block)
        case Picture() | Gallery():
            return _pictures(block, picture_url)
        case _:
            assert_never(block)


def _words(block: Paragraph | Subheading | Facts | Bullets) -> Markup:
    match block:
        case Paragraph():
            return element("p", block.text, class_="quiet" if block.is_quiet else None)
        case Subheading():
            return element(f"h{block.level}", block.text)
        case Facts():
            return _facts(block)
        case Bullets():
            items = (element("li", item) for item in block.items)
            return element("ol" if block.is_numbered else "ul", *items)
        case _:
            assert_never(block)


def _facts(facts: Facts) -> Markup:
    pairs = (
        element("div", element("dt", name), element("dd", value)) for name, value in facts.rows
    )
    return element("dl", *pairs, class_="facts")


def _table(table: Table, key: str) -> Markup:
    head = element("tr", *(_column(table, index) for index in range(len(table.columns))))
    body = (element("tr", *(_cell(cell) for cell in row)) for row in table.rows)
    caption_id = f"table-{key}"
    return element(
        "div",
        element(
            "table",
            element("caption", table.caption, id=caption_id),
            element("thead", head),
            element("tbody", *body),
        ),
        # A wide table scrolls by itself, so it must be reachable by keyboard.
        class_="wide",
        role="group",
        aria_labelledby=caption_id,
        tabindex="0",
    )


def _column(table: Table, index: int) -> Markup:
    has_numbers = bool(table.rows) and table.rows[0][index].is_number
    return element(
        "th", table.columns[index], scope="col", class_="number" if has_numbers else None
    )


def _cell(cell: Cell) -> Markup:
    content = joined(_grade(cell), cell.text)
    if cell.is_heading:
        return element("th", content, scope="row")
    return element("td", content, class_="number" if cell.is_number else None)


def _grade(cell: Cell) -> Markup | None:
    if cell.grade is None:
        return None
    sign = element(
        "svg",
        grade_sign.grade_sign(cell.grade),
        viewBox=f"0 0 {grade_sign.WIDTH:g} {grade_sign.HEIGHT:g}",
        class_="sign",
        aria_hidden="true",
    )
    words = element("span", sign, " ", grade_words(cell.grade), class_="grade")
    return joined(words, " " if cell.text else None)


def _drawing(drawing: Drawing, key: str) -> Markup:
    title_id = f"drawing-{key}"
    svg = element(
        "svg",
        element("title", drawing.alternative, id=title_id),
        drawing.svg,
        viewBox=f"0 0 {drawing.width:g} {drawing.height:g}",
        role="img",
        aria_labelledby=title_id,
    )
    scrolled = element(
        "div", svg, class_="chart", role="group", aria_label=drawing.caption, tabindex="0"
    )
    return element("figure", scrolled, element("figcaption", drawing.caption), class_="drawing")


def _warnings(warnings: Warnings) -> Markup:
    items = (element("li", sentence) for sentence in warnings.sentences)
    return element(
        "div",
        element("p", element("strong", "Caution")),
        element("ul", *items),
        element("p", warnings.defer),
        class_="caution",
    )


def _pictures(block: Picture | Gallery, picture_url: PictureUrl) -> Markup:
    if isinstance(block, Picture):
        return _figure(block, picture_url)
    figures = (_figure(picture, picture_url) for picture in block.pictures)
    return element("div", *figures, class_="gallery small" if block.is_small else "gallery")


def _figure(picture: Picture, picture_url: PictureUrl) -> Markup:
    image = void(
        "img",
        src=picture_url(picture.file),
        alt=picture.alternative,
        width=picture.width_px,
        height=picture.height_px,
    )
    return element(
        "figure",
        element("div", image, _overlay(picture), class_="photo"),
        element("figcaption", picture.caption),
    )


def _overlay(picture: Picture) -> Markup | None:
    if not picture.marks:
        return None
    width, height = view_size(picture)
    return element(
        "svg",
        marks_drawing(picture),
        viewBox=f"0 0 {width:.0f} {height:.0f}",
        aria_hidden="true",  # the picture's alternative and the table below say the same
    )
