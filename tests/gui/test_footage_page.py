"""The page Footage on the demo's clip.

How well the search finds is measured elsewhere; here a few spans stand in for its answer.
"""

import shutil
import time
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFileDialog

from leaktrack.gui.footage.timeline_rows import RowKind
from leaktrack.gui.pages import footage_search
from leaktrack.gui.pages.bead_box import BeadBox
from leaktrack.gui.pages.footage_page import FootagePage
from leaktrack.gui.panels.joint_strip_panel import JointStripPanel
from leaktrack.model.engine import Joint
from leaktrack.model.footage import FootageAnswer, FoundSpan
from leaktrack.model.leak import LeakMark
from leaktrack.model.photo import Clip, Photo
from leaktrack.model.sealing_job import Evidence, SealingJob
from leaktrack.model.shapes import PointPx
from leaktrack.workflows.ask_footage import ask_for_joint, ask_for_mark, ask_for_photo
from leaktrack.workflows.view_sealing_job import job_view
from tests.gui.filling_in import choose, click, press


@pytest.fixture
def clip(project):
    return project.all(Clip)[0]


@pytest.fixture
def answers(clip, monkeypatch):
    """Answers that the search gives, in turn; what it was asked is kept."""
    spans = tuple(
        FoundSpan(
            video=Path("video.mp4"),
            clip_id=clip.id,
            start_ms=start_ms,
            end_ms=start_ms + 4000,
            best_ms=start_ms + 1000,
            score=score,
            place=PointPx(640, 360),
        )
        for start_ms, score in ((20_000, 0.93), (60_000, 0.4))
    )
    asked = []

    def answer(_project, ask, _clips, _progress):
        asked.append(ask)
        return FootageAnswer(spans=() if ask.words == "nothing.jpg" else spans)

    monkeypatch.setattr(footage_search, "find_asked", answer)
    return asked


@pytest.fixture
def page(session, qtbot):
    made = FootagePage(session)
    qtbot.addWidget(made)
    made.resize(1100, 760)
    made.show()
    qtbot.waitUntil(lambda: made.player.is_exact and len(made.clips.clip_ids) > 0, timeout=10_000)
    return made


@pytest.fixture
def joint(project):
    return project.all(Joint, name="Bank 1 cover joint")[0]


@pytest.fixture
def found(page, answers, session, joint, qtbot):
    """The page with the answer to a question about a joint."""
    session.footage_asked.emit(lambda project: ask_for_joint(project, joint.id))
    qtbot.waitUntil(lambda: page.player.at_ms == 21_000 and page.player.is_exact, timeout=10_000)
    return page.search


@pytest.mark.parametrize("width_px", [716, 520])
def test_opening_asking_and_the_player_s_buttons_stay_in_sight_in_a_small_window(
    page, qtbot, width_px
):
    least_px = page.minimumSizeHint().height()
    page.resize(width_px, least_px)
    page.resize(width_px, max(274, page.minimumSizeHint().height()))
    qtbot.wait(50)
    bar, search = page.player.transport, page.search

    for button in (
        page.open_button, page.index_button, search.choose_button, bar.play_button,
        bar.start_button, bar.end_button, bar.keep_button, bar.still_button, page.job_field,
    ):  # fmt: skip
        assert button.visibleRegion().boundingRect().size() == button.size()
    above = page.open_button.mapTo(page, page.open_button.rect().bottomLeft()).y()
    below = bar.play_button.mapTo(page, bar.play_button.rect().topLeft()).y()
    assert below - above > 5 * page.fontMetrics().height()


def test_the_clips_stand_below_their_day(page, clip):
    assert page.clips.item(0).text() == "2026-03-08"
    assert page.clips.words_of(clip.id).endswith("not indexed yet")


def test_kept_evidence_has_a_row_for_each_job(page):
    rows = page.player.slider.rows

    assert len(rows) == 4
    assert {row.kind for row in rows} == {RowKind.EVIDENCE}
    assert "Bank 1 cover joint, 2026-03-07" in {row.name for row in rows}


