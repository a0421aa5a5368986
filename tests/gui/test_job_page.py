"""Recording a sealing job with its evidence, and seeing where it left its rule."""

from datetime import datetime, timedelta

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from leaktrack.gui.dialogs.photo_chooser import PhotoChooser
from leaktrack.gui.pages.job_page import JobPage
from leaktrack.model.engine import Joint, SealKind
from leaktrack.model.logbook import EntryKind
from leaktrack.model.photo import Clip, Photo
from leaktrack.model.sealing_job import (
    BeadPlace,
    Evidence,
    Part,
    PartCondition,
    SealingJob,
    TorquePass,
)
from leaktrack.places import demo_source
from leaktrack.workflows.set_up_engine import new_joint
from tests.gui.filling_in import choose, click, press, type_in


@pytest.fixture
def page(session, qtbot):
    first = session.project.all(SealingJob)[0]
    session.pick(entry=(EntryKind.SEALING_JOB, first.id))
    made = JobPage(session)
    qtbot.addWidget(made)
    made.resize(1000, 900)
    made.show()
    return made


@pytest.fixture
def fields(page):
    return page.job_form.form.fields


@pytest.fixture
def new_job(page, session):
    page.start_new()
    return lambda: session.project.get(SealingJob, session.entry[1])


def test_it_shows_the_picked_job_with_its_departures(page):
    assert page.heading.text() == "Bank 1 cover joint, sealed on 2026-03-07"
    assert page.deviations.heading.text().startswith("One departure from the rule of")
    assert page.deviations.sentences == (
        "Cover bolts with thread sealant patch: single-use part used again",
    )


def test_closing_too_late_is_told_with_both_figures(page, fields):
    # Open time 10 min by the demo's rule; laid at 15:40 UTC.
    laid_at = page.record.bead_laid_at.astimezone()

    type_in(fields["closed_at"], f"{laid_at + timedelta(minutes=17):%H:%M}")

    assert "Closed too late: 17 min, the rule says 10 min" in page.deviations.sentences
    assert page.deviations.heading.text().startswith("2 departures")


def test_closing_before_the_bead_was_laid_is_refused(page, fields):
    laid_at = page.record.bead_laid_at.astimezone()

    type_in(fields["closed_at"], f"{laid_at - timedelta(minutes=5):%H:%M}")

    assert "before its bead was laid" in fields["closed_at"].complaint


def test_what_is_emptied_counts_as_not_recorded(page, fields):
    type_in(fields["bead_mm"], "")

    assert "Not recorded, so it cannot be checked: bead width." in page.deviations.sentences


def test_a_new_job_is_on_the_joint_shown_and_replaces_the_last_one(page, new_job, session):
    joint = session.project.all(Joint, name="Bank 1 cover joint")[0]
    earlier = session.project.all(SealingJob, joint_id=joint.id)[-2]

    assert new_job().joint_id == joint.id
    assert new_job().supersedes_id == earlier.id
    assert QApplication.focusWidget() is page.job_form.form.fields["done_at"].editor
    assert page.earlier_button.isVisible()


def test_a_link_leads_to_the_job_that_was_replaced(page, new_job, session):
    earlier_id = new_job().supersedes_id

    click(page.earlier_button)

    assert page.record.id == earlier_id
    assert page.later_button.isVisible()


def test_all_facts_of_a_job_are_recorded(page, new_job, fields):
    choose(fields["material_id"], "Blue silicone gasket maker")
    type_in(fields["bead_mm"], "2,2")
    choose(fields["bead_place"], "around the bolt holes")
    type_in(fields["bead_laid_at"], "2026-04-30 10:00")
    type_in(fields["closed_at"], "2026-04-30 10:06")
    type_in(fields["temperature_c"], "18")
    type_in(fields["humidity_percent"], "55")
    type_in(fields["surface_work"], "scraper, cleaner")
    type_in(fields["done_by"], "Team B")

    job = new_job()
    assert (job.bead_mm, job.bead_place) == (2.2, BeadPlace.AROUND_BOLTS)
    assert job.closed_at == datetime(2026, 4, 30, 10, 6).astimezone()
    assert (job.temperature_c, job.humidity_percent) == (18, 55)
    assert (job.surface_work, job.done_by) == ("scraper, cleaner", "Team B")
    assert page.job_form.times_label.text() == "From bead to closing: 6 min."
    assert "Bead too thin: 2.2 mm, the rule says 2.5 mm" in page.deviations.sentences


