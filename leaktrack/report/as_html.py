"""Write a report as one page that needs nothing else: no script, no network, photos inside."""

import base64
from collections.abc import Callable, Iterator

from leaktrack.report.colors import DARK, LIGHT, Scheme, style_rules
from leaktrack.report.contents import ReportContents, Section, made_sentence
from leaktrack.report.html_blocks import block_markup
from leaktrack.report.markup import Markup, element, void

ReadPicture = Callable[[str], bytes]
"""Gives the JPEG bytes of a picture by the name of its file."""


def html(contents: ReportContents, style_sheet: str, read_picture: ReadPicture) -> str:
    """Return the whole page; for many photos, write ``html_pieces`` one by one instead."""
    return "".join(html_pieces(contents, style_sheet, read_picture))


def html_pieces(
    contents: ReportContents, style_sheet: str, read_picture: ReadPicture
) -> Iterator[str]:
    """Yield the page in pieces, none longer than one block with its photos.

    Args:
        contents: What the report says.
        style_sheet: CSS of the layout; colours are added here.
        read_picture: Called once for each picture, when its turn comes.
    """
    yield "<!DOCTYPE html>\n"
    yield '<html lang="en">\n'
    yield _head(contents, style_sheet)
    yield '<body><a class="skip" href="#report">Skip to the report</a>\n'
    yield _header(contents)
    yield _navigation(contents.sections)
    yield '<main id="report" tabindex="-1">\n'
    for number, section in enumerate(contents.sections, start=1):
        yield f'<section aria-labelledby="{_anchor(number)}">\n'
        yield element("h2", section.heading, id=_anchor(number))
        for index, block in enumerate(section.blocks):
            key = f"{number}-{index}"
            yield block_markup(block, key, lambda file: _data_url(read_picture(file)))
            yield "\n"
        yield "</section>\n"
    yield "</main>\n"
    yield _footer(contents)
    yield "</body></html>\n"


def _head(contents: ReportContents, style_sheet: str) -> Markup:
    return element(
        "head",
        void("meta", charset="utf-8"),
        void("meta", name="viewport", content="width=device-width, initial-scale=1"),
        void("meta", name="color-scheme", content="light dark"),
        # Nothing may be fetched, whatever gets into the page.
        void(
            "meta",
            http_equiv="Content-Security-Policy",
            content="default-src 'none'; img-src data:; style-src 'unsafe-inline'",
        ),
        void("meta", name="generator", content=contents.made_by),
        element("title", contents.title),
        element("style", Markup(_colors() + style_sheet)),
    )


def _colors() -> str:
    on_screen = "@media screen and (prefers-color-scheme: dark)"
    return f"{_variables(LIGHT)}\n{on_screen} {{\n{_variables(DARK)}\n}}\n"


def _variables(scheme: Scheme) -> str:
    names = (
        "paper",
        "sheet",
        "ink",
        "quiet",
        "line",
        "edge",
        "accent",
        "warning",
        "warning_sheet",
    )
    variables = "".join(f"--{name.replace('_', '-')}:{getattr(scheme, name)};" for name in names)
    return f":root{{{variables}}}\n{style_rules(scheme)}"


def _header(contents: ReportContents) -> Markup:
    return element(
        "header",
        element("p", contents.made_by, class_="maker"),
        element("h1", contents.title),
        element("p", contents.description, class_="lead") if contents.description else None,
        element(
            "p",
            made_sentence(contents),
            class_="quiet",
        ),
    )


def _navigation(sections: tuple[Section, ...]) -> Markup:
    links = (
        element("li", element("a", section.heading, href=f"#{_anchor(number)}"))
        for number, section in enumerate(sections, start=1)
    )
    return element("nav", element("ul", *links), aria_label="Parts of this report")


def _footer(contents: ReportContents) -> Markup:
    text = f"{contents.title}. Made by {contents.made_by}."
    return element("footer", element("p", text))


def _anchor(number: int) -> str:
    return f"part-{number}"


def _data_url(jpeg: bytes) -> str:
    return f"data:image/jpeg;base64,{base64.b64encode(jpeg).decode('ascii')}"
