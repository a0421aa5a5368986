"""The whole job through the window, on a small project of one's own, by clicks and keys."""

from pathlib import Path
from typing import Any, get_args

import pytest
from PySide6.QtWidgets import QAbstractButton

from leaktrack.gui.main_window import MainWindow
from leaktrack.model.engine import Bolt, JointLine
from leaktrack.model.leak import LeakMark, SeepageGrade
from leaktrack.model.record import Record
from leaktrack.model.sealing_job import Evidence
from leaktrack.model.trace import Cause, CauseState
from leaktrack.workflows.check_project import check
from leaktrack.workflows.project import Project
from tests.story.chapters import SOURCE_AT_SECOND, Chapters
from tests.story.person import Person

pytestmark = [pytest.mark.gui, pytest.mark.slow]


def everything(project: Project) -> dict[str, Any]:
    """All records of a project by their kind, in no order."""
    return {kind.__name__: frozenset(project.all(kind)) for kind in get_args(Record)}


def test_the_whole_job_by_clicks_and_keys(person: Person, window: MainWindow, tmp_path: Path):
    job = Chapters(person, window)

    job.begin(tmp_path)
    empty = everything(job.project)
    assert {name for name, records in empty.items() if records} == {"Engine", "Face"}

    job.describe_the_engine()
    job.add_photos()
    job.draw_the_joint()
    assert len(job.project.all(Bolt)) == 11
    (line,) = job.project.all(JointLine)
    assert [point.bolt_number for point in line.points] == list(range(2, 11))

    job.record_the_sealing_job()
    assert len(job.project.all(Evidence)) == 1

    job.inspect_before_the_first_run()
    job.run_the_engine("2026-03-21 14:05", "25")
    job.inspect_after_the_first_run()
    job.look_again_at_the_baseline()
    job.run_the_engine("2026-04-04 10:00", "240")
    assert "Carried from the last inspection" in job.inspect_after_the_second_run()
    marks = job.project.all(LeakMark)
    assert {mark.grade for mark in marks} == {
        SeepageGrade.DRY,
        SeepageGrade.SEEP,
        SeepageGrade.HEAVY_SEEP,
    }
    assert len({mark.leak_id for mark in marks}) == 1
    # Truth of the rendering, as are the clicks in the other photos. The proposal is carried over
    # from a photo taken from elsewhere; 60 px are 3 % of its width.
    last = next(mark for mark in marks if mark.grade is SeepageGrade.HEAVY_SEEP)
    assert (last.source_px.x, last.source_px.y) == pytest.approx(SOURCE_AT_SECOND, abs=60)

    assert job.compare_the_last_two() == ["1", "2 seep", "3 heavy seep", "growing"]

    said = job.trace_the_leak()
    assert "1. Cover joint" in said
    assert "Sealed on 2026-03-07" in said
    # Truth of the rendering: the leak starts at station 4.53, half way from bolt 4 to bolt 5.
    assert "Show bolt 4.5 of Cover joint in the photo" in person.names(QAbstractButton)
    job.confirm_the_cause("The bead photo shows a gap there.")
    (cause,) = job.project.all(Cause)
    assert cause.state is CauseState.CONFIRMED

    said = job.plan_the_redo()
    assert "Because: confirmed cause of leak 1" in said
    hours = "It takes 1.5 h more now, 1.5 h as a job of its own: 0 h saved."
    assert f"{hours} It must be done, by your word." in said

    folder = job.write_the_report()
    assert "The bead photo shows a gap there." in (folder / "report.html").read_text("utf-8")
    assert (folder / "report.pdf").read_bytes().startswith(b"%PDF")

    full, steps = everything(job.project), len(job.steps)
    job.undo_everything()
    assert everything(job.project) == empty
    job.redo_everything(steps)
    assert everything(job.project) == full
    assert check(job.project).is_sound
