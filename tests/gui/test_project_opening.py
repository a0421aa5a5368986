from pathlib import Path

import pytest

from leaktrack.bootstrap import open_project
from leaktrack.gui.background import Background, Job
from leaktrack.gui.project_opening import ProjectOpening, unused_folder
from leaktrack.model.errors import ProjectNotFound
from leaktrack.workflows.project import Project


def test_a_folder_that_is_there_is_passed_over(tmp_path: Path):
    (tmp_path / "demo").mkdir()
    (tmp_path / "demo-2").mkdir()

    assert unused_folder(tmp_path, "demo") == tmp_path / "demo-3"


def test_a_project_that_nobody_waits_for_any_more_is_let_go(
    qapp, demo_copy: Path, qtbot, monkeypatch: pytest.MonkeyPatch
):
    background = Background()
    opening = ProjectOpening(background)
    jobs: list[Job] = []
    background.job_started.connect(jobs.append)

    def open_while_somebody_cancels(folder: Path) -> Project:
        jobs[0].cancel()
        return open_project(folder)

    monkeypatch.setattr("leaktrack.bootstrap.open_project", open_while_somebody_cancels)

    opening.open(demo_copy)
    qtbot.waitUntil(lambda: not opening.is_busy, timeout=10_000)
    background.close()

    with open_project(demo_copy) as again:
        assert not again.is_read_only


def test_a_failure_leaves_the_way_open_for_another_try(qapp, tmp_path: Path, demo_copy, qtbot):
    background = Background()
    opening = ProjectOpening(background)

    with qtbot.waitSignal(opening.failed) as failure:
        opening.open(tmp_path / "nowhere")
    with qtbot.waitSignal(opening.opened) as success:
        opening.open(demo_copy)

    assert isinstance(failure.args[0], ProjectNotFound)
    success.args[0].close()
    background.close()
