"""What goes into a report, as values: sections made of a few kinds of blocks.

Both documents, the page and the PDF, are drawn from these values alone, so they say the same.
"""

from dataclasses import dataclass
from datetime import datetime

from leaktrack.model.leak import SeepageGrade
from leaktrack.report.amounts import moment, zone_name
from leaktrack.report.markup import Markup


@dataclass(frozen=True, slots=True)
class Place:
    """A place in a photo.

    Attributes:
        x: Fraction of the photo's width from its left edge, 0 to 1.
        y: Fraction of its height from the top, 0 to 1.
    """

    x: float
    y: float


@dataclass(frozen=True, slots=True)
class ShownMark:
    """A leak mark as it is drawn over a photo.

    Attributes:
        number: The leak's number.
        source: Where it starts; None where the photo does not show that.
        outline: Edge of the wet area; empty where there is none.
    """

    number: int
    grade: SeepageGrade
    source: Place | None
    outline: tuple[Place, ...] = ()


@dataclass(frozen=True, slots=True)
class Paragraph:
    """A few sentences.

    Attributes:
        is_quiet: Of less weight: a note beside something.
        introduces: Stays on the page of what follows.
    """

    text: str
    is_quiet: bool = False
    introduces: bool = False


@dataclass(frozen=True, slots=True)
class Subheading:
    """A heading inside a section.

    Attributes:
        level: 3 right below the section's own, 4 below that.
    """

    text: str
    level: int = 3


@dataclass(frozen=True, slots=True)
class Facts:
    """Names with values, such as "oil temperature" and "58 °C"."""

    rows: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Bullets:
    """A list of sentences.

    Attributes:
        is_numbered: Their order matters.
    """

    items: tuple[str, ...]
    is_numbered: bool = False


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell of a table.

    Attributes:
        grade: Shown as digit, fill and word before the text.
        is_heading: It names its row.
        is_number: Set flush right.
    """

    text: str = ""
    grade: SeepageGrade | None = None
    is_heading: bool = False
    is_number: bool = False


@dataclass(frozen=True, slots=True)
class Table:
    """Rows of cells under named columns.

    Attributes:
        widths: Share of each column; 0 means as wide as its text. Empty: all equal.
    """

    caption: str
    columns: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]
    widths: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Picture:
    """A photo with its marks.

    Attributes:
        file: Name under which the photo's JPEG bytes are handed over.
        width_px: Of those bytes.
        height_px: Of those bytes.
        alternative: What a person who cannot see it must know.
    """

    file: str
    width_px: int
    height_px: int
    alternative: str
    caption: str
    marks: tuple[ShownMark, ...] = ()


@dataclass(frozen=True, slots=True)
class Gallery:
    """Photos beside each other, smaller than a picture on its own.

    Attributes:
        is_small: They are for recognising, not for looking at closely.
    """

    pictures: tuple[Picture, ...]
    is_small: bool = False


@dataclass(frozen=True, slots=True)
class Drawing:
    """A chart.

    Attributes:
        svg: What is inside the ``svg`` element.
        width: Of its view box.
        height: Of its view box.
        alternative: The same in words.
    """

    svg: Markup
    width: float
    height: float
    alternative: str
    caption: str


@dataclass(frozen=True, slots=True)
class Warnings:
    """What can hurt somebody, with the sentence that defers to those who know better."""

    sentences: tuple[str, ...]
    defer: str


Block = Paragraph | Subheading | Facts | Bullets | Table | Picture | Gallery | Drawing | Warnings
"""Anything that a section is made of."""


@dataclass(frozen=True, slots=True)
class Section:
    """A part of the report with a heading of its own."""

    heading: str
    blocks: tuple[Block, ...]


@dataclass(frozen=True, slots=True)
class ReportContents:
    """A whole report.

    Attributes:
        engine: Its name.
        description: What engine it is, in words.
        project: Name of the project folder.
        made_at: When the report was made, aware; its zone is the one of all times in the report.
        made_by: Name and version of this program.
    """

    title: str
    engine: str
    description: str
    project: str
    made_at: datetime
    made_by: str
    sections: tuple[Section, ...]


def made_sentence(contents: ReportContents) -> str:
    """Return which project a report is about, and when it was made."""
    at = contents.made_at
    return (
        f"Project {contents.project}. Made {moment(at, at.tzinfo)}; all times in {zone_name(at)}."
    )
