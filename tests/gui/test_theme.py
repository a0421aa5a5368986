import re
from itertools import pairwise
from pathlib import Path

import pytest
from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QImage, QPainter

import leaktrack.gui
from leaktrack.gui.look.contrast import contrast
from leaktrack.gui.look.grade_badge import GradeBadge, paint_grade
from leaktrack.gui.look.panels import Heading
from leaktrack.gui.look.theme import (
    DARK,
    LIGHT,
    Scheme,
    apply_theme,
    change_colors,
    current_scheme,
    icon,
    mark_pen_pair,
    target_size,
    text_color_on,
)
from leaktrack.model.leak import SeepageGrade
from leaktrack.places import resource
from leaktrack.settings import Settings

SCHEMES = pytest.mark.parametrize("scheme", [LIGHT, DARK], ids=["light", "dark"])
GUI = Path(leaktrack.gui.__file__).parent

# WCAG 2.2: 1.4.3 asks for 4.5 between text and its ground, 1.4.11 for 3 at the edges of controls.
TEXT_CONTRAST = 4.5
EDGE_CONTRAST = 3.0


def test_contrast_of_black_and_white_is_what_the_standard_says():
    # WCAG 2.2: "contrast ratios can range from 1 to 21".
    assert contrast(QColor("black"), QColor("white")) == pytest.approx(21)
    assert contrast(QColor("grey"), QColor("grey")) == pytest.approx(1)


@SCHEMES
@pytest.mark.parametrize("ground", ["window", "base", "raised", "accent_soft"])
@pytest.mark.parametrize("ink", ["text", "quiet", "accent", "attention", "problem", "good"])
def test_text_can_be_read_on_every_ground(scheme: Scheme, ground: str, ink: str):
    assert _contrast(scheme, ink, ground) >= TEXT_CONTRAST


# What people without red or green cones see of linear red, green, blue.
# Vienot, Brettel and Mollon, Color Research and Application 24 (1999), for sRGB primaries.
_SEEN_WITHOUT = {
    "red cones": ((0.112, 0.888, 0.0), (0.112, 0.888, 0.0), (0.004, -0.004, 1.0)),
    "green cones": ((0.293, 0.707, 0.0), (0.293, 0.707, 0.0), (-0.022, 0.022, 1.0)),
}


@pytest.mark.parametrize("cones", _SEEN_WITHOUT)
@pytest.mark.parametrize("step", range(3))
def test_darker_and_lighter_are_told_apart_without_red_or_green_cones(cones: str, step: int):
    yellow_of_darker, yellow_of_lighter = (
        _yellowness(change_colors(is_darker=is_darker)[step], cones) for is_darker in (True, False)
    )

    assert yellow_of_darker > 0.05
    assert yellow_of_lighter < -0.05


@pytest.mark.parametrize("is_darker", [True, False])
def test_more_change_has_a_darker_colour(is_darker: bool):
    lightness = [each.lightnessF() for each in change_colors(is_darker=is_darker)]

    assert all(more < less - 0.1 for less, more in pairwise(lightness))


def _yellowness(color: QColor, cones: str) -> float:
    linear = [value**2.2 for value in (color.redF(), color.greenF(), color.blueF())]
    red, _, blue = (
        sum(share * value for share, value in zip(row, linear, strict=True))
        for row in _SEEN_WITHOUT[cones]
    )
    return red - blue


@SCHEMES
def test_text_can_be_read_on_accent_and_caution(scheme: Scheme):
    assert _contrast(scheme, "on_accent", "accent") >= TEXT_CONTRAST
    assert _contrast(scheme, "text", "attention_soft") >= TEXT_CONTRAST
    assert _contrast(scheme, "quiet", "attention_soft") >= TEXT_CONTRAST


@SCHEMES
@pytest.mark.parametrize("ground", ["window", "base", "raised", "accent_soft"])
@pytest.mark.parametrize("edge", ["border", "accent"])
def test_edges_and_focus_rings_show_on_every_ground(scheme: Scheme, ground: str, edge: str):
    assert _contrast(scheme, edge, ground) >= EDGE_CONTRAST


@SCHEMES
def test_the_wetter_a_grade_the_further_it_stands_off_the_ground(scheme: Scheme):
    steps = [contrast(QColor(each), QColor(scheme.base)) for each in scheme.grades]

    assert all(wetter > drier * 1.15 for drier, wetter in pairwise(steps))


