"""The colours that window and report share, so that a grade looks the same in both.

The wetter a grade, the further its colour stands off the ground: on paper oil darkens, on graphite
it glows.
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Palette:
    """What both have in one appearance, as hex text.

    Attributes:
        ink: Text.
        quiet: Secondary text.
        line: Lines that only part things; carries no meaning.
        edge: Lines that mean something.
        accent: What is in hand; headings and links of a report.
        warning: What needs attention.
        unseen: Ground of what nobody looked at.
        grades: Dry to stream.
    """

    ink: str
    quiet: str
    line: str
    edge: str
    accent: str
    warning: str
    unseen: str
    grades: tuple[str, str, str, str, str, str]


ON_LIGHT = Palette(
    ink="#22272A",
    quiet="#555C60",
    line="#D6D1C5",
    edge="#7C7870",
    accent="#0B5A66",
    warning="#8F4700",
    unseen="#DCD8CE",
    grades=("#E4EAEB", "#EBD59A", "#DDA94A", "#BD7930", "#84412A", "#431A22"),
)
ON_DARK = Palette(
    ink="#E8E6E0",
    quiet="#ABAFAD",
    line="#353B3E",
    edge="#7C8488",
    accent="#74C6CE",
    warning="#F0A65F",
    unseen="#2B3033",
    grades=("#343F45", "#5A5642", "#8A7038", "#C18E3A", "#EBBB66", "#FCEFCB"),
)

INK = "#16181A"
CHALK = "#FFFFFF"
"""The two that show over any photo, one around the other."""

DARKER = ("#F6B35A", "#D9760E", "#8A3F00")
LIGHTER = ("#9CC8F0", "#3C86CC", "#0B478F")
"""Places of a photo that became a little, much, very much darker or lighter than they were.

Own choice: blue against orange is what people of all kinds of colour vision tell apart (Okabe and
Ito, Color Universal Design, 2008); lightness tells how much.
"""
