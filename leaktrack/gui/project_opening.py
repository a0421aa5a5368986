"""Open, create and build projects without keeping the window waiting."""

import shutil
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QStandardPaths, Signal

from leaktrack.gui.background import Background, Job
from leaktrack.model.errors import Cancelled
from leaktrack.places import demo_source

if TYPE_CHECKING:
    from leaktrack.workflows.project import Project

DEMO_NAME = "leaktrack-demo"


def unused_folder(parent: Path, name: str) -> Path:
    """Return a folder below the parent that is not there yet, numbered if need be."""
    folder, number = parent / name, 2
    while folder.exists():
        folder, number = parent / f"{name}-{number}", number + 1
    return folder


class ProjectOpening(QObject):
    """Brings projects into being, on a worker thread, and hands them to the window."""

    opened = Signal(object)
    """A Project that the receiver now owns."""
    failed = Signal(object)

    def __init__(self, background: Background, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._background = background
        self.is_busy = False
        background.job_ended.connect(self._on_ended)

    def open(self, folder: Path) -> None:
        """Open the project in a folder."""
        title = self.tr("Opening {name}").format(name=folder.name)
        self._start(title, partial(_opened, folder))

    def create(self, folder: Path, engine_name: str) -> None:
        """Begin a project in an empty or new folder, with one engine and its faces."""
        title = self.tr("Making {name}").format(name=folder.name)
        self._start(title, partial(_created, folder, engine_name))

    def build_demo(self) -> None:
        """Build a fresh copy of the demo engine in a folder of its own."""
        documents = QStandardPaths.StandardLocation.DocumentsLocation
        parent = Path(QStandardPaths.writableLocation(documents) or Path.home())
        folder = unused_folder(parent, DEMO_NAME)
        self._start(self.tr("Building the demo engine"), partial(_demo, folder))

    def _start(self, title: str, work: "Callable[[Job], Project]") -> None:
        if self.is_busy:
            return
        self.is_busy = True
        self._background.run_job(
            title,
            partial(_unless_cancelled, work),
            then=self.opened.emit,
            owner=self,
            failed=self.failed.emit,
        )

    def _on_ended(self, _job: Job) -> None:
        self.is_busy = False


def _unless_cancelled(work: "Callable[[Job], Project]", job: Job) -> "Project":
    """Do the work; close its project at once if nobody wants it any more, to let it go."""
    project = work(job)
    if job.is_cancelled:
        project.close()
        raise Cancelled(job.title)
    return project


# The imports below are late: they draw in database and photo reading, on the worker thread and
# after the window's first picture.


def _opened(folder: Path, _job: Job) -> "Project":
    from leaktrack.bootstrap import open_project

    return open_project(folder)


def _created(folder: Path, engine_name: str, _job: Job) -> "Project":
    from leaktrack.bootstrap import create_project
    from leaktrack.workflows.set_up_engine import new_engine

    project = create_project(folder)
    _engine, edit = new_engine(engine_name)
    project.apply(edit)
    return project


def _demo(folder: Path, job: Job) -> "Project":
    from leaktrack.bootstrap import create_project
    from leaktrack.workflows.run_demo import build_demo

    project = create_project(folder)
    try:
        build_demo(project, demo_source(), job.progress)
    except BaseException:
        # Half a demo is of no use to anybody, and the folder is ours: nothing else can be in it.
        project.close()
        shutil.rmtree(folder, ignore_errors=True)
        raise
    return project
