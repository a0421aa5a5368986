"""Fields and forms: one answer is one step, what is wrong says so and changes nothing."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from PySide6.QtCore import QDate, QPoint, QPointF, Qt
from PySide6.QtGui import QWheelEvent
from PySide6.QtWidgets import QApplication

from leaktrack.gui.forms.choice_fields import ChoiceField, FlagField
from leaktrack.gui.forms.field_grid import MENU_LETTERS, FieldGrid, give_mnemonics
from leaktrack.gui.forms.fields import NumberField, TextField
from leaktrack.gui.forms.forms import RecordForm
from leaktrack.gui.forms.note_field import NoteField
from leaktrack.gui.forms.row_list import RowList
from leaktrack.gui.forms.time_field import TimeField
from leaktrack.gui.forms.units import IMPERIAL, unit_of
from leaktrack.model.inspection import Reading, TestRun
from leaktrack.model.record import added
from leaktrack.workflows import check_input
from leaktrack.workflows.record_run import amend_run, set_readings
from tests.gui.filling_in import choose, click, press, type_in

SEVENTH = datetime(2026, 3, 7, 16, 40, tzinfo=UTC)


@pytest.fixture
def run(session):
    run = TestRun(
        engine_id=session.engine_id, started_at=SEVENTH, minutes=25, unknown_facts=("load",)
    )
    session.project.apply(added(run))
    return run


@pytest.fixture
def form(session, run, qtbot):
    made = RecordForm(session, lambda before, after: amend_run(session.project, before, after))
    unit = lambda: unit_of("minutes", session.settings.units)  # noqa: E731
    made.add_group(
        "The run",
        {
            "minutes": NumberField("Minutes", unit, can_be_unknown=True),
            "load": TextField("Load", can_be_unknown=True),
            "oil_c": NumberField("Oil", lambda: unit_of("oil_c", session.settings.units)),
            "started_at": TimeField("Started", is_required=True),
            "note": NoteField("Note"),
        },
        wide=("note",),
    )
    qtbot.addWidget(made)
    made.show()
    session.records_changed.connect(lambda: made.show_record(session.project.get(TestRun, run.id)))
    made.show_record(run)
    return made


@pytest.fixture
def stored(session, run):
    return lambda: session.project.get(TestRun, run.id)


def test_an_answer_is_stored_and_can_be_taken_back(form, session, stored):
    type_in(form.fields["minutes"], "30,5")

    assert stored().minutes == 30.5
    assert session.undo_stack.undoText() == "Change Minutes (min)"

    session.undo_stack.undo()

    assert stored().minutes == 25
    assert form.fields["minutes"].line.text() == "25"


def test_leaving_a_field_unchanged_leaves_no_step(form, session, stored):
    third = replace(stored(), oil_c=100 / 3)
    session.do("A third", amend_run(session.project, stored(), third))

    form.fields["oil_c"].line.setFocus()
    press(form.fields["oil_c"].line, Qt.Key.Key_Return)
    form.fields["load"].line.setFocus()

    assert session.undo_stack.count() == 1
    assert stored().oil_c == 100 / 3


def test_bad_input_is_marked_with_a_sentence_and_changes_nothing(form, session, stored):
    field = form.fields["minutes"]

    type_in(field, "half an hour")

    assert "is no number" in field.complaint
    assert field.problem.isVisible()
    assert field.editor.accessibleDescription() == field.complaint
    assert field.line.text() == "half an hour"
    assert stored().minutes == 25
    assert session.undo_stack.count() == 0


def test_a_value_out_of_reason_is_refused_below_its_field(form, stored):
    type_in(form.fields["oil_c"], "900")

    assert "cannot be 900" in form.fields["oil_c"].complaint
    assert stored().oil_c is None


def test_escape_brings_back_what_is_recorded(form):
    field = form.fields["minutes"]
    type_in(field, "x")

    press(field.line, Qt.Key.Key_Escape)

    assert field.line.text() == "25"
    assert field.complaint == ""


def test_escape_drops_a_note_that_was_not_left_yet(form, stored, qtbot):
    note = form.fields["note"]
    note.text.setFocus()
    qtbot.keyClicks(note.text, "ran rough")

    press(note.text, Qt.Key.Key_Escape)
    form.fields["load"].line.setFocus()

    assert note.text.toPlainText() == ""
    assert not stored().note


def test_other_changes_leave_alone_what_was_refused(form, session):
    type_in(form.fields["minutes"], "x")

    type_in(form.fields["load"], "idle")

    assert form.fields["minutes"].line.text() == "x"


def test_what_nobody_knows_is_said_and_can_be_answered_after_all(form, stored):
    field = form.fields["load"]
    assert field.line.placeholderText() == "nobody knows"

    type_in(field, "idle")

    assert stored().load == "idle"
    assert stored().unknown_facts == ()


def test_a_fact_can_be_marked_unknown_and_asked_for_again(form, session, stored):
    field = form.fields["minutes"]
    assert not field.unknown_button.isEnabled()  # it is known

    type_in(field, "")
    click(field.unknown_button)

    assert stored().minutes is None
    assert set(stored().unknown_facts) == {"load", "minutes"}

    click(field.unknown_button)

    assert stored().unknown_facts == ("load",)


def test_imperial_units_are_converted_at_the_edge(form, session, stored):
    session.settings = replace(session.settings, units=IMPERIAL)
    session.records_changed.emit()
    field = form.fields["oil_c"]
    assert field.label.text().replace("&", "") == "Oil (°F)"

    type_in(field, "212")

    assert stored().oil_c == pytest.approx(100)
    assert field.line.text() == "212"


def test_a_note_is_taken_when_the_person_leaves_it(form, stored, qtbot):
    note = form.fields["note"]
    note.text.setFocus()
    qtbot.keyClicks(note.text, "ran rough")

    form.fields["load"].line.setFocus()

    assert stored().note == "ran rough"


def test_a_time_that_is_needed_cannot_be_emptied(form, stored):
    type_in(form.fields["started_at"], "")

    assert "needs a time" in form.fields["started_at"].complaint
    assert stored().started_at == SEVENTH


def test_a_day_is_chosen_and_the_time_of_day_stays(form, stored):
    form.fields["started_at"].take_day(QDate(2026, 3, 9))

    assert stored().started_at == SEVENTH.replace(day=9)


@pytest.mark.parametrize(
    ("typed", "minutes", "complaint"),
    [
        ("31 min", 31, ""),
        ("31,5 MIN", 31.5, ""),
        ("31 h", 25, "'31 h' is no number"),
        ("min", 25, "'min' is no number"),
    ],
)
def test_a_number_may_be_typed_with_the_unit_of_its_field(form, stored, typed, minutes, complaint):
    type_in(form.fields["minutes"], typed)

    assert form.fields["minutes"].complaint.startswith(complaint)
    assert bool(form.fields["minutes"].complaint) == bool(complaint)
    assert stored().minutes == minutes


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("2096-03-07 16:40", "still to come"),
        ("0206-03-07 16:40", "before any engine's time"),
        ("0001-01-01 00:00", "not on any clock"),
        ("9999-12-31 23:59 -12:00", "still to come"),
    ],
)
def test_a_slip_of_the_year_is_told_and_changes_nothing(form, stored, typed, said):
    type_in(form.fields["started_at"], typed)

    assert said in form.fields["started_at"].complaint
    assert stored().started_at == SEVENTH


def test_a_clock_that_is_some_minutes_ahead_is_no_mistake(form, stored):
    soon = check_input.this_moment().astimezone() + timedelta(minutes=20)
    type_in(form.fields["started_at"], f"{soon:%Y-%m-%d %H:%M}")

    assert form.fields["started_at"].complaint == ""
    assert stored().started_at == soon.replace(second=0, microsecond=0)


def test_a_day_to_come_is_not_picked(form, stored):
    form.fields["started_at"].take_day(QDate(2096, 3, 9))

    assert "still to come" in form.fields["started_at"].complaint
    assert stored().started_at == SEVENTH


def test_a_day_without_a_time_waits_for_the_time(qtbot):
    field = TimeField("Closed")
    qtbot.addWidget(field)
    field.set_value(None)
    answers = []
    field.answered.connect(answers.append)

    field.take_day(QDate(2026, 3, 9))
    qtbot.keyClicks(field.line, "16:40")
    press(field.line, Qt.Key.Key_Return)

    assert answers == [datetime(2026, 3, 9, 16, 40).astimezone()]


def test_a_choice_is_made_with_the_keyboard(qtbot):
    field = ChoiceField("Dye", {True: "yes", False: "no"})
    qtbot.addWidget(field)
    field.set_value(None)
    answers = []
    field.answered.connect(answers.append)
    assert field.box.currentText() == "not recorded"

    choose(field, "no")

    assert answers == [False]


def test_arrow_keys_open_a_list_and_change_nothing_by_themselves(qtbot):
    field = ChoiceField("Kind", {1: "one", 2: "two"}, is_required=True)
    qtbot.addWidget(field)
    field.show()
    field.set_value(1)
    answers = []
    field.answered.connect(answers.append)

    press(field.box, Qt.Key.Key_Down)
    press(field.box.view(), Qt.Key.Key_Escape)

    assert answers == []
    assert field.box.currentText() == "one"


def test_a_letter_finds_an_answer_in_the_list(qtbot):
    field = ChoiceField("Kind", {1: "one", 2: "two"}, is_required=True)
    qtbot.addWidget(field)
    field.show()
    field.set_value(1)
    answers = []
    field.answered.connect(answers.append)

    qtbot.keyClicks(field.box, "t")
    press(field.box.view(), Qt.Key.Key_Return)

    assert answers == [2]


def test_a_choice_does_not_turn_under_the_wheel(qtbot):
    field = ChoiceField("Kind", {1: "one", 2: "two"}, is_required=True)
    qtbot.addWidget(field)
    field.set_value(1)
    down = QWheelEvent(
        QPointF(5, 5), QPointF(5, 5), QPoint(), QPoint(0, -120), Qt.MouseButton.NoButton,
        Qt.KeyboardModifier.NoModifier, Qt.ScrollPhase.NoScrollPhase, False,
    )  # fmt: skip

    QApplication.sendEvent(field.box, down)

    assert field.box.currentText() == "one"


def test_a_flag_is_ticked_with_the_space_bar(qtbot):
    field = FlagField("Baseline")
    qtbot.addWidget(field)
    field.set_value(False)
    answers = []
    field.answered.connect(answers.append)

    press(field.box, Qt.Key.Key_Space)

    assert answers == [True]


def test_labels_have_letters_of_their_own_and_leave_the_menus_theirs(form):
    fields = list(form.fields.values())

    give_mnemonics(fields)

    letters = [text[text.index("&") + 1].casefold() for text in (f.label.text() for f in fields)]
    assert len(set(letters)) == len(fields)
    assert not set(letters) & set(MENU_LETTERS)
    assert all(field.label.buddy() is field.editor for field in fields)


def test_fields_stand_in_as_many_columns_as_fit(qtbot):
    fields = [TextField(name) for name in "abcdef"]
    grid = FieldGrid(fields)
    qtbot.addWidget(grid)
    grid.show()

    grid.resize(2000, 400)
    qtbot.waitUntil(lambda: fields[5].y() == fields[0].y())
    grid.resize(200, 400)
    qtbot.waitUntil(lambda: fields[1].y() > fields[0].y())


@pytest.fixture
def rows(session, run, qtbot):
    made = RowList(
        session,
        "Readings",
        lambda: {"name": TextField("Name"), "value": NumberField("Value")},
        lambda readings: set_readings(session.project, readings, test_run_id=run.id),
        lambda place, _reading: f"Reading {place + 1}",
        new=lambda readings: Reading(name=f"Reading {len(readings) + 1}", value=0),
        add_text="Add",
    )

    def reload():
        made.show_records(session.project.all(Reading, test_run_id=run.id), run.id)

    qtbot.addWidget(made)
    made.show()
    session.records_changed.connect(reload)
    reload()
    return made


def test_rows_come_change_and_go_one_step_each(rows, session):
    click(rows.add_button)
    type_in(rows.rows[0]["value"], "3.2")
    click(rows.add_button)
    click(rows.remove_buttons[1])

    assert [(each.name, each.value) for each in rows.records] == [("Reading 1", 3.2)]
    assert session.undo_stack.count() == 4

    session.undo_stack.setIndex(0)

    assert rows.records == ()


def test_a_fresh_row_has_the_keyboard(rows):
    click(rows.add_button)

    assert QApplication.focusWidget() is rows.rows[0]["name"].line


def test_a_row_without_a_name_is_refused_below_its_field(rows):
    click(rows.add_button)

    type_in(rows.rows[0]["name"], "  ")

    assert "no name" in rows.rows[0]["name"].complaint
    assert rows.records[0].name == "Reading 1"


def test_each_field_of_a_row_is_named_for_its_row(rows):
    click(rows.add_button)

    assert rows.rows[0]["value"].editor.accessibleName() == "Reading 1: Value"
