"""Measuring a bead on the page of its sealing job, by buttons and keys."""

from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QPushButton

from leaktrack.gui.pages import bead_box, bead_following
from leaktrack.gui.pages.job_page import JobPage
from leaktrack.gui.photo_view.tool import Pointer
from leaktrack.model.bead_audit import BeadAudit, BeadDefectKind, BeadVerdict, UnreadStretch
from leaktrack.model.errors import UnreadablePhoto
from leaktrack.model.identity import new_id
from leaktrack.model.logbook import EntryKind
from leaktrack.model.photo import Photo
from leaktrack.model.sealing_job import SealingJob
from leaktrack.model.shapes import PointPx
from tests.gui.filling_in import click

pytestmark = pytest.mark.gui
OPEN_PHOTO = "bank1_cover_bead_b.jpg"


@pytest.fixture
def page(session, qtbot):
    first = session.project.all(SealingJob)[0]
    session.pick(entry=(EntryKind.SEALING_JOB, first.id))
    made = JobPage(session)
    qtbot.addWidget(made)
    made.resize(1100, 1400)
    made.show()
    return made


@pytest.fixture
def box(page):
    return page.bead


@pytest.fixture
def measured(box, session, monkeypatch, qtbot):
    """Take the photo that nobody measured; what measuring finds is given."""
    kept = session.project.all(BeadAudit)[0]
    button = photo_button(box, OPEN_PHOTO)
    photo_id = button.property("photo_id")
    found = replace(
        kept, id=new_id(), photo_id=photo_id, unread=(UnreadStretch(20.0, 25.0, "glare"),)
    )
    monkeypatch.setattr(bead_box, "audit_bead", lambda *given, **more: found)
    click(button)
    return found


def photo_button(box, name):
    return next(each for each in box.photo_row.findChildren(QPushButton) if each.text() == name)


def rows(box):
    return [each.text() for each in box.defects.findChildren(QPushButton) if not each.isHidden()]


def measure(box, qtbot):
    click(box.measure_button)
    qtbot.waitUntil(lambda: box.measure_button.isEnabled())


def test_the_demos_first_bead_has_its_gap_halfway_from_bolt_4_to_5(box, qtbot):
    (gap,) = box.audit.defects

    assert gap.kind is BeadDefectKind.GAP
    # Truth of the rendering: 5 mm, from 149.6 mm on.
    assert (gap.start, gap.end) == pytest.approx((149.6, 154.6), abs=1)
    assert box.audit.verdict is BeadVerdict.DEFECTIVE
    qtbot.waitUntil(lambda: len(rows(box)) == 1)
    assert "bolt 4.5" in rows(box)[0]
    assert "defective" in box.verdict.text()
    assert "text on the tube" in box.verdict.text()


def test_a_photo_that_nobody_measured_says_so(box, measured):
    assert box.audit is None
    assert box.verdict.text() == "Not measured yet."
    assert box.chart.isHidden()


def test_measuring_proposes_and_keeping_records_and_can_be_undone(box, measured, session, qtbot):
    measure(box, qtbot)
    assert box.audit == measured
    assert "Not kept yet" in box.verdict.text()
    assert measured not in session.project.all(BeadAudit)

    click(box.keep_button)

    assert measured in session.project.all(BeadAudit)
    session.undo_stack.undo()
    assert measured not in session.project.all(BeadAudit)


def test_discarding_leaves_nothing(box, measured, session, qtbot):
    measure(box, qtbot)
    before = session.project.all(BeadAudit)

    click(box.drop_button)

    assert box.audit is None
    assert session.project.all(BeadAudit) == before


def test_a_kept_measurement_can_be_removed(box, session):
    kept = box.audit

    click(box.drop_button)

    assert kept not in session.project.all(BeadAudit)


def test_a_click_on_a_defect_shows_the_photo_there(box, qtbot):
    button = next(each for each in box.defects.findChildren(QPushButton))

    click(button)

    assert not box.view.isHidden()
    assert box.view.photo_id == box.audit.photo_id
    assert "gap" in box.chart.accessibleDescription()


