"""Recording a test run: what is missing is asked for, nothing is made up."""

from datetime import datetime, timedelta

import pytest
from PySide6.QtWidgets import QApplication

from leaktrack.gui.pages.run_page import RunPage
from leaktrack.gui.recording import start_run
from leaktrack.model.inspection import RUN_FACTS, Inspection, Reading, TestRun, missing_facts
from leaktrack.model.logbook import EntryKind
from tests.gui.filling_in import click, type_in


@pytest.fixture
def page(session, qtbot):
    made = RunPage(session)
    qtbot.addWidget(made)
    made.show()
    return made


@pytest.fixture
def new_run(page, session):
    page.start_new()
    return lambda: session.project.get(TestRun, session.entry[1])


def test_it_shows_the_newest_run_when_none_is_picked(page, session):
    assert page.record == session.project.all(TestRun)[-1]


def test_it_shows_the_picked_run(page, session):
    first = session.project.all(TestRun)[0]

    session.pick(entry=(EntryKind.TEST_RUN, first.id))

    assert page.form.fields["minutes"].line.text() == "25"


def test_a_new_run_starts_now_and_nothing_else_is_made_up(new_run):
    moment = datetime.now().astimezone()

    assert moment - new_run().started_at < timedelta(minutes=2)
    assert missing_facts(new_run()) == RUN_FACTS


def test_the_first_question_has_the_keyboard(page, new_run):
    assert page.ask_card.isVisible()
    assert page.ask_card.name == "minutes"
    assert QApplication.focusWidget() is page.ask_card.field.editor


def test_an_answer_leads_to_the_next_question(page, new_run):
    type_in(page.ask_card.field, "25")

    assert new_run().minutes == 25
    assert page.ask_card.name == "distance_km"
    assert QApplication.focusWidget() is page.ask_card.field.editor


def test_what_nobody_knows_is_not_asked_again(page, new_run):
    click(page.ask_card.unknown_button)

    assert new_run().unknown_facts == ("minutes",)
    assert "minutes" not in page.ask_card.names


def test_a_question_put_off_comes_last(page, new_run):
    click(page.ask_card.later_button)

    assert page.ask_card.name == "distance_km"
    assert new_run().unknown_facts == ()
    assert "minutes" in page.ask_card.names


def test_all_questions_can_be_ended_at_once(page, new_run, session):
    click(page.ask_card.all_button)

    assert set(new_run().unknown_facts) == set(RUN_FACTS)
    assert not page.ask_card.isVisible()

    session.undo_stack.undo()

    assert new_run().unknown_facts == ()


def test_a_wrong_answer_stays_a_question(page, new_run):
    type_in(page.ask_card.field, "long")

    assert "is no number" in page.ask_card.field.complaint
    assert page.ask_card.name == "minutes"


def test_a_reading_is_added(page, new_run, session):
    click(page.readings.add_button)
    type_in(page.readings.rows[0]["name"], "oil pressure at idle")
    type_in(page.readings.rows[0]["value"], "1,2")

    readings = session.project.all(Reading, test_run_id=new_run().id)
    assert [(each.name, each.value) for each in readings] == [("oil pressure at idle", 1.2)]


def test_the_inspection_after_it_names_the_run(page, new_run, session):
    run = new_run()

    click(page.inspect_button)

    kind, key = session.entry
    assert kind is EntryKind.INSPECTION
    assert session.project.get(Inspection, key).test_run_id == run.id


def test_a_run_is_removed_and_comes_back(page, new_run, session):
    run = new_run()

    click(page.remove_button)
    is_gone = session.project.find(TestRun, run.id) is None
    session.undo_stack.undo()

    assert is_gone
    assert session.project.get(TestRun, run.id) == run


def test_a_run_that_inspections_name_stays(page, session, qtbot):
    session.pick(entry=(EntryKind.TEST_RUN, session.project.all(TestRun)[0].id))

    with qtbot.waitSignal(session.failed) as told:
        click(page.remove_button)

    assert "1 inspection" in str(told.args[0])


def test_without_a_run_it_offers_to_record_one(empty_session, qtbot):
    page = RunPage(empty_session)
    qtbot.addWidget(page)

    assert page.stack.currentIndex() == 1


def test_without_an_engine_it_says_what_to_do_first(empty_session, qtbot):
    with qtbot.waitSignal(empty_session.failed) as told:
        start_run(empty_session)

    assert "page Engine" in str(told.args[0])


def test_the_oil_account_follows_what_is_typed(page, new_run):
    assert "no inspection followed the run" in page.account.sentence.text()

    for name, value in (("oil_before_ml", "5000"), ("oil_after_ml", "4000")):
        type_in(page.form.fields[name], value)

    assert new_run().oil_after_ml == 4000
    assert "missing" in page.account.details.text()
    assert "The loss assumes" in page.account.details.text()


def test_heights_on_the_dipstick_are_kept_and_refused_out_of_reason(page, new_run):
    type_in(page.form.fields["dipstick_before_mm"], "18.5")
    type_in(page.form.fields["dipstick_after_c"], "900")

    assert new_run().dipstick_before_mm == 18.5
    assert new_run().dipstick_after_c is None