def test_what_was_found_is_listed_best_first_with_its_chance_in_words(found):
    first, second = (found.found.item(row).text() for row in range(2))

    assert first.startswith("Very likely, 93 %\n")
    assert "0:00:20 to 0:00:24" in first
    assert second.startswith("About as likely as not, 40 %\n")


def test_the_best_frame_is_opened_with_a_ring_around_the_place(found, page):
    assert page.player.view.ring == PointPx(640, 360)
    assert page.player.span == (20_000, 24_000)
    assert page.player.slider.rows[1].kind is RowKind.FOUND


def test_the_ring_is_gone_on_other_frames(found, page, qtbot):
    page.player.step(1)
    qtbot.waitUntil(lambda: page.player.at_ms > 21_000)

    assert page.player.view.ring is None


def test_one_key_keeps_a_found_span_as_evidence_and_undo_takes_it_back(found, page, session, joint):
    job = session.project.all(SealingJob, joint_id=joint.id)[0]
    page.job_field.set_value(job.id)
    before = session.project.all(Evidence)

    press(found.found, Qt.Key.Key_K)

    (kept,) = set(session.project.all(Evidence)) - set(before)
    assert (kept.sealing_job_id, kept.start_ms, kept.end_ms) == (job.id, 20_000, 24_000)
    assert kept.note == "shows Bank 1 cover joint"
    assert "Evidence of Bank 1 cover joint" in found.found.item(0).text()

    session.undo_stack.undo()
    assert session.project.all(Evidence) == before


def test_no_span_is_kept_for_a_job_of_another_joint_unseen(page, answers, session, joint, qtbot):
    other = session.project.all(Joint, name="Bank 2 cover joint")[0]
    page.job_field.set_value(session.project.all(SealingJob, joint_id=other.id)[0].id)

    session.footage_asked.emit(lambda project: ask_for_joint(project, joint.id))
    qtbot.waitUntil(lambda: page.player.at_ms == 21_000, timeout=10_000)

    assert page.job_id is None


def test_where_only_one_job_can_be_meant_nobody_is_asked(page, answers, session, qtbot):
    joint = session.project.all(Joint, name="Bank 2 cover joint")[0]
    (job,) = session.project.all(SealingJob, joint_id=joint.id)
    session.footage_asked.emit(lambda project: ask_for_joint(project, joint.id))
    qtbot.waitUntil(lambda: page.player.at_ms == 21_000, timeout=10_000)

    press(page.search.found, Qt.Key.Key_Return)

    assert session.project.all(Evidence, sealing_job_id=job.id, start_ms=20_000)
    assert page.job_id == job.id


def test_the_footage_does_not_show_it_is_said(page, answers, session, qtbot):
    photo = session.project.all(Photo)[0]
    ask = ask_for_photo(session.project, photo.id)
    nothing = type(ask)(ask.queries, "nothing.jpg", ask.photo_id)

    session.footage_asked.emit(lambda _project: nothing)

    qtbot.waitUntil(lambda: page.search.verdict.text() == "Not found in the footage.")
    assert page.search.found.isHidden()


def test_a_still_of_a_found_frame_becomes_a_photo_that_tells_its_source(
    found, page, session, joint, clip, qtbot
):
    job = session.project.all(SealingJob, joint_id=joint.id)[0]
    page.job_field.set_value(job.id)
    before = {photo.id for photo in session.project.all(Photo)}

    page.player.view.setFocus()
    press(page.player.view, Qt.Key.Key_G)
    qtbot.waitUntil(lambda: len(session.project.all(Photo)) > len(before), timeout=10_000)

    (still,) = (each for each in session.project.all(Photo) if each.id not in before)
    assert "at 0:00:21.000 (21000 ms)" in still.note
    assert clip.sha256 in still.note
    assert still.zone_id == joint.zone_id
    assert session.project.all(Evidence, sealing_job_id=job.id, photo_id=still.id)


def test_a_search_can_be_stopped(page, session, joint, monkeypatch, qtbot):
    monkeypatch.setattr(footage_search, "find_asked", lambda *args: _until_stopped(args[3]))
    session.footage_asked.emit(lambda project: ask_for_joint(project, joint.id))
    qtbot.waitUntil(lambda: page.search.is_busy)

    page.search.stop()

    assert not page.search.is_busy
    assert page.search.verdict.text() == "Stopped before there was an answer."