def test_what_nobody_knows_about_a_job_is_marked(page, new_job, fields):
    click(fields["humidity_percent"].unknown_button)

    assert new_job().unknown_facts == ("humidity_percent",)


def test_rounds_of_tightening_are_numbered_in_order(page, new_job, session):
    passes = page.job_form.passes
    click(passes.add_button)
    type_in(passes.rows[0]["torque_nm"], "5")
    click(passes.add_button)
    type_in(passes.rows[1]["torque_nm"], "10")
    type_in(passes.rows[1]["bolt_numbers"], "1-3, 7")
    click(passes.remove_buttons[0])

    left = session.project.all(TorquePass, sealing_job_id=new_job().id)
    assert [(each.number, each.torque_nm, each.bolt_numbers) for each in left] == [
        (1, 10, (1, 2, 3, 7))
    ]


def test_a_bolt_that_the_joint_does_not_have_is_refused(page, new_job, session):
    passes = page.job_form.passes
    click(passes.add_button)

    type_in(passes.rows[0]["bolt_numbers"], "12")

    assert "bolt 12" in passes.rows[0]["bolt_numbers"].complaint


def test_a_reused_single_use_part_is_a_departure(page, new_job, session):
    parts = page.job_form.parts
    click(parts.add_button)
    type_in(parts.rows[0]["name"], "crush washer")
    choose(parts.rows[0]["condition"], "reused")
    press(parts.rows[0]["is_single_use"].box, Qt.Key.Key_Space)

    part = session.project.all(Part, sealing_job_id=new_job().id)[0]
    assert (part.name, part.condition) == ("crush washer", PartCondition.REUSED)
    assert "Crush washer: single-use part used again" in page.deviations.sentences


def test_choosing_another_joint_shows_its_last_job(page, session):
    choose(page.chooser.joint_field, "Bank 2 cover joint")

    joint = session.project.all(Joint, name="Bank 2 cover joint")[0]
    assert page.record == session.project.all(SealingJob, joint_id=joint.id)[-1]
    assert session.joint_id == joint.id


def test_choosing_an_earlier_job_picks_it(page, session):
    joint_id = page.record.joint_id
    last = session.project.all(SealingJob, joint_id=joint_id)[-1]

    choose(page.chooser.job_field, f"{last.done_at.astimezone():%Y-%m-%d %H:%M}")

    assert session.entry == (EntryKind.SEALING_JOB, last.id)


def test_a_joint_that_nobody_sealed_offers_to_record_a_job(page, session):
    zone_id = session.project.get(Joint, page.record.joint_id).zone_id
    joint, edit = new_joint(session.project, zone_id, "Plug", SealKind.WASHER)
    session.do("Add joint", edit)

    session.pick(joint_id=joint.id)

    assert page.stack.currentIndex() == 1


def test_evidence_photos_are_shown(page):
    names = {row.photo.original_name for row in page.photos.model.rows}

    assert names == {f"bank1_cover_bead_{letter}.jpg" for letter in "abc"}


def test_photos_of_the_project_become_evidence(page, new_job, session, monkeypatch):
    photos = session.project.all(Photo)[:2]
    monkeypatch.setattr(PhotoChooser, "ask", lambda *_: tuple(photo.id for photo in photos))

    click(page.choose_button)

    evidence = session.project.all(Evidence, sealing_job_id=new_job().id)
    assert {each.photo_id for each in evidence} == {photo.id for photo in photos}
    assert len(page.photos.model.rows) == 2


def test_a_file_becomes_evidence(page, new_job, session, qtbot, tmp_path):
    file = tmp_path / "bead.jpg"
    file.write_bytes((demo_source() / "photos" / "bank1_cover_bead_a.jpg").read_bytes() + b"\0")

    page.photos.add_sources((file,))

    qtbot.waitUntil(lambda: len(page.photos.model.rows) == 1, timeout=10_000)
    assert len(session.project.all(Evidence, sealing_job_id=new_job().id)) == 1


