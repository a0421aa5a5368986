"""Trace: from a leak to the sealing job, with reasons, evidence and verdicts, by click and key."""

from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLabel

from leaktrack.gui.look.panels import CautionBox
from leaktrack.gui.pages.trace_page import TracePage
from leaktrack.model.clue_words import chance_number
from leaktrack.model.leak import Leak, LeakMark
from leaktrack.model.logbook import EntryKind
from leaktrack.model.photo import Clip
from leaktrack.model.record import added, removed, replaced
from leaktrack.model.sealing_job import Evidence, SealingJob
from leaktrack.model.trace import Cause, CauseState, Clue, ClueKind, Origin
from tests.gui.filling_in import click, press
from tests.gui.looking import unnamed
from tests.leaking_engine import tell


@pytest.fixture
def story(project, session):
    told = tell(project)
    session.engine_id = told.engine.id
    return told


@pytest.fixture
def page(qtbot, session, story):
    session.pick(leak_id=story.gap_leak.id, zone_id=story.cover.id)
    made = TracePage(session)
    qtbot.addWidget(made)
    made.resize(1200, 900)
    made.show()
    return made


def first_card(page):
    return page.list.cards[0]


def solenoid_card(page):
    """The card of the joint that is hardly likely, which has to be asked for."""
    if page.list.more_button is not None:
        click(page.list.more_button)
    return next(card for card in page.list.cards if card.candidate.joint.name == "Solenoid seal")


def cause_of(project, leak, job):
    return next(iter(project.all(Cause, leak_id=leak.id, sealing_job_id=job.id)), None)


def test_the_leak_in_hand_is_shown_in_the_photo_where_it_was_wet_first(page, story):
    assert page.view.photo_id == story.cover_photos[1].id
    assert [mark.number for mark in page.view.drawn_marks] == [1]


def test_candidates_come_nearest_first_with_their_place(page, story):
    assert first_card(page).candidate.joint == story.cover_joint
    assert first_card(page).place_button.text() == "At bolt 3.5"


def test_clues_are_plain_sentences(page):
    sentences = first_card(page).clues.sentences

    assert sentences[0] == "Starts at this joint, 1 mm away, 0.3 times its uncertainty"
    assert "Closed too late: 16 min, the rule says 10 min" in sentences


def test_what_was_not_recorded_comes_in_one_sentence(page):
    sentences = first_card(page).clues.sentences

    assert sum(sentence.startswith("Not recorded: ") for sentence in sentences) == 1


def test_a_verdict_without_a_reason_is_refused_beside_the_field(page, project, story):
    card = solenoid_card(page)
    card.verdict.reason.line.clear()

    click(card.verdict.buttons[CauseState.SUSPECTED])

    assert "needs a reason" in card.verdict.reason.complaint
    assert len(project.all(Cause, leak_id=story.gap_leak.id)) == 1


def test_a_verdict_is_one_step_that_can_be_taken_back(page, project, session, story):
    card = solenoid_card(page)
    job = card.candidate.job
    QTest.keyClicks(card.verdict.reason.line, "dry around it")

    click(card.verdict.buttons[CauseState.RULED_OUT])
    given = cause_of(project, story.gap_leak, job)
    session.undo_stack.undo()

    assert (given.state, given.reason) == (CauseState.RULED_OUT, "dry around it")
    assert cause_of(project, story.gap_leak, job) is None


def test_a_verdict_is_given_by_key_alone(page, project, session, story):
    verdict = first_card(page).verdict
    verdict.reason.line.setFocus()
    verdict.reason.line.selectAll()
    QTest.keyClicks(verdict.reason.line, "looks closed")
    verdict.buttons[CauseState.RULED_OUT].setFocus()

    press(verdict.buttons[CauseState.RULED_OUT], Qt.Key.Key_Space)

    cause = cause_of(project, story.gap_leak, story.first_job)
    assert (cause.state, cause.reason) == (CauseState.RULED_OUT, "looks closed")
    assert session.undo_stack.undoText() == "Verdict on Cover joint: ruled out"


def test_the_verdict_that_stands_is_said_with_its_reason(page):
    assert first_card(page).verdict.said.text().startswith("Confirmed (2026-04-05)")
    assert first_card(page).verdict.buttons[CauseState.CONFIRMED].isChecked()


