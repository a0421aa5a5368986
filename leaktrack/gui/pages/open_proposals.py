"""What waits for an answer in the photo in hand: leaks carried there, and what was found there."""

from uuid import UUID

from PySide6.QtCore import QObject, Signal

from leaktrack.gui.pages.photo_answers import PhotoAnswers
from leaktrack.gui.pages.photo_contents import PhotoContents, open_proposals
from leaktrack.gui.pages.wet_finder import WetFinder
from leaktrack.gui.session import Session
from leaktrack.workflows.propose_marks import MarkProposal, propose_marks


class OpenProposals(QObject):
    """Joins the carried leaks with what a search found, without what was answered.

    Args:
        session: Where the leaks are carried.
        finder: Keeps what was found.
    """

    changed = Signal(object)
    """What is proposed for this photo (UUID) is not what it was."""

    def __init__(self, session: Session, finder: WetFinder, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._finder = finder
        self._carried = PhotoAnswers(session, propose_marks, self)
        self._put_off: dict[UUID, set[UUID]] = {}
        self._carried.ready.connect(self.changed)
        finder.changed.connect(self.changed)

    def of(self, contents: PhotoContents) -> list[MarkProposal]:
        """Return what waits in a photo by now; what is not there yet is asked for."""
        photo_id = contents.photo.id
        if not contents.is_of_a_look:
            return []
        search = self._finder.found(photo_id)
        return open_proposals(
            contents,
            self._carried.get(photo_id) or (),
            search.regions if search is not None else (),
            self._put_off.get(photo_id, set()),
        )

    def is_waiting(self, photo_id: UUID) -> bool:
        """Return whether leaks are still being carried to a photo."""
        return self._carried.is_waiting(photo_id)

    def put_off(self, photo_id: UUID, leak_id: UUID) -> None:
        """Ask no more about a known leak in a photo while the project is open."""
        self._put_off.setdefault(photo_id, set()).add(leak_id)

    def forget(self) -> None:
        """Carry anew from now on: what it rests on has changed."""
        self._carried.forget()
