"""How the window looks: its only place with colours, and the one that makes icons and fonts.

Light is warm paper, dark is graphite. What a report shows in the same colours comes from the model.
"""

from dataclasses import asdict, dataclass
from enum import Enum

from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QFontMetrics, QGuiApplication, QIcon, QPalette, QPen
from PySide6.QtWidgets import QApplication

from leaktrack.gui.look.contrast import contrast
from leaktrack.gui.look.style_sheet import style_sheet
from leaktrack.gui.look.tinted_icon import TintedIcon, tinted_file
from leaktrack.model.leak import SeepageGrade
from leaktrack.model.palette import CHALK, DARKER, INK, LIGHTER, ON_DARK, ON_LIGHT
from leaktrack.settings import Settings

GAP_S = 4
GAP = 8
GAP_L = 16
"""Distances between things, in px of the layout."""

TARGET_PX = 24
TARGET_GLOVES_PX = 44
"""Smallest side of anything to be hit.

Source:
    WCAG 2.2, success criteria 2.5.8 (24 px) and 2.5.5 (44 px).
"""

RING_PX = 2
"""Width of the ring around what has the keyboard's focus."""


@dataclass(frozen=True, slots=True)
class Scheme:
    """All colours of one appearance, as hex text.

    Attributes:
        window: The ground.
        base: Lists, fields and cards.
        raised: Buttons, headings of tables.
        quiet: Secondary text.
        hairline: Lines that only part things; carries no meaning.
        border: Edges that show where a control is.
        accent: What is in hand, focus.
        accent_soft: Ground of what is in hand.
        unseen: Ground of stretches that nobody looked at.
        grades: Dry to stream.
    """

    window: str
    base: str
    raised: str
    text: str
    quiet: str
    hairline: str
    border: str
    accent: str
    on_accent: str
    accent_soft: str
    attention: str
    attention_soft: str
    problem: str
    good: str
    unseen: str
    grades: tuple[str, str, str, str, str, str]


LIGHT = Scheme(
    window="#F2F0EA",
    base="#FCFBF8",
    raised="#E9E6DE",
    text=ON_LIGHT.ink,
    quiet=ON_LIGHT.quiet,
    hairline=ON_LIGHT.line,
    border=ON_LIGHT.edge,
    accent=ON_LIGHT.accent,
    on_accent="#FFFFFF",
    accent_soft="#D3E4E4",
    attention=ON_LIGHT.warning,
    attention_soft="#F6E5CC",
    problem="#A1261D",
    good="#2A6540",
    unseen=ON_LIGHT.unseen,
    grades=ON_LIGHT.grades,
)

DARK = Scheme(
    window="#1C2022",
    base="#15181A",
    raised="#272C2F",
    text=ON_DARK.ink,
    quiet=ON_DARK.quiet,
    hairline=ON_DARK.line,
    border=ON_DARK.edge,
    accent=ON_DARK.accent,
    on_accent="#0C1F22",
    accent_soft="#1F3B40",
    attention=ON_DARK.warning,
    attention_soft="#3D2E1C",
    problem="#FF9384",
    good="#7FCB94",
    unseen=ON_DARK.unseen,
    grades=ON_DARK.grades,
)

_LINES = ("#56B4E9", "#E69F00", "#009E73", "#CC79A7", "#F0E442", "#0072B2")
"""Categories without order.

Source:
    Okabe and Ito, Color Universal Design, 2008.
"""


class Tone(Enum):
    """What a colour is for; the value is its name in a Scheme."""

    WINDOW = "window"
    BASE = "base"
    RAISED = "raised"
    TEXT = "text"
    QUIET = "quiet"
    HAIRLINE = "hairline"
    BORDER = "border"
    ACCENT = "accent"
    ON_ACCENT = "on_accent"
    ACCENT_SOFT = "accent_soft"
    ATTENTION = "attention"
    ATTENTION_SOFT = "attention_soft"
    PROBLEM = "problem"
    GOOD = "good"
    UNSEEN = "unseen"


def current_scheme() -> Scheme:
    """Return the colours in force, told by the application's palette."""
    ground = QGuiApplication.palette().color(QPalette.ColorRole.Window)
    return DARK if ground.lightness() < 128 else LIGHT


def color(tone: Tone) -> QColor:
    """Return the colour for a purpose in the appearance in force."""
    return QColor(getattr(current_scheme(), tone.value))


_GRADE_ORDER = (
    SeepageGrade.DRY,
    SeepageGrade.STAIN,
    SeepageGrade.SEEP,
    SeepageGrade.HEAVY_SEEP,
    SeepageGrade.DRIP,
    SeepageGrade.STREAM,
)


def grade_color(grade: SeepageGrade) -> QColor:
    """Return a grade's colour on the window's ground; not seen has that of unseen stretches."""
    scheme = current_scheme()
    if grade is SeepageGrade.NOT_SEEN:
        return QColor(scheme.unseen)
    return QColor(scheme.grades[_GRADE_ORDER.index(grade)])


