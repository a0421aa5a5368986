"""Make the page and the PDF of findings, as the program does, with grey photos."""

import io
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from xml.etree import ElementTree
from xml.etree.ElementTree import Element

import pikepdf
from PIL import Image

from leaktrack.report.as_html import html
from leaktrack.report.as_pdf import Paper, pdf
from leaktrack.report.composing import composed
from leaktrack.report.findings import Findings

LAYOUT = Path(__file__).parents[3] / "resources" / "report"


@dataclass(frozen=True)
class GreyPictures:
    """Gives the bytes of a grey JPEG for every name."""

    width_px: int = 500
    height_px: int = 400

    def __call__(self, _file: str) -> bytes:
        """Return the JPEG's bytes."""
        file = io.BytesIO()
        Image.new("RGB", (self.width_px, self.height_px), "grey").save(file, "JPEG")
        return file.getvalue()


def page_text(findings: Findings) -> str:
    """Return the page."""
    style_sheet = (LAYOUT / "report.css").read_text(encoding="utf-8")
    return html(composed(findings), style_sheet, GreyPictures())


def page(findings: Findings) -> Element:
    """Return the page as a tree; it is well-formed XML as well, so any parser takes it."""
    text = page_text(findings).removeprefix("<!DOCTYPE html>\n")
    return ElementTree.fromstring(text)


def pdf_file(findings: Findings, folder: Path, paper: Paper = "A4") -> Path:
    """Return the PDF's file in a folder."""
    for picture in findings.pictures.values():
        (folder / picture.file).write_bytes(GreyPictures()(picture.file))
    file = folder / "report.pdf"
    template = (LAYOUT / "report.typ").read_bytes()
    file.write_bytes(pdf(composed(findings), paper, template, folder))
    return file


def tagged(document: pikepdf.Pdf) -> Iterator[tuple[str, pikepdf.Dictionary]]:
    """Yield every tagged element of a PDF with its kind, such as "/Figure"."""
    waiting = [document.Root.StructTreeRoot.K]
    while waiting:
        item = waiting.pop()
        if isinstance(item, pikepdf.Array):
            waiting.extend(item)
        elif isinstance(item, pikepdf.Dictionary):
            if "/S" in item:
                yield str(item.S), item
            waiting.append(item.get("/K"))