def test_a_missing_file_is_said_at_its_clip_and_found_by_its_content(
    page, session, clip, tmp_path, monkeypatch, qtbot
):
    new = tmp_path / "elsewhere.mp4"
    shutil.move(session.project.clip_path(clip), new)
    page.reload()
    qtbot.waitUntil(lambda: "file not found" in page.clips.words_of(clip.id))
    monkeypatch.setattr(QFileDialog, "getExistingDirectory", lambda *_: str(tmp_path))

    click(page.moved_button)

    qtbot.waitUntil(lambda: session.project.get(Clip, clip.id).path == new.as_posix())
    qtbot.waitUntil(lambda: "file not found" not in page.clips.words_of(clip.id))
    session.undo_stack.undo()
    assert session.project.get(Clip, clip.id) == clip


def test_spans_are_written_and_read_back_as_evidence(page, session, clip, joint, tmp_path):
    job = session.project.all(SealingJob, joint_id=joint.id)[-1]
    page.files.write_to(tmp_path / "spans.vtt", clip.id, ())
    before = len(session.project.all(Evidence))

    page.files.read_from(tmp_path / "spans.vtt", clip.id, job.id)

    assert len(session.project.all(Evidence)) == before + 6
    session.undo_stack.undo()
    assert len(session.project.all(Evidence)) == before


def test_a_bad_list_of_spans_is_reported_with_its_line(page, session, clip, joint, tmp_path):
    told = []
    session.failed.connect(lambda error: told.append(str(error)))
    file = tmp_path / "spans.vtt"
    file.write_text("WEBVTT\n\nnonsense\n")

    page.files.read_from(file, clip.id, session.project.all(SealingJob)[0].id)

    assert "spans.vtt, line 3" in told[0]


def test_the_joint_strip_asks_for_the_place_at_its_cursor(session, answers, joint, qtbot):
    asked = []
    session.footage_asked.connect(lambda asking: asked.append(asking(session.project)))
    session.pick(joint_id=joint.id, zone_id=joint.zone_id)
    panel = JointStripPanel(session)
    qtbot.addWidget(panel)
    panel.resize(900, 300)
    panel.show()
    qtbot.waitUntil(lambda: panel.chart.cursor_place is not None, timeout=10_000)

    panel.chart.setFocus()
    press(panel.chart, Qt.Key.Key_F)

    station = panel.chart.cursor_place[1]
    assert asked[0].words == f"Bank 1 cover joint, bolt {round(station, 1):g}"
    assert panel.footage_button.text() == f"Footage of bolt {round(station, 1):g}"
    assert asked[0].queries[0].place is not None


def test_a_bead_asks_for_its_place(session, joint, qtbot):
    asked = []
    session.footage_asked.connect(lambda asking: asked.append(asking(session.project)))
    box = BeadBox(session)
    qtbot.addWidget(box)
    jobs = session.project.all(SealingJob, joint_id=joint.id)
    box.show_job(job_view(session.project, jobs[0].id))
    box.show()
    assert box.audit is not None

    box.chart.take(box.audit.points[5].along)
    click(box.find_button)

    assert asked[0].queries[0].place == box.audit.points[5].at_px
    assert asked[0].joint_id == joint.id


def test_a_mark_asks_for_its_place_with_room_around_it(session):
    mark = next(each for each in session.project.all(LeakMark) if each.source_px is not None)
    photo = session.project.get(Photo, mark.photo_id)

    (query,) = ask_for_mark(session.project, mark.id).queries

    assert query.place == mark.source_px
    assert query.box.left <= query.place.x <= query.box.left + query.box.width
    assert query.box.left >= 0
    assert query.box.left + query.box.width <= photo.width_px


def test_a_job_is_chosen_by_keyboard(page, session):
    choose(page.job_field, "Bank 1 cover joint, 2026-03-07")

    assert session.project.get(SealingJob, page.job_id).joint_id


def _until_stopped(progress):
    while True:
        progress(1000, 9000, "reading")
        time.sleep(0.005)