def test_a_verdict_is_about_the_bolt_that_the_leak_starts_at(page, project, session, story):
    session.pick(leak_id=story.bolt_leak.id)

    click(first_card(page).verdict.buttons[CauseState.CONFIRMED])

    cause = cause_of(project, story.bolt_leak, story.first_job)
    assert (cause.state, cause.bolt_id) == (CauseState.CONFIRMED, story.bolt_4.id)


def test_a_reason_being_typed_survives_a_verdict_on_another_card(page):
    QTest.keyClicks(solenoid_card(page).verdict.reason.line, "half a thou")

    click(first_card(page).verdict.buttons[CauseState.SUSPECTED])

    assert solenoid_card(page).verdict.draft == "half a thou"


def test_a_photo_of_the_job_is_shown_large_beside_the_leak(page, story):
    click(first_card(page).evidence.photo_buttons[story.bead_photo.id])

    assert page.evidence.view.isVisible()
    assert page.evidence.view.photo_id == story.bead_photo.id
    assert page.view.isVisible()


def test_escape_leads_from_the_evidence_back_to_the_causes(page, story):
    click(first_card(page).evidence.photo_buttons[story.bead_photo.id])

    press(page.evidence.back_button, Qt.Key.Key_Escape)

    assert first_card(page).isVisible()


def test_the_keyboard_goes_back_to_the_photo_it_came_from(qtbot, page, story):
    page.activateWindow()
    qtbot.waitUntil(page.isActiveWindow)
    button = first_card(page).evidence.photo_buttons[story.bead_photo.id]
    button.setFocus()
    press(button, Qt.Key.Key_Space)

    press(page.evidence.back_button, Qt.Key.Key_Space)

    assert page.focusWidget() is button


def test_a_span_of_footage_is_asked_for(qtbot, page, session, story):
    clip = Clip(
        name="Assembly", path="clips/a.mp4", sha256="c" * 64, size_bytes=1, duration_ms=60_000,
        width_px=640, height_px=360,
    )  # fmt: skip
    span = Evidence(
        sealing_job_id=story.first_job.id, clip_id=clip.id, start_ms=8000, end_ms=24_000
    )
    session.do("film", added(clip, span))
    button = first_card(page).evidence.span_buttons[0]

    with qtbot.waitSignal(session.clip_wanted) as wanted:
        click(button)

    assert button.text() == "Footage 00:08 to 00:24"
    assert wanted.args == [clip.id, 8000]


def test_the_place_on_the_joint_is_brought_to_the_middle(page, session, story):
    click(first_card(page).place_button)

    state = page.view.view_state()
    assert state.centre_x * 2000 == pytest.approx(750, abs=3)
    assert session.joint_id == story.cover_joint.id


def test_another_leak_is_picked_from_the_list(page, session, story):
    page.picker.setCurrentIndex(2)

    page.picker.activated.emit(2)

    assert session.leak_id == story.solenoid_leak.id
    assert page.leak_id == story.solenoid_leak.id


def test_a_leak_without_a_source_says_so(page, session, story):
    session.pick(leak_id=story.solenoid_leak.id)

    assert "Place one" in page.view.notice
    assert page.caption.text() == "Distances to joints are unknown."


def test_joints_without_a_job_are_named_with_a_way_on(page, session, project, story):
    solenoid_job = project.get(SealingJob, story.solenoid_job.id)

    session.do("forget", removed(solenoid_job))

    labels = [card.record_button.text() for card in missing_jobs(page)]
    assert labels == ["Record the job on Solenoid seal"]


def test_recording_the_missing_job_takes_its_joint_in_hand(page, session, project, story):
    session.do("forget", removed(project.get(SealingJob, story.solenoid_job.id)))

    click(missing_jobs(page)[0].record_button)

    assert session.entry[0] is EntryKind.SEALING_JOB
    assert session.joint_id == story.solenoid_seal.id


def test_the_sealing_job_is_opened(page, session, story):
    click(first_card(page).job_button)

    assert session.entry == (EntryKind.SEALING_JOB, story.first_job.id)


def test_a_zone_taken_in_hand_brings_its_leak(page, session, story):
    session.pick(zone_id=story.solenoid.id)

    assert page.leak_id == story.solenoid_leak.id


def test_an_engine_without_leaks_says_what_to_do(page, session, project):
    gone = [*project.all(LeakMark), *project.all(Cause), *project.all(Leak)]

    session.do("forget", removed(*gone))

    assert page.stack.currentIndex() != 0


