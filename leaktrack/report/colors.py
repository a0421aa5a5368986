"""The colours of a report."""

from dataclasses import asdict, dataclass

from leaktrack.model.leak import SeepageGrade, wetness
from leaktrack.model.palette import CHALK, INK, ON_DARK, ON_LIGHT, Palette


@dataclass(frozen=True, slots=True, kw_only=True)
class Scheme(Palette):
    """All colours of one appearance, as hex text.

    Attributes:
        paper: The ground.
        sheet: Ground of what is set apart.
        warning_sheet: Ground of cautions.
    """

    paper: str
    sheet: str
    warning_sheet: str


LIGHT = Scheme(
    paper="#FFFFFF",
    sheet="#F6F4EF",
    warning_sheet="#FBF1E0",
    **asdict(ON_LIGHT),
)
"""Also that of everything printed."""

DARK = Scheme(
    paper="#15181A",
    sheet="#1F2426",
    warning_sheet="#33291C",
    **asdict(ON_DARK),
)


def fill(scheme: Scheme, grade: SeepageGrade) -> str:
    """Return the colour of a grade; not seen has that of what nobody looked at."""
    digit = wetness(grade)
    return scheme.unseen if digit is None else scheme.grades[digit]


def ink_on(ground: str) -> str:
    """Return ink or chalk, whichever reads better on a colour.

    >>> ink_on("#EBD59A"), ink_on("#431A22")
    ('#16181A', '#FFFFFF')
    """
    return INK if contrast(ground, INK) >= contrast(ground, CHALK) else CHALK


def contrast(one: str, other: str) -> float:
    """Return how well two colours stand off each other, 1 to 21.

    Source:
        WCAG 2.2, contrast ratio.

    >>> contrast("#000000", "#FFFFFF")
    21.0
    """
    lighter, darker = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def _luminance(color: str) -> float:
    # Source: WCAG 2.2, relative luminance of sRGB.
    channels = [int(color[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (
        c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def style_rules(scheme: Scheme) -> str:
    """Return the style rules by which charts and grade signs take their colours.

    The page uses them for both appearances; the PDF puts those of LIGHT into each drawing.
    """
    rules = [
        f".d-ink{{fill:{scheme.ink}}}",
        f".d-quiet{{fill:{scheme.quiet}}}",
        f".d-accent{{fill:{scheme.accent}}}",
        f".d-paper{{fill:{scheme.paper}}}",
        f".d-sheet{{fill:{scheme.sheet}}}",
        f".d-warning-sheet{{fill:{scheme.warning_sheet}}}",
        ".d-none{fill:none}",
        f".d-unseen{{fill:{scheme.unseen}}}",
        f".d-line{{stroke:{scheme.line}}}",
        f".d-edge{{stroke:{scheme.edge}}}",
        f".d-ink-line{{stroke:{scheme.ink}}}",
        f".d-accent-line{{stroke:{scheme.accent}}}",
        f".d-warning-line{{stroke:{scheme.warning}}}",
        f".g-none{{fill:{scheme.unseen}}}",
        f".on-none{{fill:{ink_on(scheme.unseen)}}}",
    ]
    for digit, color in enumerate(scheme.grades):
        rules.append(f".g{digit}{{fill:{color}}}")
        rules.append(f".on{digit}{{fill:{ink_on(color)}}}")
    return "\n".join(rules)


def grade_class(prefix: str, grade: SeepageGrade) -> str:
    """Return the class under which the style rules know a grade.

    >>> grade_class("g", SeepageGrade.DRIP), grade_class("on", SeepageGrade.NOT_SEEN)
    ('g4', 'on-none')
    """
    digit = wetness(grade)
    return f"{prefix}-none" if digit is None else f"{prefix}{digit}"
