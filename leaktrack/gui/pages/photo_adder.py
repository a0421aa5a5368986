"""Add photos in the background, as one undoable step, from wherever they are offered."""

from collections.abc import Sequence
from functools import partial

from PySide6.QtCore import QObject, Signal

from leaktrack.gui.background import Job
from leaktrack.gui.pages.photo_sources import count_words
from leaktrack.gui.pages.places import PhotoPlace, place_words
from leaktrack.gui.session import Session
from leaktrack.workflows.add_photos import AddedPhotos, Source, add_photos


class PhotoAdder(QObject):
    """Takes photos into the project and tells what became of each."""

    ended = Signal(object)
    """All that was offered has been looked at: AddedPhotos."""

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session

    def add(self, sources: Sequence[Source], place: PhotoPlace) -> None:
        """Start adding files, folders or pasted pictures to a place."""
        if not sources:
            return
        self._session.background.run_job(
            self.sentence(sources, place),
            partial(_add, self._session, tuple(sources), place),
            then=self._on_added,
            failed=self._session.report,
            owner=self,
            returns_part=True,
        )

    def sentence(self, sources: Sequence[Source], place: PhotoPlace) -> str:
        """Return what adding these would do: "Add 12 photos to Second look / Bank 1 cover"."""
        count = count_words(sources)
        words = place_words(self._session.project, place)
        if not words:
            return self.tr("Add %s, to be assigned later") % count
        return self.tr("Add %s to %s") % (count, words)

    def _on_added(self, outcome: AddedPhotos) -> None:
        number = len(outcome.added)
        if number:
            label = self.tr("Add photo") if number == 1 else self.tr("Add %d photos") % number
            self._session.do(label, outcome.edit)
        self.ended.emit(outcome)


def _add(session: Session, sources: tuple[Source, ...], place: PhotoPlace, job: Job) -> AddedPhotos:
    return add_photos(
        session.project,
        sources,
        zone_id=place.zone_id,
        inspection_id=place.inspection_id,
        progress=job.progress,
    )
