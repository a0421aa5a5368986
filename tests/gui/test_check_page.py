"""Recording a check before the teardown."""

from datetime import datetime, timedelta

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from leaktrack.gui.pages.check_page import CheckPage
from leaktrack.model.engine import Joint
from leaktrack.model.inspection import Check, CheckKind, CheckResult
from leaktrack.model.logbook import EntryKind
from leaktrack.model.photo import Photo
from leaktrack.places import demo_source
from tests.gui.filling_in import choose, press, type_in


@pytest.fixture
def page(session, qtbot):
    made = CheckPage(session)
    qtbot.addWidget(made)
    made.resize(800, 900)
    made.show()
    made.start_new()
    return made


@pytest.fixture
def stored(page, session):
    return lambda: session.project.get(Check, session.entry[1])


def test_a_new_check_is_open_and_waits_for_its_name(page, stored, qtbot):
    assert (stored().result, stored().done_at) == (CheckResult.OPEN, None)
    assert QApplication.focusWidget() is page.name_field.line

    qtbot.keyClicks(page.name_field.line, "Breather valve")
    press(page.name_field.line, Qt.Key.Key_Return)

    assert stored().name == "Breather valve"


def test_all_of_it_is_recorded(page, stored, session, qtbot):
    fields = page.form.fields
    choose(fields["kind"], "pressure test")
    choose(fields["result"], "failed")
    type_in(fields["done_at"], "2026-04-04 17:10")
    fields["finding"].text.setFocus()
    qtbot.keyClicks(fields["finding"].text, "Blows by.")
    fields["implies"].text.setFocus()
    qtbot.keyClicks(fields["implies"].text, "New rings?")
    press(fields["rides_along"].box, Qt.Key.Key_Space)
    choose(page.joint_field, "Bank 1 cover joint")
    joint = session.project.all(Joint, name="Bank 1 cover joint")[0]

    check = stored()
    assert (check.kind, check.result) == (CheckKind.PRESSURE, CheckResult.FAILED)
    assert (check.finding, check.implies) == ("Blows by.", "New rings?")
    assert check.rides_along
    assert check.joint_id == joint.id
    assert check.done_at == datetime(2026, 4, 4, 17, 10).astimezone()


def test_an_open_check_takes_no_date(page, stored):
    type_in(page.form.fields["done_at"], "2026-04-04 17:10")

    assert "still open" in page.form.fields["done_at"].complaint
    assert stored().done_at is None


def test_opening_a_check_again_takes_its_date_back(page, stored, session):
    choose(page.form.fields["result"], "passed")
    type_in(page.form.fields["done_at"], "2026-04-04 17:10")

    choose(page.form.fields["result"], "open")
    is_open = (stored().result, stored().done_at) == (CheckResult.OPEN, None)
    session.undo_stack.undo()

    assert is_open
    assert stored().done_at - datetime(2026, 4, 4, 17, 10).astimezone() == timedelta(0)


def test_a_check_without_a_name_is_refused(page, stored):
    type_in(page.name_field, " ")

    assert "no name" in page.name_field.complaint
    assert stored().name == "New check"


def test_its_photos_are_shown_and_added_to(page, session, qtbot):
    strainer = next(each for each in session.project.all(Check) if "strainer" in each.name)
    session.pick(entry=(EntryKind.CHECK, strainer.id))
    assert [row.photo.original_name for row in page.photos.model.rows] == ["strainer.jpg"]
    copy = session.project.folder / "twin.jpg"
    copy.write_bytes((demo_source() / "photos" / "strainer.jpg").read_bytes() + b"\0")

    page.photos.add_sources((copy,))

    qtbot.waitUntil(lambda: len(page.photos.model.rows) == 2, timeout=10_000)
    assert len(session.project.all(Photo, check_id=strainer.id)) == 2


def test_a_file_that_is_no_photo_is_named(page, session, qtbot, tmp_path):
    bad = tmp_path / "note.jpg"
    bad.write_text("not a photo")

    page.photos.add_sources((bad,))

    qtbot.waitUntil(lambda: page.photos.added_list.isVisible(), timeout=10_000)
    assert "note.jpg" in page.photos.added_list.lines[0]
