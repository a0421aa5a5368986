"""Files around the footage: lists of spans written and read, and videos that were moved."""

from collections.abc import Sequence
from pathlib import Path
from uuid import UUID

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QFileDialog, QWidget

from leaktrack.gui.background import Job
from leaktrack.gui.session import Session
from leaktrack.model.chance import chance_words
from leaktrack.model.errors import BadInput, LeakTrackError, UnreadableVideo
from leaktrack.model.footage import FoundSpan
from leaktrack.model.footage_span import NamedSpan
from leaktrack.workflows.exchange_spans import (
    evidence_edit,
    read_spans,
    spans_of_clip,
    write_spans,
)
from leaktrack.workflows.find_moved_clips import MovedClips, find_moved_clips


class FootageFiles(QObject):
    """Asks for a file or folder, does it, and reports what fails."""

    def __init__(self, session: Session, page: QWidget) -> None:
        super().__init__(page)
        self._session = session
        self._page = page

    def write(self, clip_id: UUID | None, found: Sequence[FoundSpan]) -> None:
        """Let the person say where to write the spans of a clip: kept ones and found ones."""
        if clip_id is None:
            return
        kinds = self.tr("WebVTT chapters (*.vtt);;Links with times (*.txt)")
        name, kind = QFileDialog.getSaveFileName(self._page, self.tr("Write spans"), "", kinds)
        if name:
            path = Path(name)
            ending = ".txt" if "txt" in kind else ".vtt"
            self.write_to(path if path.suffix else path.with_suffix(ending), clip_id, found)

    def write_to(self, file: Path, clip_id: UUID, found: Sequence[FoundSpan]) -> None:
        """Write the spans of a clip to a file."""
        try:
            kept = spans_of_clip(self._session.project, clip_id)
            told = [
                NamedSpan(
                    each.start_ms, each.end_ms, self.tr("Found, %s") % chance_words(each.score)
                )
                for each in found
            ]
            write_spans(self._session.project, clip_id, file, [*kept, *told])
        except LeakTrackError as error:
            self._session.report(error)

    def read(self, clip_id: UUID | None, job_id: UUID | None) -> None:
        """Let the person choose a list of spans, to be kept as evidence of a job."""
        kinds = self.tr("Spans (*.vtt *.txt);;All files (*)")
        name, _ = QFileDialog.getOpenFileName(self._page, self.tr("Read spans"), "", kinds)
        if name:
            self.read_from(Path(name), clip_id, job_id)

    def read_from(self, file: Path, clip_id: UUID | None, job_id: UUID | None) -> None:
        """Keep the spans of a file as evidence of a job, as one step."""
        project = self._session.project
        try:
            if job_id is None:
                raise BadInput(
                    self.tr("Choose the sealing job that the spans show, then read them again.")
                )
            edit = evidence_edit(project, job_id, read_spans(project, file, clip_id))
        except LeakTrackError as error:
            self._session.report(error)
            return
        self._session.do(self.tr("Read spans"), edit)

    def look_for_missing(self) -> None:
        """Look for missing videos beside their old places; then ask for a folder."""
        self._search(None)

    def look_in(self, folder: Path) -> None:
        """Look for missing videos in a folder and all below it."""
        self._search(folder)

    def _search(self, folder: Path | None) -> None:
        project = self._session.project

        def work(job: Job) -> MovedClips:
            return find_moved_clips(project, folder, job.progress)

        def then(moved: MovedClips) -> None:
            self._on_searched(folder, moved)

        self._session.background.run_job(
            self.tr("Look for missing files"),
            work,
            then=then,
            failed=self._session.report,
            owner=self,
        )

    def _on_searched(self, folder: Path | None, moved: MovedClips) -> None:
        if moved.found:
            self._session.do(self.tr("Find moved files"), moved.edit)
        if not moved.missing:
            return
        if folder is None:
            chosen = QFileDialog.getExistingDirectory(
                self._page, self.tr("Where to look for missing videos")
            )
            if chosen:
                self._search(Path(chosen))
            return
        names = ", ".join(f"'{clip.name}'" for clip in moved.missing)
        self._session.report(
            UnreadableVideo(
                self.tr(
                    "%s not found in %s. Nothing else is affected; connect the drive that the "
                    "files are on, or look in another folder."
                )
                % (names, folder)
            )
        )
