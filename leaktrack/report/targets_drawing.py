"""Draw printed targets and the ruler that checks the print, true to size in millimetres."""

from collections.abc import Sequence

from leaktrack.report.markup import Markup, element, joined, void

# A camera must find them: nothing but the blackest ink on the whitest paper will do.
_BLACK = "#000000"
_WHITE = "#FFFFFF"

RULER_MM = 100
"""Length of the ruler: long enough that a calliper shows 0.1 %."""

RULER_WIDTH_MM = 12.0
_RULER_END_MM = 5.0  # room for the first and last figure
_THIN_MM = 0.15
_TICKS_MM = ((10, 6.0), (5, 4.5), (1, 3.0))


def target_drawing(cells: Sequence[Sequence[bool]], side_mm: float, margin_mm: float) -> Markup:
    """Return a target with its white margin, as an SVG document in mm.

    Args:
        cells: By rows, which cells are white; as many rows as columns.
        side_mm: Of the black square.
        margin_mm: Of white paper on each side.
    """
    whole = side_mm + 2 * margin_mm
    cell = side_mm / len(cells)
    # One path for all white cells: drawn one by one, they would leave grey seams between them.
    path = "".join(
        f"M{margin_mm + col * cell:.4f} {margin_mm + row * cell:.4f}"
        f"h{cell:.4f}v{cell:.4f}h{-cell:.4f}z"
        for row, line in enumerate(cells)
        for col, is_white in enumerate(line)
        if is_white
    )
    return _document(
        whole,
        whole,
        void("rect", width=whole, height=whole, fill=_WHITE),
        void("rect", x=margin_mm, y=margin_mm, width=side_mm, height=side_mm, fill=_BLACK),
        void("path", d=path, fill=_WHITE),
    )


def ruler_size_mm(*, is_upright: bool) -> tuple[float, float]:
    """Return width and height of a ruler's drawing."""
    length = RULER_MM + 2 * _RULER_END_MM
    return (RULER_WIDTH_MM, length) if is_upright else (length, RULER_WIDTH_MM)


def ruler_drawing(*, is_upright: bool) -> Markup:
    """Return a ruler of 100 mm, as an SVG document in mm; 0 stands left, or at the bottom."""
    width, height = ruler_size_mm(is_upright=is_upright)
    pieces = []
    for mm in range(RULER_MM + 1):
        long_mm = next(long_mm for every, long_mm in _TICKS_MM if mm % every == 0)
        at = _RULER_END_MM + mm
        ends: dict[str, str | float | bool | None] = (
            {"x1": 0, "x2": long_mm, "y1": height - at, "y2": height - at}
            if is_upright
            else {"x1": at, "x2": at, "y1": 0, "y2": long_mm}
        )
        pieces.append(void("line", stroke=_BLACK, stroke_width=_THIN_MM, **ends))
        if mm % 10 == 0:
            place: dict[str, str | float | bool | None] = (
                {"x": long_mm + 0.8, "y": height - at + 1.0, "text_anchor": "start"}
                if is_upright
                else {"x": at, "y": long_mm + 3.2, "text_anchor": "middle"}
            )
            pieces.append(element("text", str(mm), font_size=3, fill=_BLACK, **place))
    return _document(width, height, joined(*pieces))


def _document(width_mm: float, height_mm: float, *children: Markup) -> Markup:
    return element(
        "svg",
        *children,
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {width_mm:.4f} {height_mm:.4f}",
        width=f"{width_mm:.4f}mm",
        height=f"{height_mm:.4f}mm",
        font_family="Libertinus Serif",
    )
