"""Search photos for what changed since the last look, when somebody asks for it."""

from functools import partial
from uuid import UUID

from PySide6.QtCore import QObject, Signal

from leaktrack.gui.background import Job
from leaktrack.gui.session import Session
from leaktrack.model.errors import LeakTrackError
from leaktrack.model.photo import Light, Photo
from leaktrack.model.wet_search import WetSearch
from leaktrack.workflows.find_wet_regions import find_wet_regions
from leaktrack.workflows.match_wet_regions import worth_a_look


class WetFinder(QObject):
    """Keeps what was found in each photo while the project is open.

    A photo of which another light is said since then is to be searched anew.

    Nothing found is no finding: only words of ``says`` may be shown for it.
    """

    changed = Signal(object)
    """What is known of this photo (UUID) is not what it was."""

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._jobs: dict[UUID, Job] = {}
        self._found: dict[UUID, WetSearch] = {}
        self._problems: dict[UUID, str] = {}
        self._lights: dict[UUID, Light | None] = {}
        session.records_changed.connect(self._on_records_changed)
        session.background.job_ended.connect(self._on_job_ended)

    def search(self, photo_id: UUID) -> None:
        """Search a photo, off the window's thread; a search that is under way goes on."""
        if photo_id in self._jobs:
            return
        self.put_away(photo_id)
        project = self._session.project
        photo = project.find(Photo, photo_id)
        self._lights[photo_id] = photo.light if photo is not None else None
        self._jobs[photo_id] = self._session.background.run_job(
            self.tr("Find wet areas"),
            lambda job: find_wet_regions(project, photo_id, progress=job.progress),
            then=partial(self._on_found, photo_id),
            failed=partial(self._on_failed, photo_id),
            owner=self,
        )
        self.changed.emit(photo_id)

    def cancel(self, photo_id: UUID) -> None:
        """Stop the search of a photo."""
        if (job := self._jobs.get(photo_id)) is not None:
            job.cancel()

    def put_away(self, photo_id: UUID) -> None:
        """Forget what was found in a photo; what was dismissed stays dismissed."""
        self._found.pop(photo_id, None)
        self._problems.pop(photo_id, None)
        self.changed.emit(photo_id)

    def is_searching(self, photo_id: UUID) -> bool:
        """Return whether a photo is being searched."""
        return photo_id in self._jobs

    def found(self, photo_id: UUID) -> WetSearch | None:
        """Return what was found; None where nobody searched, or the search failed."""
        return self._found.get(photo_id)

    def says(self, photo_id: UUID, waiting: int) -> str:
        """Return how the search of a photo went, in words; empty where nobody asked for one.

        Args:
            photo_id: The photo.
            waiting: How many of the things found wait for an answer.
        """
        if photo_id in self._jobs:
            return self.tr("Searching for wet areas …")
        if photo_id in self._problems:
            return self._problems[photo_id]
        search = self._found.get(photo_id)
        return "" if search is None else self._result_words(search, waiting)

    def _result_words(self, search: WetSearch, waiting: int) -> str:
        if search.state == "failed":
            return self.tr(
                "This photo could not be laid over an earlier one, so nothing was searched. "
                "Look yourself."
            )
        if not worth_a_look(search.regions):
            sentences = [self.tr("Nothing found that looks newly wet; look yourself.")]
        elif not waiting:
            sentences = [self.tr("All that was found is answered. Look yourself at the rest.")]
        else:
            sentences = [self.tr("%d found, likeliest first. Look yourself too.") % waiting]
        if search.state == "unreliable":
            sentences.append(self.tr("The photos fit badly: what is found may be wrong."))
        if search.unassessed:
            sentences.append(self.tr("Hatched: could not be assessed."))
        return " ".join(sentences)

    def _on_found(self, photo_id: UUID, search: WetSearch) -> None:
        self._found[photo_id] = search
        self.changed.emit(photo_id)

    def _on_failed(self, photo_id: UUID, error: LeakTrackError) -> None:
        self._problems[photo_id] = str(error)
        self.changed.emit(photo_id)

    def _on_records_changed(self) -> None:
        searched = [each for each in self._lights if each not in self._jobs]
        for photo in self._session.project.all(Photo, id=searched) if searched else ():
            if photo.light is not self._lights[photo.id]:
                del self._lights[photo.id]
                self.put_away(photo.id)

    def _on_job_ended(self, ended: Job) -> None:
        for photo_id in [each for each, job in self._jobs.items() if job is ended]:
            del self._jobs[photo_id]
            self.changed.emit(photo_id)
