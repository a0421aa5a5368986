"""What past work teaches, and grading blind."""

import pytest
from PySide6.QtCore import Qt

from leaktrack.gui.pages.blind_grading import BlindGradingDialog
from leaktrack.gui.pages.seals_page import SealsPage
from leaktrack.model.agreement import BlindGrade
from leaktrack.model.inspection import Inspection, TestRun
from leaktrack.model.leak import SeepageGrade
from leaktrack.model.record import added
from leaktrack.model.removed_seal import RemovedSeal, SealFailure
from leaktrack.model.shapes import PointPx
from tests.builders import (
    A_MOMENT,
    a_face,
    a_job,
    a_joint,
    a_leak,
    a_mark,
    a_photo,
    a_zone,
    an_engine,
)
from tests.gui.filling_in import click, press

pytestmark = pytest.mark.gui


@pytest.fixture
def session(empty_session):
    """One joint that leaked at its first look after an hour, and a seal that came out of it."""
    engine = an_engine()
    face = a_face(engine.id)
    zone = a_zone(face.id)
    joint = a_joint(zone.id)
    job = a_job(joint.id)
    run = TestRun(engine_id=engine.id, started_at=A_MOMENT, minutes=60.0)
    look = Inspection(engine_id=engine.id, looked_at=A_MOMENT, done_by="Anna")
    photo = a_photo(zone_id=zone.id, inspection_id=look.id)
    leak = a_leak(zone.id, joint_id=joint.id)
    mark = a_mark(leak.id, photo.id, grade=SeepageGrade.SEEP, source_px=PointPx(50, 60))
    seal = RemovedSeal(sealing_job_id=job.id, examined_at=A_MOMENT, failure=SealFailure.NO_BOND)
    empty_session.project.apply(
        added(engine, face, zone, joint, job, run, look, photo, leak, mark, seal)
    )
    empty_session.engine_id = engine.id
    return empty_session


@pytest.fixture
def page(session, qtbot):
    made = SealsPage(session)
    qtbot.addWidget(made)
    made.resize(900, 900)
    made.show()
    qtbot.waitUntil(lambda: made.table.model().rowCount() > 0, timeout=20_000)
    return made


def test_it_tells_how_long_seals_last_or_that_they_are_too_few(page):
    assert page.table.model().index(0, 0).data() == "all seals"
    assert page.table.model().index(0, 1).data() == "1 of 1"
    assert page.group_words.text().endswith("Too few to say how long they last.")
    assert page.chart.isVisible()

    page.table.setFocus()
    press(page.table, Qt.Key.Key_Down)
    assert page.group_words.text().startswith("liquid gasket: 1 of 1 leaked")


def test_a_removed_seal_leads_to_its_job(page, session):
    buttons = [page._removed.itemAt(row).widget() for row in range(page._removed.count())]
    assert "no bond to the surface" in buttons[0].text()
    click(buttons[0])

    assert session.entry[1] == session.project.all(RemovedSeal)[0].sealing_job_id


def test_an_empty_project_says_what_is_missing(empty_session, qtbot):
    page = SealsPage(empty_session)
    qtbot.addWidget(page)
    page.show()
    qtbot.waitUntil(lambda: "Record runs" in page.state.text(), timeout=20_000)

    assert not page.table.isVisible()


def test_somebody_grades_blind_by_keys_and_sees_no_mark(page, session, qtbot):
    dialog = BlindGradingDialog(session, page)
    dialog.show()
    qtbot.keyClicks(dialog.name_line, "Ben")
    press(dialog.name_line, Qt.Key.Key_Return)
    assert dialog.heading.text() == "Place 1 of 1: how wet is leak 1 here?"
    assert dialog.view.drawn_marks == []
    qtbot.keyClick(dialog, "3")

    (given,) = session.project.all(BlindGrade)
    assert (given.grade, given.graded_by) == (SeepageGrade.HEAVY_SEEP, "Ben")
    assert "All 1 places shown" in dialog.heading.text()
    press(dialog.back_button, Qt.Key.Key_Space)
    click(dialog.grades.button(SeepageGrade.SEEP))
    assert [one.grade for one in session.project.all(BlindGrade)] == [SeepageGrade.SEEP]
    session.undo_stack.undo()
    session.undo_stack.undo()
    assert session.project.all(BlindGrade) == ()
    dialog.close()


def test_whoever_gives_no_name_grades_nothing(page, session):
    dialog = BlindGradingDialog(session, page)
    dialog.show()
    dialog.start()

    assert "no name" in dialog.state.text()
    dialog.close()
