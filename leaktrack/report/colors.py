"""The colours of a report. The wetter a grade, the further its colour stands off the ground."""

from dataclasses import dataclass

from leaktrack.model.leak import SeepageGrade, wetness


@dataclass(frozen=True, slots=True)
class Scheme:
    """All colours of one appearance, as hex text.

    Attributes:
        paper: The ground.
        sheet: Ground of what is set apart.
        ink: Text.
        quiet: Secondary text; readable on both grounds.
        line: Lines that only part things.
        edge: Lines that mean something.
        accent: Headings and links.
        warning: Edge and signs of cautions.
        warning_sheet: Ground of cautions.
        unseen: Ground of what nobody looked at.
        grades: Dry to stream.
    """

    paper: str
    sheet: str
    ink: str
    quiet: str
    line: str
    edge: str
    accent: str
    warning: str
    warning_sheet: str
    unseen: str
    grades: tuple[str, str, str, str, str, str]


LIGHT = Scheme(
    paper="#FFFFFF",
    sheet="#F6F4EF",
    ink="#22272A",
    quiet="#555C60",
    line="#D6D1C5",
    edge="#7C7870",
    accent="#0B5A66",
    warning="#8F4700",
    warning_sheet="#FBF1E0",
    unseen="#DCD8CE",
    grades=("#E4EAEB", "#EBD59A", "#DDA94A", "#BD7930", "#84412A", "#431A22"),
)
"""Also that of everything printed."""

DARK = Scheme(
    paper="#15181A",
    sheet="#1F2426",
    ink="#E8E6E0",
    quiet="#ABAFAD",
    line="#353B3E",
    edge="#7C8488",
    accent="#74C6CE",
    warning="#F0A65F",
    warning_sheet="#33291C",
    unseen="#2B3033",
    grades=("#343F45", "#5A5642", "#8A7038", "#C18E3A", "#EBBB66", "#FCEFCB"),
)

INK = "#16181A"
CHALK = "#FFFFFF"
"""The two that show over any photo, one around the other."""


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
        f".d-unseen{{fill:{scheme.unseen}}}",
        f".d-line{{stroke:{scheme.line}}}",
        f".d-edge{{stroke:{scheme.edge}}}",
        f".d-ink-line{{stroke:{scheme.ink}}}",
        f".d-accent-line{{stroke:{scheme.accent}}}",
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
