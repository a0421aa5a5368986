"""Heat, growth and units in the report."""

from dataclasses import replace

from leaktrack.analysis.growing import growth
from leaktrack.analysis.summing.warming import heat_factor
from leaktrack.model.growth import Measure
from leaktrack.model.growth_chart import growth_chart
from leaktrack.model.heat import LookConditions
from leaktrack.model.units import IMPERIAL, told_in
from leaktrack.report.amounts import amount
from leaktrack.report.composing import composed
from leaktrack.report.contents import Bullets, Drawing
from leaktrack.report.growth_drawing import growth_drawing
from tests.unit.analysis.test_growing import history, looks
from tests.unit.report.reading_contents import blocks
from tests.unit.report.sample import FINDINGS

INSPECTIONS = looks(1, 2, 3, 4, 5, wiped_before=(1,))
GROWTH = growth(history(INSPECTIONS, [30, 10, 20, 30, 40]), INSPECTIONS, ())
HEAT = heat_factor(
    LookConditions(58.0, None, "5W-30", 1.0, True), LookConditions(90.0, None, "5W-30", 2.0, True)
)


def told(findings):
    lists = blocks(composed(findings), "Leaks over time", Bullets)
    return " ".join(item for each in lists for item in each.items)


def test_heat_and_growth_stand_with_the_leaks():
    words = told(replace(FINDINGS, heat=HEAT, growths=(GROWTH,)))

    assert "Heat and running time alone would make" in words
    assert "Wet area grows: 500 mm²/h" in words


def test_the_chart_says_the_same_in_words():
    contents = composed(replace(FINDINGS, growths=(GROWTH,)))
    drawings = blocks(contents, "Leaks over time", Drawing)

    assert len(drawings) == 1
    assert "5 h run, 2 seep, 1600 mm², 40 mm long" in drawings[0].alternative


def test_a_chart_shows_looks_wipe_and_trend():
    chart = growth_chart(GROWTH, Measure.AREA)
    svg, _ = growth_drawing(chart)

    assert svg.count("<circle") == 5
    assert svg.count(">wiped<") == 1
    assert "d-accent-line" in svg
    assert "NaN" not in svg
    assert chart.wipes == (1.5,)
    assert len(chart.band) == 26


def test_nothing_is_drawn_without_hours():
    unknown = looks(None, None)

    assert growth_chart(growth(history(unknown, [1, 2]), unknown, ()), Measure.AREA) is None


def test_the_whole_report_follows_the_units():
    metric, inches = (
        repr(composed(replace(FINDINGS, heat=HEAT, growths=(GROWTH,), units=units)))
        for units in ("metric", IMPERIAL)
    )

    assert "°F" not in metric
    assert "mm²" in metric
    assert "°C" not in inches
    assert "mm²" not in inches
    assert "194 °F instead of 136 °F" in inches
    with told_in(IMPERIAL):
        assert amount(6200.0, "mL") == "6.55 US qt"
