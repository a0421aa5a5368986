"""Set a page of targets to print, with a ruler to check the print, as a PDF."""

import json
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from leaktrack.model.errors import ReportFailed
from leaktrack.report.as_pdf import Paper
from leaktrack.report.showable import STANDARDS
from leaktrack.report.targets_drawing import (
    RULER_MM,
    RULER_WIDTH_MM,
    ruler_drawing,
    ruler_size_mm,
    target_drawing,
)

Cells = Sequence[Sequence[bool]]

# ISO 216 for A4; Letter is 8.5 by 11 inches.
PAPER_MM: dict[Paper, tuple[float, float]] = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}

SMALLER_MM = (20.0, 15.0)
"""Sides of the targets for tight places, below those of the side that was asked for."""

LEAST_SIDE_MM = 10.0
LARGEST_SIDE_MM = 80.0
"""A larger target leaves no room for the others on the page."""

_PAGE_MARGIN_MM = 14.0  # more than any printer leaves blank
_GAP_MM = 4.0
_WORDS_MM = 6.0  # below each target, for its number and size
_TARGETS_TOP_MM = 70.0  # below title, advice and ruler
_LEAST_MARGIN_MM = 4.0


@dataclass(frozen=True, slots=True)
class PlacedTarget:
    """A target on the page.

    Attributes:
        marker: Its number in the dictionary.
        side_mm: Of its black square.
        x_mm: Left rim of its white margin, where it is cut out; from the paper's left.
        y_mm: Upper rim of the same; from the paper's top.
        margin_mm: Of white round the square.
    """

    marker: int
    side_mm: float
    x_mm: float
    y_mm: float
    margin_mm: float

    @property
    def whole_mm(self) -> float:
        """Side of the square that is cut out, without its line of words."""
        return self.side_mm + 2 * self.margin_mm


def placed_targets(paper: Paper, side_mm: float) -> tuple[PlacedTarget, ...]:
    """Return the targets of a page, each number once: two rows of the side, one of each smaller."""
    width, height = PAPER_MM[paper]
    right = width - _PAGE_MARGIN_MM - RULER_WIDTH_MM - _GAP_MM
    top = _TARGETS_TOP_MM
    placed: list[PlacedTarget] = []
    for side in (side_mm, side_mm, *(smaller for smaller in SMALLER_MM if smaller < side_mm)):
        margin = max(_LEAST_MARGIN_MM, side / 6)  # one cell of white is what finding it asks for
        whole = side + 2 * margin
        if top + whole + _WORDS_MM > height - _PAGE_MARGIN_MM:
            continue  # a smaller one may still go there
        left = _PAGE_MARGIN_MM
        while left + whole <= right:
            placed.append(PlacedTarget(len(placed), side, left, top, margin))
            left += whole + _GAP_MM
        top += whole + _WORDS_MM + _GAP_MM
    return tuple(placed)


def targets_page(
    paper: Paper,
    side_mm: float,
    cells_of: Callable[[int], Cells],
    template: bytes,
    made_at: datetime,
) -> bytes:
    """Return the page as a tagged PDF.

    Args:
        paper: Size of the page.
        side_mm: Of the largest targets' black squares, 10 to 80.
        cells_of: Gives the white cells of a target by its number.
        template: The typst source that lays it out.
        made_at: When it is made, aware.

    Raises:
        ReportFailed: The PDF could not be set.
    """
    import typst  # heavy: only when a PDF is wanted

    page = _page(paper, placed_targets(paper, side_mm), cells_of)
    page["date"] = {"year": made_at.year, "month": made_at.month, "day": made_at.day}
    try:
        made = typst.Compiler().compile(
            input=template,
            format="pdf",
            pdf_standards=STANDARDS,
            sys_inputs={"page": json.dumps(page, ensure_ascii=False)},
            timestamp=int(made_at.timestamp()),
        )
    except typst.TypstError as error:
        raise ReportFailed(f"The page of targets could not be made: {error.message}.") from error
    assert isinstance(made, bytes)  # asked for no file and for one document
    return made


def _page(
    paper: Paper, targets: Sequence[PlacedTarget], cells_of: Callable[[int], Cells]
) -> dict[str, Any]:
    width, height = PAPER_MM[paper]
    largest = targets[0].side_mm
    return {
        "width": width,
        "height": height,
        "margin": _PAGE_MARGIN_MM,
        "words_height": _WORDS_MM,
        "title": "Printed targets",
        "advice": (
            f"Print at 100 %, not “fit to page”, on matt paper. Measure both rulers with a "
            f"calliper: each must be {RULER_MM} mm. If one is not, print again at 100 %; or type "
            f"the side you measure at the target's black square instead of {largest:g} mm. Cut "
            "along the dashed lines, so that the white margin stays. Lay a target flat on the "
            "surface that is wet, wholly in the picture."
        ),
        "rulers": [_ruler(paper, is_upright=False), _ruler(paper, is_upright=True)],
        "targets": [
            {
                "x": target.x_mm,
                "y": target.y_mm,
                "whole": target.whole_mm,
                "svg": target_drawing(cells_of(target.marker), target.side_mm, target.margin_mm),
                "words": f"Target {target.marker}, {target.side_mm:g} mm",
                "alternative": (
                    f"Target {target.marker} of the dictionary DICT_4X4_50; its black square is "
                    f"{target.side_mm:g} mm wide"
                ),
            }
            for target in targets
        ],
    }


def _ruler(paper: Paper, *, is_upright: bool) -> dict[str, Any]:
    width, height = ruler_size_mm(is_upright=is_upright)
    way = "upright" if is_upright else "across the page"
    right = PAPER_MM[paper][0] - _PAGE_MARGIN_MM - RULER_WIDTH_MM
    return {
        "x": right if is_upright else _PAGE_MARGIN_MM,
        "y": _TARGETS_TOP_MM if is_upright else _TARGETS_TOP_MM - RULER_WIDTH_MM - _GAP_MM,
        "width": width,
        "height": height,
        "svg": ruler_drawing(is_upright=is_upright),
        "alternative": f"Ruler of {RULER_MM} mm, {way}",
    }