def test_a_photo_is_taken_away_from_the_job_and_stays_in_the_project(page, session):
    page.photos.grid.setCurrentIndex(page.photos.model.index(0))

    press(page.photos.grid, Qt.Key.Key_Delete)

    assert len(page.photos.model.rows) == 2
    assert len(session.project.all(Photo)) == 26


def test_the_chooser_offers_assembly_photos_first(session, qtbot):
    dialog = PhotoChooser(session, "Photos of the job")
    qtbot.addWidget(dialog)
    dialog.show()
    is_loose = [row.photo.inspection_id is None for row in dialog.model.rows]

    assert is_loose == sorted(is_loose, reverse=True)
    assert not dialog.take_button.isEnabled()

    dialog.grid.setCurrentIndex(dialog.model.index(0))

    assert dialog.take_button.text() == "Take this photo"


@pytest.fixture
def footage(page, qtbot):
    qtbot.waitUntil(lambda: not page.footage.player.view.image.isNull(), timeout=10_000)
    return page.footage


def test_the_first_span_is_opened_at_its_start(footage):
    assert footage.spans.count() == 2
    assert footage.player.span == (8240, 24760)
    assert footage.player.at_ms == 8240


def test_a_span_opens_with_enter(footage, qtbot):
    footage.spans.setFocus()
    press(footage.spans, Qt.Key.Key_Down)
    press(footage.spans, Qt.Key.Key_Return)

    qtbot.waitUntil(lambda: footage.player.at_ms == 57_240, timeout=10_000)


def test_a_marked_span_is_kept_as_evidence(footage, page, session, qtbot):
    player = footage.player
    player.jump(2000)
    qtbot.waitUntil(lambda: player.at_ms == 2000)
    click(player.transport.start_button)
    player.jump(3000)
    qtbot.waitUntil(lambda: player.at_ms == 3000)
    click(player.transport.end_button)
    click(player.transport.keep_button)

    spans = session.project.all(Evidence, sealing_job_id=page.record.id, start_ms=2000)
    assert [each.end_ms for each in spans] == [3000]
    assert footage.spans.count() == 3


def test_a_still_becomes_a_photo_and_evidence_in_one_step(footage, page, session, qtbot):
    before = len(session.project.all(Photo))

    click(footage.player.transport.still_button)
    qtbot.waitUntil(lambda: len(page.photos.model.rows) == 4, timeout=10_000)

    still = page.photos.model.rows[-1].photo
    assert len(session.project.all(Photo)) == before + 1
    assert "at 0:00:08.240" in session.project.get(Photo, still.id).note

    session.undo_stack.undo()

    assert len(page.photos.model.rows) == 3


def test_what_a_span_shows_is_written_down(footage, page, session):
    type_in(footage.span_note, "the gap at bolt 4.5")

    notes = [each.note for each in session.project.all(Evidence, sealing_job_id=page.record.id)]
    assert "the gap at bolt 4.5" in notes


def test_a_span_is_taken_away(footage, page, session):
    press(footage.spans, Qt.Key.Key_Delete)

    assert footage.spans.count() == 1
    assert len(session.project.all(Clip)) == 1


def test_a_video_that_is_here_already_is_named(footage, session, qtbot):
    with qtbot.waitSignal(session.failed, timeout=10_000) as told:
        footage.add_video(demo_source() / "assembly_video.mp4")

    assert "in the project already" in str(told.args[0])


def test_a_clip_wanted_elsewhere_is_shown_here(footage, session, qtbot):
    session.clip_wanted.emit(session.project.all(Clip)[0].id, 30_000)

    qtbot.waitUntil(lambda: footage.player.at_ms == 30_000, timeout=10_000)


def test_a_job_is_removed_and_comes_back_with_all_of_it(page, new_job, session):
    job_id = new_job().id
    click(page.job_form.passes.add_button)

    click(page.remove_button)
    is_gone = session.project.find(SealingJob, job_id) is None
    session.undo_stack.undo()

    assert is_gone
    assert len(session.project.all(TorquePass, sealing_job_id=job_id)) == 1


def test_a_job_that_a_verdict_names_stays(page, session, qtbot):
    with qtbot.waitSignal(session.failed) as told:
        click(page.remove_button)

    assert "verdict" in str(told.args[0])