def grade_color_on_photo(grade: SeepageGrade) -> QColor:
    """Return a grade's colour over a photo, the same in both appearances; draw it with a halo."""
    if grade is SeepageGrade.NOT_SEEN:
        return QColor(LIGHT.unseen)
    return QColor(DARK.grades[_GRADE_ORDER.index(grade)])


def text_color_on(ground: QColor) -> QColor:
    """Return ink or chalk, whichever reads better on a colour."""
    ink, chalk = QColor(INK), QColor(CHALK)
    return ink if contrast(ground, ink) >= contrast(ground, chalk) else chalk


def change_colors(*, is_darker: bool) -> tuple[QColor, ...]:
    """Return the colours of a little, much and very much change of a place in a photo."""
    return tuple(QColor(each) for each in (DARKER if is_darker else LIGHTER))


def line_color(index: int) -> QColor:
    """Return the colour of the index-th joint line of a photo; colours repeat after six."""
    return QColor(_LINES[index % len(_LINES)])


def mark_pen_pair(color: QColor | None = None, width_px: float = 1.5) -> tuple[QPen, QPen]:
    """Return two cosmetic pens that show on any photo: draw with the first, then the second.

    Args:
        color: Of the inner line; None for chalk.
        width_px: Of the inner line, in screen px; the dark halo shows 1.5 px at each side.

    Source:
        No single colour keeps a contrast of 3:1 on white, grey and black alike (WCAG 2.2, 1.4.11).
    """
    halo = QPen(QColor(INK), width_px + 3)
    inner = QPen(color or QColor(CHALK), width_px)
    for pen in (halo, inner):
        pen.setCosmetic(True)
        pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
        pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    return halo, inner


def target_size(settings: Settings) -> int:
    """Return the smallest side of anything to be hit, in px."""
    return TARGET_GLOVES_PX if settings.gloves_mode else TARGET_PX


def apply_theme(app: QApplication, settings: Settings) -> None:
    """Give the program its palette, text size and control shapes, as the settings ask."""
    scheme = _wanted_scheme(app, settings)
    look = f"{scheme.window} {settings.text_percent} {settings.gloves_mode}"
    if app.property("look") == look:
        return  # every widget would be styled anew
    app.setProperty("look", look)
    app.setStyle("Fusion")
    app.setPalette(_palette(scheme))
    _scale_text(app, settings.text_percent)
    colors = {name: str(value) for name, value in asdict(scheme).items() if name != "grades"}
    icons = {
        "down": tinted_file("down", QColor(scheme.quiet)),
        "up": tinted_file("up", QColor(scheme.quiet)),
        "ticked": tinted_file("confirm", QColor(scheme.on_accent)),
    }
    app.setStyleSheet(
        style_sheet(
            colors, icons, target_size(settings), QFontMetrics(app.font()).height(), RING_PX
        )
    )


def _wanted_scheme(app: QApplication, settings: Settings) -> Scheme:
    if settings.theme == "dark":
        return DARK
    if settings.theme == "light":
        return LIGHT
    is_dark = app.styleHints().colorScheme() is Qt.ColorScheme.Dark
    return DARK if is_dark else LIGHT


def _scale_text(app: QApplication, percent: int) -> None:
    # The system's own size is kept on the application: scaling what is scaled already would grow.
    own_size = app.property("own_point_size") or app.font().pointSizeF()
    app.setProperty("own_point_size", own_size)
    font = app.font()
    font.setPointSizeF(own_size * percent / 100)
    app.setFont(font)


def _palette(scheme: Scheme) -> QPalette:
    role = QPalette.ColorRole
    palette = QPalette(QColor(scheme.raised), QColor(scheme.window))
    by_role = {
        role.Window: scheme.window,
        role.WindowText: scheme.text,
        role.Base: scheme.base,
        role.AlternateBase: scheme.window,
        role.Text: scheme.text,
        role.Button: scheme.raised,
        role.ButtonText: scheme.text,
        role.BrightText: scheme.problem,
        role.Highlight: scheme.accent,
        role.HighlightedText: scheme.on_accent,
        role.Accent: scheme.accent,
        role.Link: scheme.accent,
        role.LinkVisited: scheme.accent,
        role.ToolTipBase: scheme.raised,
        role.ToolTipText: scheme.text,
        role.PlaceholderText: scheme.quiet,
        role.Mid: scheme.border,
        role.Midlight: scheme.hairline,
    }
    for each, value in by_role.items():
        palette.setColor(each, QColor(value))
    for each in (role.WindowText, role.Text, role.ButtonText):
        palette.setColor(QPalette.ColorGroup.Disabled, each, QColor(scheme.border))
    return palette


def icon(name: str, tone: Tone = Tone.TEXT) -> QIcon:
    """Return a one-colour icon that takes its colour anew whenever it is drawn.

    Args:
        name: File name below ``resources/icons`` without its ending, such as "add_photo".
        tone: What its colour is for; switched-off controls show it in a weaker one.
    """

    def color_of(mode: QIcon.Mode) -> QColor:
        return color(Tone.BORDER if mode is QIcon.Mode.Disabled else tone)

    return QIcon(TintedIcon(name, color_of))