def test_the_chart_is_read_by_arrow_keys(box, qtbot):
    box.chart.setFocus()

    qtbot.keyClick(box.chart, Qt.Key.Key_End)

    assert box.chart.cursor_place == box.audit.points[-1].along
    assert "wide" in box.chart.accessibleDescription()
    qtbot.keyClick(box.chart, Qt.Key.Key_Left)
    assert box.chart.cursor_place < box.audit.points[-1].along


def test_what_could_not_be_judged_is_listed_with_its_reason(box, measured, qtbot):
    measure(box, qtbot)

    words = "20 to 25 mm cannot be judged: glare. Look yourself."
    qtbot.waitUntil(lambda: words in rows(box))
    assert "not read: glare" in box.chart.words_at(22)


def test_a_photo_that_cannot_be_read_is_told(box, measured, session, qtbot, monkeypatch):
    def fail(*given, **more):
        raise UnreadablePhoto("The photo is damaged.")

    monkeypatch.setattr(bead_box, "audit_bead", fail)
    told = []
    session.failed.connect(told.append)

    measure(box, qtbot)

    assert [str(each) for each in told] == ["The photo is damaged."]


def test_without_photos_it_says_what_to_do(page, box, session):
    bare = next(
        job
        for job in session.project.all(SealingJob)
        if not session.project.all(BeadAudit, sealing_job_id=job.id)
        and not bead_box.photos_of_job(session.project, job.id)
    )

    session.pick(entry=(EntryKind.SEALING_JOB, bare.id))
    page.reload()

    assert not box.hint.isHidden()
    assert box.measure_button.isHidden()


def test_photos_shown_are_those_of_the_job(box, session):
    names = {photo.id: photo.original_name for photo in session.project.all(Photo)}

    shown = [each.property("photo_id") for each in box.photo_row.findChildren(QPushButton)]

    assert {names[each] for each in shown} == {f"bank1_cover_bead_{x}.jpg" for x in "abc"}


@pytest.fixture
def following(box, measured, qtbot):
    """Choose to follow the bead in a photo; what lies between the clicks is given."""
    click(box.follow_button)
    qtbot.waitUntil(lambda: box.view.tool is not None)
    return box


def touch(view, x, y):
    view.tool.press(Pointer(PointPx(x, y)))


def test_a_bead_is_followed_between_clicks_and_measured_at_a_key(
    following, measured, monkeypatch, qtbot
):
    asked, given = [], {}

    def follow(project, photo_id, clicks, progress):
        asked.append(clicks)
        return clicks

    monkeypatch.setattr(bead_following, "follow_bead", follow)
    monkeypatch.setattr(bead_box, "audit_bead", lambda *_, **more: given.update(more) or measured)
    view = following.view

    touch(view, 100, 500)
    touch(view, 900, 500)
    qtbot.waitUntil(lambda: len(view.tool.sketch.path) == 2 and "Enter" in view.tool.hint)
    touch(view, 500, 540)  # the way between the two went astray
    qtbot.waitUntil(lambda: "Enter" in view.tool.hint)
    qtbot.keyClick(view, Qt.Key.Key_Return)

    assert asked[-1] == (PointPx(100, 500), PointPx(500, 540), PointPx(900, 500))
    qtbot.waitUntil(lambda: "followed" in given)  # it is measured in the background
    assert given["followed"] == asked[-1]
    qtbot.waitUntil(lambda: following.audit == measured)
    assert following.view.tool is None


def test_escape_stops_following_and_nothing_is_measured(following, qtbot):
    touch(following.view, 100, 500)

    qtbot.keyClick(following.view, Qt.Key.Key_Escape)

    assert following.view.tool is None
    assert following.audit is None
    assert following.follow_button.isEnabled()


def test_a_click_is_taken_back_and_enter_needs_a_path(following, qtbot):
    touch(following.view, 100, 500)
    qtbot.keyClick(following.view, Qt.Key.Key_Return)
    assert following.view.tool is not None

    qtbot.keyClick(following.view, Qt.Key.Key_Backspace)

    assert following.view.tool.clicks == ()