@SCHEMES
def test_the_digit_can_be_read_on_every_grade(scheme: Scheme):
    for ground in (*scheme.grades, scheme.unseen):
        assert contrast(QColor(ground), text_color_on(QColor(ground))) >= TEXT_CONTRAST


@pytest.mark.parametrize("photo", ["#FFFFFF", "#000000", "#777777", "#808080"])
def test_a_mark_shows_on_any_photo(photo: str):
    halo, inner = mark_pen_pair()

    strongest = max(contrast(QColor(photo), pen.color()) for pen in (halo, inner))

    assert strongest >= EDGE_CONTRAST


def test_every_grade_looks_different_without_colour(qapp):
    looks = {_grey_badge(grade) for grade in SeepageGrade}

    assert len(looks) == len(SeepageGrade)


def test_a_badge_says_digit_and_word(qtbot):
    badge = GradeBadge(SeepageGrade.DRIP)
    qtbot.addWidget(badge)

    assert badge.accessibleName() == "4 drip"


def test_settings_choose_the_appearance(qapp):
    apply_theme(qapp, Settings(theme="dark"))
    assert current_scheme() is DARK

    apply_theme(qapp, Settings(theme="light"))
    assert current_scheme() is LIGHT


def test_text_grows_with_the_setting_and_comes_back(qapp):
    own = qapp.font().pointSizeF()

    apply_theme(qapp, Settings(theme="light", text_percent=150))
    assert qapp.font().pointSizeF() == pytest.approx(1.5 * own)

    apply_theme(qapp, Settings(theme="light", text_percent=100))
    assert qapp.font().pointSizeF() == pytest.approx(own)


def test_a_heading_that_is_there_already_grows_too(qapp, qtbot):
    heading = Heading("Bank 1 cover", 1)
    qtbot.addWidget(heading)
    heading.show()
    before = heading.font().pointSizeF()

    apply_theme(qapp, Settings(theme="light", text_percent=200))

    assert heading.font().pointSizeF() == pytest.approx(2 * before)


def test_targets_are_as_large_as_the_standard_asks():
    # WCAG 2.2: 2.5.8 asks for 24 px, 2.5.5 for 44 px.
    assert target_size(Settings()) == 24
    assert target_size(Settings(gloves_mode=True)) == 44


def test_an_icon_takes_the_colour_of_the_appearance(qapp):
    picture = icon("add")

    light = picture.pixmap(24, 24).toImage()
    apply_theme(qapp, Settings(theme="dark"))
    dark = picture.pixmap(24, 24).toImage()

    assert light.pixelColor(12, 12) == QColor(LIGHT.text)
    assert dark.pixelColor(12, 12) == QColor(DARK.text)


@pytest.mark.parametrize("module", sorted(GUI.rglob("*.py")), ids=lambda path: path.stem)
def test_colours_stand_in_the_theme_alone(module: Path):
    named = r"Qt\.GlobalColor\.(?!transparent)\w+|QColor\(\s*[\"'\d]|#[0-9A-Fa-f]{6}\b"

    found = re.findall(named, module.read_text(encoding="utf-8"))

    assert module.name == "theme.py" or found == []


@pytest.mark.parametrize("module", sorted(GUI.rglob("*.py")), ids=lambda path: path.stem)
def test_every_icon_that_is_asked_for_is_drawn(module: Path):
    text = module.read_text(encoding="utf-8")
    asked = re.findall(r"""(?:\bicon|icon_name=|icon=|icon_button)\(?["']([a-z_]+)["']""", text)

    missing = [name for name in asked if not resource("icons", f"{name}.svg").exists()]

    assert missing == []


def test_every_icon_that_is_drawn_is_asked_for():
    modules = [module.read_text(encoding="utf-8") for module in GUI.rglob("*.py")]
    names = set(re.findall(r"[\"']([a-z_]+)[\"']", "\n".join(modules)))

    drawn = {file.stem for file in resource("icons").glob("*.svg")}

    assert drawn - names == set()


def _contrast(scheme: Scheme, ink: str, ground: str) -> float:
    return contrast(QColor(getattr(scheme, ink)), QColor(getattr(scheme, ground)))


def _grey_badge(grade: SeepageGrade) -> bytes:
    picture = QImage(32, 24, QImage.Format.Format_RGB32)
    picture.fill(Qt.GlobalColor.transparent)
    painter = QPainter(picture)
    paint_grade(painter, QRectF(0, 0, 32, 24), grade)
    painter.end()
    grey = picture.convertToFormat(QImage.Format.Format_Grayscale8)
    return bytes(grey.constBits())
