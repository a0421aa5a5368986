"""The sign of a grade: a dipstick with its level and a digit, so that colour never stands alone."""

from leaktrack.model.leak import SeepageGrade, wetness
from leaktrack.report.colors import grade_class
from leaktrack.report.markup import Markup, element, joined, void

WIDTH = 27.0
HEIGHT = 20.0
"""Of a sign, in the units of the drawing it stands in."""

_STEPS = 5  # one notch for each grade above dry
_EDGE = 3.0
_NOTCH = (HEIGHT - 2 * _EDGE) / _STEPS


def grade_sign(grade: SeepageGrade, x: float = 0.0, y: float = 0.0) -> Markup:
    """Return a grade's sign as SVG elements, with its top left corner at x, y.

    What nobody saw is hatched and has no digit.
    """
    digit = wetness(grade)
    ground = void(
        "rect",
        x=x + 0.5,
        y=y + 0.5,
        width=WIDTH - 1,
        height=HEIGHT - 1,
        rx=3,
        class_=f"{grade_class('g', grade)} d-edge",
    )
    if digit is None:
        return joined(ground, _hatching(x, y))
    number = element(
        "text",
        str(digit),
        x=x + 18,
        y=y + 15,
        text_anchor="middle",
        font_size=14,
        font_weight="bold",
        class_=grade_class("on", grade),
    )
    return joined(ground, _dipstick(grade, digit, x, y), number)


def _hatching(x: float, y: float) -> Markup:
    lines = "".join(f"M{x + at:g} {y + HEIGHT - 4:g}l12 -12" for at in (3, 8, 13))
    return void("path", d=lines, fill="none", class_="d-edge")


def _dipstick(grade: SeepageGrade, digit: int, x: float, y: float) -> Markup:
    notches = []
    for step in range(_STEPS):
        top = y + HEIGHT - _EDGE - (step + 1) * _NOTCH
        # A dry notch is a thin tick, a wet one a full block: told apart without any colour.
        is_wet = step < digit
        notches.append(
            void(
                "rect",
                x=x + 4,
                y=top + (0.4 if is_wet else _NOTCH / 2),
                width=6 if is_wet else 3.4,
                height=_NOTCH - 0.8 if is_wet else 0.9,
                class_=grade_class("on", grade),
            )
        )
    return joined(*notches)
