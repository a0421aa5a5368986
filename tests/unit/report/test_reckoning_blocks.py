from dataclasses import replace

import pytest

from leaktrack.analysis.breathing import pressure_judgement
from leaktrack.analysis.oiling.accounting import oil_account
from leaktrack.analysis.oiling.dripping import drip_rate
from leaktrack.analysis.oiling.grading import proposed_grade, published, verdict
from leaktrack.model.between import Between
from leaktrack.model.drip import DripOutlook
from leaktrack.model.engine import SealKind
from leaktrack.model.grade_card import GradeCard
from leaktrack.model.leak import Fluid, SeepageGrade
from leaktrack.model.oil_account import OilLoss, SeenLeak
from leaktrack.model.severity import Observations
from leaktrack.model.units import IMPERIAL
from leaktrack.report.composing import composed
from leaktrack.report.contents import Bullets, Paragraph, Table
from tests.unit.report.reading_contents import blocks, sentences
from tests.unit.report.sample import FINDINGS
from tests.unit.report.sample_records import FIRST, MARK_1, RUN

SEEN = Observations(
    is_wet=True, drops_per_minute=2.0, extent_mm=25.4, extent_sigma_mm=1.0, minutes=30
)
OUTLOOK = DripOutlook(
    rate=drip_rate(2.0), ml_per_day=Between(40.0, 150.0), litres_per_100_h=Between(0.2, 0.6)
)
CARD = GradeCard(
    mark=MARK_1,
    given=SeepageGrade.SEEP,
    seen=SEEN,
    is_time_told=True,
    proposal=proposed_grade(SEEN),
    judgement=verdict(SeepageGrade.SEEP, SealKind.GASKET, Fluid.ENGINE_OIL),
    classes=published(SeepageGrade.SEEP),
    seal_kind=SealKind.GASKET,
    proposed_judgement=verdict(SeepageGrade.DRIP, SealKind.GASKET, Fluid.ENGINE_OIL),
    proposed_classes=published(SeepageGrade.DRIP),
    outlook=OUTLOOK,
)
RECKONED = replace(
    FINDINGS,
    cards={1: CARD},
    accounts={
        RUN.id: oil_account(
            OilLoss(100.0, 10.0), [SeenLeak(1, True, drops_per_minute=20.0)], 60.0,
            is_calibrated=True,
        )
    },
    pressures={FIRST.id: pressure_judgement(150.0)},
)  # fmt: skip


@pytest.fixture
def table():
    (found,) = (
        one
        for one in blocks(composed(RECKONED), "Leaks over time", Table)
        if one.caption.startswith("Why these grades")
    )
    return found


def test_each_leak_is_told_with_its_rule_its_size_and_its_volume(table):
    (row,) = table.rows

    assert row[1].grade is SeepageGrade.SEEP
    assert row[2].text.startswith("Proposed: 4 drip, as drops fall (TM 10-6640-233-10")
    assert "Extent: 2 seep, 25 ± 1 mm after 30 min." in row[2].text
    assert row[3].text.startswith("Repair if necessary (gasket).")
    assert "40 to 150 mL a day if it never stops" in row[4].text
    assert "It assumes drops of 15 to 50 µL" in row[4].text


def test_the_report_follows_the_units_in_use():
    told = composed(replace(RECKONED, units=IMPERIAL))

    (row,) = (
        one.rows[0]
        for one in blocks(told, "Leaks over time", Table)
        if one.caption.startswith("Why these grades")
    )
    assert "1.00 ± 0.04 in after 30 min" in row[2].text
    assert "5.9 ± 0.2 inH₂O" in " ".join(sentences(told, "Runs, inspections and checks"))


def test_the_oil_account_of_a_run_stands_with_what_it_assumes():
    told = blocks(composed(RECKONED), "Runs, inspections and checks", Paragraph)

    account = next(one.text for one in told if one.text.startswith("Oil account of the run of"))
    assert "Visible leaks explain 15 to 76 % of the loss." in account
    items = sentences(composed(RECKONED), "Runs, inspections and checks")
    assert "By the dipstick: 100 ± 10 mL missing." in items
    assert any(one.startswith("Leaks assume that drops fell for all of the run") for one in items)


def test_the_runs_table_takes_the_calibrated_loss():
    told = blocks(composed(RECKONED), "Runs, inspections and checks", Table)

    cells = [cell.text for one in told if one.caption == "Test runs" for cell in one.rows[0]]
    assert "100 ± 10 mL missing by the dipstick" in cells


def test_a_measured_pressure_is_held_against_its_limit():
    told = blocks(composed(RECKONED), "Runs, inspections and checks", Bullets)

    assert any("more than a new engine may have" in item for one in told for item in one.items)


def test_a_report_without_such_figures_says_nothing_of_them():
    captions = [one.caption for one in blocks(composed(FINDINGS), "Leaks over time", Table)]

    assert not any(one.startswith("Why these grades") for one in captions)
