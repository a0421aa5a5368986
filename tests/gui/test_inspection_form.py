"""Recording an inspection's facts."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from leaktrack.gui.pages.inspection_form import InspectionForm
from leaktrack.gui.recording import start_inspection
from leaktrack.model.inspection import (
    INSPECTION_FACTS,
    Airflow,
    Inspection,
    Reading,
    TestRun,
    missing_facts,
)
from leaktrack.model.logbook import EntryKind
from leaktrack.model.photo import Light
from leaktrack.model.words import word
from leaktrack.workflows.set_up_engine import new_engine
from tests.gui.filling_in import choose, click, press, type_in


@pytest.fixture
def page(session, qtbot):
    made = InspectionForm(session)
    qtbot.addWidget(made)
    made.resize(800, 900)
    made.show()
    return made


@pytest.fixture
def stored(page, session):
    page.start_new()
    return lambda: session.project.get(Inspection, session.entry[1])


def test_every_fact_of_an_inspection_has_its_field(page):
    assert set(INSPECTION_FACTS) <= set(page.form.fields)


def test_a_new_inspection_follows_the_last_run_and_asks_for_the_rest(page, stored, session):
    assert stored().test_run_id == session.project.all(TestRun)[-1].id
    assert missing_facts(stored()) == INSPECTION_FACTS
    assert page.ask_card.names == INSPECTION_FACTS
    assert QApplication.focusWidget() is page.form.fields["title"].editor


def test_before_any_run_it_is_a_baseline(empty_session):
    engine, edit = new_engine("Fresh")
    empty_session.engine_id = engine.id
    empty_session.do("Add engine", edit)

    start_inspection(empty_session)

    inspection = empty_session.project.get(Inspection, empty_session.entry[1])
    assert inspection.is_baseline
    assert inspection.test_run_id is None


def test_a_baseline_after_a_run_is_refused_below_its_field(page, stored):
    press(page.form.fields["is_baseline"].box, Qt.Key.Key_Space)

    assert "before any run" in page.form.fields["is_baseline"].complaint
    assert not stored().is_baseline


def test_facts_of_all_kinds_are_recorded(page, stored, session):
    fields = page.form.fields
    type_in(fields["title"], "After the drive")
    type_in(fields["oil_c"], "78,5")
    type_in(fields["pitch_deg"], "-2")
    choose(fields["airflow"], word(Airflow.DRIVEN))
    choose(fields["has_dye"], "no")
    type_in(fields["cleaned_how"], "cloth")

    inspection = stored()
    assert page.heading.text() == "After the drive"
    assert (inspection.oil_c, inspection.pitch_deg) == (78.5, -2)
    assert (inspection.airflow, inspection.has_dye) == (Airflow.DRIVEN, False)
    assert inspection.cleaned_how == "cloth"


def test_cleaning_after_the_look_is_refused(page, session):
    baseline = session.project.all(Inspection)[0]
    session.pick(entry=(EntryKind.INSPECTION, baseline.id))

    type_in(page.form.fields["cleaned_at"], "2026-03-20 10:00")

    assert "cleaned after this look" in page.form.fields["cleaned_at"].complaint


def test_a_choice_is_asked_for_too(page, stored, session):
    while page.ask_card.name != "light":
        click(page.ask_card.unknown_button)

    choose(page.ask_card.field, word(Light.UV))

    assert stored().light is Light.UV
    assert page.ask_card.name == "has_dye"


def test_the_uv_lamp_brings_its_caution(page, stored, session):
    choose(page.form.fields["light"], word(Light.UV))

    texts = [label.text() for label in page.cautions.findChildren(type(page.heading).__base__)]
    assert any("UV lamp" in text for text in texts)


def test_readings_belong_to_the_inspection(page, stored, session):
    click(page.readings.add_button)
    type_in(page.readings.rows[0]["name"], "crankcase, 2000 rpm")

    readings = session.project.all(Reading, inspection_id=stored().id)
    assert [each.name for each in readings] == ["crankcase, 2000 rpm"]


def test_an_inspection_with_photos_stays(page, session, qtbot):
    session.pick(entry=(EntryKind.INSPECTION, session.project.all(Inspection)[1].id))

    with qtbot.waitSignal(session.failed) as told:
        click(page.remove_button)

    assert "photos" in str(told.args[0])


def test_a_pressure_is_held_against_the_published_limits(page, stored):
    assert not any("Crankcase pressure" in one for one in page.warnings.sentences)

    type_in(page.form.fields["crankcase_mmh2o"], "320")

    told = page.warnings.sentences
    assert any("pressure is too high" in one for one in told)
    assert "Crankcase pressure 320 ± 5 mmH₂O: too high (limit 255 mmH₂O" in told[-1]
