"""The leak's history: drawn, walked by keys, hovered, in both appearances and units."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QToolTip

from leaktrack.analysis.growing import growth
from leaktrack.analysis.summing.warming import heat_factor
from leaktrack.gui.look.theme import apply_theme
from leaktrack.gui.pages.growth_chart import GrowthChartView
from leaktrack.gui.pages.heat_card import HeatCard
from leaktrack.model.growth import Measure
from leaktrack.model.heat import LookConditions
from leaktrack.model.heat_words import HEAT_ASSUMES
from leaktrack.settings import Settings
from tests.gui.filling_in import press
from tests.unit.analysis.test_growing import history, looks

INSPECTIONS = looks(1, 2, 3, 4, 5, wiped_before=(1,))
NAMES = {one.id: f"look {place}" for place, one in enumerate(INSPECTIONS)}


@pytest.fixture
def chart(qtbot):
    made = GrowthChartView()
    qtbot.addWidget(made)
    made.resize(420, 220)
    grown = growth(history(INSPECTIONS, [30, 10, 20, 30, 40]), INSPECTIONS, ())
    made.show_growth(grown, Measure.AREA, NAMES)
    made.show()
    return made


def test_arrow_keys_walk_from_look_to_look_and_tell_it(chart):
    told = []
    chart.look_told.connect(told.append)
    press(chart, Qt.Key.Key_Home)
    press(chart, Qt.Key.Key_Right)
    press(chart, Qt.Key.Key_End)

    assert [each.split(",")[0] for each in told] == ["look 0", "look 1", "look 4"]
    assert told[-1] == "look 4, 5 h run, 2 seep, 1600 mm², 40 mm long"
    assert chart.accessibleDescription() == told[-1]


def test_hovering_a_look_tells_it(chart, qtbot, monkeypatch):
    shown = []
    monkeypatch.setattr(QToolTip, "showText", lambda _at, words, _of: shown.append(words))
    point = chart.chart.points[-1]
    at = chart._at(point.hours, point.value, chart._area()).toPoint()
    qtbot.mouseMove(chart, at)
    qtbot.waitUntil(lambda: bool(shown))

    assert shown[-1].startswith("look 4, 5 h run")


def test_clicking_a_look_takes_it_in_hand(chart, qtbot):
    point = chart.chart.points[1]
    at = chart._at(point.hours, point.value, chart._area()).toPoint()
    qtbot.mouseClick(chart, Qt.MouseButton.LeftButton, pos=at)

    assert chart.accessibleDescription().startswith("look 1")


def test_the_trend_s_area_and_the_looks_are_painted_in_both_appearances(chart, qapp):
    pictures = []
    for theme in ("light", "dark"):
        apply_theme(qapp, Settings(theme=theme))
        pictures.append(chart.grab().toImage())
    apply_theme(qapp, Settings(theme="light"))

    # Seven tones at least: ground, base, lines, trend, its area, two grades' ink and fill.
    for picture in pictures:
        found = {
            picture.pixelColor(x, y).name()
            for x in range(0, picture.width(), 2)
            for y in range(0, picture.height(), 2)
        }
        assert len(found) >= 7
    assert pictures[0] != pictures[1]


def test_a_leak_without_figures_has_no_chart(qtbot):
    unknown = looks(None, None)
    made = GrowthChartView()
    qtbot.addWidget(made)
    made.show_growth(growth(history(unknown, [1, 2]), unknown, ()), Measure.AREA, {})

    assert made.isHidden()


def test_the_heat_card_tells_factor_range_and_assumption(qtbot):
    card = HeatCard()
    qtbot.addWidget(card)
    cold, hot = (LookConditions(oil_c, None, "5W-30", 1.0, True) for oil_c in (20.0, 100.0))
    card.show_factor(heat_factor(cold, hot), ())

    assert "15 times (10 to 22) as much oil" in card.words.text()
    assert card.assumes.text() == HEAT_ASSUMES
    assert not card.assumes.isHidden()

    card.show_factor(heat_factor(cold, LookConditions(None, None, "", None, False)), ())
    assert "cannot be said" in card.words.text()
    assert card.assumes.isHidden()
