"""Set a report as a PDF that machines can read aloud and archives can keep."""

import json
from dataclasses import asdict
from pathlib import Path
from typing import Any, Literal

from leaktrack.model.errors import ReportFailed
from leaktrack.model.leak import SeepageGrade, wetness
from leaktrack.model.words import grade_words
from leaktrack.report import grade_sign
from leaktrack.report.amounts import day
from leaktrack.report.colors import LIGHT, style_rules
from leaktrack.report.contents import (
    Block,
    Cell,
    Drawing,
    Gallery,
    Picture,
    ReportContents,
    Table,
    made_sentence,
)
from leaktrack.report.marks_drawing import marks_drawing, view_size
from leaktrack.report.markup import Markup, clean, element
from leaktrack.report.showable import STANDARDS, only_european, only_showable

Paper = Literal["A4", "Letter"]

_LONGEST_WORD = 28  # longer ones may break anywhere, as file names must in narrow columns
_BREAK_HERE = "\u200b"


def pdf(contents: ReportContents, paper: Paper, template: bytes, pictures: Path) -> bytes:
    """Return the report as a tagged PDF.

    Args:
        contents: What the report says.
        paper: Size of the pages.
        template: The typst source that lays it out.
        pictures: Folder with the JPEG files that the contents name.

    Raises:
        ReportFailed: The PDF could not be set.
    """
    import typst  # heavy: only when a PDF is wanted

    report = only_showable(_report(contents, paper))
    made_at = int(contents.made_at.timestamp())
    try:
        try:
            return _compiled(template, pictures, report, made_at)
        except typst.TypstError as error:
            if "could not be displayed" not in error.message:
                raise
            # Joined up, some characters ask for shapes that none of them asks for alone.
            return _compiled(template, pictures, only_european(report), made_at)
    except typst.TypstError as error:
        raise ReportFailed(
            f"The PDF could not be made: {error.message}. The web page of the report does not "
            "need it."
        ) from error


def _compiled(template: bytes, root: Path, report: dict[str, Any], made_at: int) -> bytes:
    import typst

    made = typst.Compiler(root=root).compile(
        input=template,
        format="pdf",
        pdf_standards=STANDARDS,
        sys_inputs={"report": json.dumps(report, ensure_ascii=False)},
        timestamp=made_at,
    )
    assert isinstance(made, bytes)  # asked for no file and for one document
    return made


def _report(contents: ReportContents, paper: Paper) -> dict[str, Any]:
    zone = contents.made_at.tzinfo
    at = contents.made_at
    return {
        "paper": paper,
        "title": _text(contents.title),
        "description": _text(contents.description),
        "project": _text(contents.project),
        "made_by": contents.made_by,
        "made": _text(made_sentence(contents)),
        "day": day(at, zone),
        "date": {"year": at.year, "month": at.month, "day": at.day},
        "colors": _colors(),
        "signs": {_grade_key(grade): _sign(grade) for grade in SeepageGrade},
        "sections": [
            {
                "heading": _text(section.heading),
                "blocks": [_block(block) for block in section.blocks],
            }
            for section in contents.sections
        ],
    }


def _colors() -> dict[str, str]:
    values = asdict(LIGHT)
    return {name.replace("_", "-"): text for name, text in values.items() if isinstance(text, str)}


def _block(block: Block) -> dict[str, Any]:
    """Return a block as data: its fields, and what the template cannot work out itself."""
    match block:
        case Picture():
            data = _picture(block)
        case Gallery():
            data = {
                "pictures": [_picture(picture) for picture in block.pictures],
                "is_small": block.is_small,
            }
        case Drawing():
            svg = _svg(block.svg, block.width, block.height)
            data = {
                "svg": svg,
                "alternative": _text(block.alternative),
                "caption": _text(block.caption),
            }
        case Table():
            data = _cleaned(asdict(block)) | {
                "rows": [[_cell(cell) for cell in row] for row in block.rows]
            }
        case _:
            data = _cleaned(asdict(block))
    return data | {"kind": type(block).__name__}


def _picture(picture: Picture) -> dict[str, Any]:
    overlay = None
    if picture.marks:
        overlay = _svg(marks_drawing(picture), *view_size(picture))
    return {
        "file": picture.file,
        "width_px": picture.width_px,
        "height_px": picture.height_px,
        "alternative": _text(picture.alternative),
        "caption": _text(picture.caption),
        "overlay": overlay,
    }


def _cell(cell: Cell) -> dict[str, Any]:
    grade = cell.grade
    return {
        "text": _text(cell.text),
        "grade": None if grade is None else _grade_key(grade),
        "grade_words": "" if grade is None else grade_words(grade),
        "is_heading": cell.is_heading,
        "is_number": cell.is_number,
    }


def _grade_key(grade: SeepageGrade) -> str:
    digit = wetness(grade)
    return "none" if digit is None else str(digit)


def _sign(grade: SeepageGrade) -> str:
    return _svg(grade_sign.grade_sign(grade), grade_sign.WIDTH, grade_sign.HEIGHT)


def _svg(inside: Markup, width: float, height: float) -> str:
    return element(
        "svg",
        element("style", Markup(style_rules(LIGHT))),
        inside,
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {width:g} {height:g}",
        width=width,
        height=height,
        font_family="Libertinus Serif",
    )


def _cleaned(value: Any) -> Any:
    if isinstance(value, str):
        return _text(value)
    if isinstance(value, dict):
        return {key: _cleaned(part) for key, part in value.items()}
    if isinstance(value, list | tuple):
        return [_cleaned(part) for part in value]
    return value


def _text(text: str) -> str:
    return "\n".join(
        " ".join(_breakable(word) for word in line.split(" ")) for line in clean(text).split("\n")
    )


def _breakable(word: str) -> str:
    if len(word) <= _LONGEST_WORD:
        return word
    pieces = (word[at : at + _LONGEST_WORD] for at in range(0, len(word), _LONGEST_WORD))
    return _BREAK_HERE.join(pieces)