def test_every_control_has_a_name(page):
    assert unnamed(page) == []


def missing_jobs(page):
    return [card for card in page.list.origin_cards if card.record_button is not None]


def test_each_origin_has_its_chance_as_number_and_word(page):
    chance = first_card(page).chance

    assert chance.number.text() == chance_number(first_card(page).candidate.chance)
    assert chance.word.text() == "virtually certain"
    assert chance.number.accessibleName() == f"Chance: {chance.number.text()}"


def test_origins_that_are_hardly_likely_are_shown_on_wish(page):
    shown = len(page.list.cards) + len(page.list.origin_cards)

    click(page.list.more_button)

    assert page.list.more_button is None
    assert len(page.list.cards) + len(page.list.origin_cards) > shown
    origins = {card.origin.origin for card in page.list.origin_cards}
    assert {Origin.UNKNOWN, Origin.RESIDUE} <= origins


def test_a_clue_of_the_photo_in_sight_brings_its_place_to_the_middle(page):
    click(first_card(page).clues.buttons[0])

    assert page.view.view_state().centre_x * 2000 == pytest.approx(750, abs=3)
    assert first_card(page).isVisible()


def test_a_clue_of_another_leak_leads_to_that_leak(page, session, story):
    session.pick(leak_id=story.bolt_leak.id)
    click(page.list.more_button)
    seam = next(
        card
        for card in page.list.cards
        if card.candidate.bolt is None and card.candidate.job == story.first_job
    )

    click(next(b for b in seam.clues.buttons if "leaked before" in b.accessibleName()))

    assert session.leak_id == story.gap_leak.id


def test_a_clue_of_another_photo_shows_that_photo(page, story):
    clue = Clue(ClueKind.BEAD_GAP, 5.0, "mm", weight=3.0, photo_id=story.bead_photo.id)

    page.list.clue_wanted.emit(clue)

    assert page.evidence.view.photo_id == story.bead_photo.id
    assert page.evidence.caption.text() == "The bead has a gap here, 5 mm"


def test_what_to_check_next_stands_with_its_cautions_until_a_cause_is_confirmed(
    page, session, story
):
    assert page.list.next_check is None  # the cause of this leak is confirmed

    session.pick(leak_id=story.bolt_leak.id)

    assert "developer powder" in page.list.next_check.sentence.text()
    assert page.list.next_check.findChild(CautionBox) is not None


def test_what_a_redo_did_stands_there_and_the_verdict_that_follows_can_be_accepted(
    page, project, session, story
):
    stored = cause_of(project, story.gap_leak, story.first_job)
    session.do("only suspect", replaced(stored, replace(stored, state=CauseState.SUSPECTED)))
    (card,) = page.list.verified_cards
    assert "cured (2026-04-25)" in card.sentence.text()

    click(card.accept_button)

    now = cause_of(project, story.gap_leak, story.first_job)
    assert (now.state, now.reason[:17]) == (CauseState.CONFIRMED, "Dry on 2026-04-25")
    session.undo_stack.undo()
    assert cause_of(project, story.gap_leak, story.first_job).state is CauseState.SUSPECTED


def test_the_look_after_a_redo_is_shown(page, story):
    click(page.list.verified_cards[0].photo_button)

    assert page.evidence.view.photo_id == story.cover_photos[3].id


def test_weights_that_cannot_be_used_are_said_instead_of_causes(page, session, project, tmp_path):
    own = tmp_path / "trace_weights.toml"
    own.write_text("[clue.growing]\nif_cause = 7")
    project.own_weights_file = own

    session.records_changed.emit()

    said = page.list.findChildren(QLabel)[-1].text()
    assert "[clue.growing]" in said
    assert str(own) in said


def test_the_source_is_told_below_the_photo(page):
    assert "Source: marked by a person, known to 2 mm" in page.caption.text()
    assert "Which way is down: the camera, held upright" in page.caption.text()


def test_weights_of_the_users_own_are_named(page, session, project, tmp_path):
    own = tmp_path / "trace_weights.toml"
    own.write_text('[clue.growing]\nif_cause = 0.1\notherwise = 0.4\nsource = "ours"')
    project.own_weights_file = own

    session.records_changed.emit()

    assert "clue.growing" in page.list.findChildren(QLabel)[-1].text()
