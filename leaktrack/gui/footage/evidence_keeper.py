"""Keep what footage shows: spans and stills as evidence of a sealing job, each as one step."""

from functools import partial
from pathlib import Path
from uuid import UUID

from PySide6.QtCore import QObject, Signal

from leaktrack.gui.background import Job
from leaktrack.gui.session import Session
from leaktrack.model.errors import LeakTrackError
from leaktrack.model.photo import Clip, Photo
from leaktrack.model.record import Edit
from leaktrack.workflows.clips import add_clip, grab_still
from leaktrack.workflows.record_sealing_job import add_evidence


class EvidenceKeeper(QObject):
    """Does it for a page that shows a player, and reports what fails."""

    clip_added = Signal(object)
    """This clip (UUID) is in the project now."""

    def __init__(self, session: Session, parent: QObject) -> None:
        super().__init__(parent)
        self._session = session

    def keep_span(
        self, job_id: UUID, clip_id: UUID, start_ms: int, end_ms: int, note: str = ""
    ) -> bool:
        """Keep a span of a clip as evidence of a job; return whether it is kept."""
        try:
            edit = add_evidence(
                self._session.project,
                job_id,
                clip_id=clip_id,
                start_ms=start_ms,
                end_ms=end_ms,
                note=note,
            )
        except LeakTrackError as error:
            self._session.report(error)
            return False
        self._session.do(self.tr("Keep span as evidence"), edit)
        return True

    def grab_still(self, job_id: UUID | None, clip_id: UUID, at_ms: int) -> None:
        """Make a photo of a frame, as evidence of a job where one is given."""
        self._session.background.run_job(
            self.tr("Grab still"),
            lambda _job: grab_still(self._session.project, clip_id, at_ms, job_id),
            then=self._on_still,
            failed=self._session.report,
            owner=self,
        )

    def add_video(self, path: Path) -> None:
        """Take a video into the project, in the background."""
        self._session.background.run_job(
            self.tr("Add footage %s") % path.name,
            partial(_add_clip, self._session, path),
            then=self._on_clip_added,
            failed=self._session.report,
            owner=self,
        )

    def _on_still(self, answer: tuple[Photo, Edit]) -> None:
        self._session.do(self.tr("Grab still"), answer[1])

    def _on_clip_added(self, answer: tuple[Clip, Edit]) -> None:
        clip, edit = answer
        self._session.do(self.tr("Add footage"), edit)
        self.clip_added.emit(clip.id)


def _add_clip(session: Session, path: Path, job: Job) -> tuple[Clip, Edit]:
    return add_clip(session.project, path, progress=job.progress)
