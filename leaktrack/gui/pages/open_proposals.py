"""What waits for an answer in the photo in hand: leaks carried there, and what was found there."""

from collections.abc import Iterator
from uuid import UUID

from PySide6.QtCore import QObject, Signal

from leaktrack.gui.pages.carried_marks import Carried, CarriedMarks
from leaktrack.gui.pages.photo_contents import PhotoContents, open_proposals
from leaktrack.gui.pages.wet_finder import WetFinder
from leaktrack.gui.session import Session
from leaktrack.workflows.propose_marks import MarkProposal


class OpenProposals(QObject):
    """Joins the carried leaks with what a search found, without what was answered.

    Args:
        session: Where the leaks are carried.
        finder: Keeps what was found.
    """

    changed = Signal(object)
    """What was carried to this photo (UUID), or found in it, is not what it was."""

    def __init__(self, session: Session, finder: WetFinder, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._finder = finder
        self.carried = CarriedMarks(session, self)
        self._put_off: dict[UUID, set[UUID]] = {}
        self._is_seen = True
        self.held: UUID | None = None
        """Key of the proposal in hand where newer places are told that are not shown yet."""
        for source in (self.carried, finder):
            source.changed.connect(self.changed)

    def of(
        self, contents: PhotoContents | None, in_hand: MarkProposal | None = None
    ) -> list[MarkProposal]:
        """Return what waits in a photo by now; what is not there yet is asked for.

        Args:
            contents: The photo looked at, the only one that leaks are carried to; None: there is
                none.
            in_hand: The proposal that a person is about to answer. It stays as it is: what all
                photos say takes its place once another one is in hand.
        """
        if contents is None or not contents.is_of_a_look:
            self.held = None
            self.carried.look_at(None)
            return []
        photo_id = contents.photo.id
        self.carried.look_at(photo_id if self._is_seen else None)
        newest, *older = [self._open(contents, each) for each in self._versions(photo_id, in_hand)]
        shown = next((each for each in (newest, *older) if in_hand in each), newest)
        self.held = in_hand.key if in_hand is not None and shown is not newest else None
        if self._is_seen:
            self.carried.ask_more(any(each.may_move for each in shown))
        return shown

    def is_waiting(self, photo_id: UUID) -> bool:
        """Return whether nothing was carried to a photo yet, but will be."""
        return self.carried.is_waiting(photo_id)

    def put_off(self, photo_id: UUID, leak_id: UUID) -> None:
        """Ask no more about a known leak in a photo while the project is open."""
        self._put_off.setdefault(photo_id, set()).add(leak_id)

    def set_seen(self, is_seen: bool) -> None:
        """Drop what nobody waits for while another page is shown."""
        self._is_seen = is_seen
        if not is_seen:
            self.carried.look_at(None)

    def forget(self) -> None:
        """Carry anew from now on: what it rests on has changed."""
        self.carried.forget()

    def _versions(self, photo_id: UUID, in_hand: MarkProposal | None) -> Iterator[Carried]:
        """Yield what may be shown as carried, the newest first."""
        first, best = self.carried.first(photo_id), self.carried.best(photo_id)
        yield best
        if in_hand is None or first == best:
            return
        # Only its own leak is held, where that is enough: what was found in the picture is given to
        # the nearest of all leaks.
        old = {each.key: each for each in first if each.leak == in_hand.leak}
        yield tuple(old.get(each.key, each) for each in best)
        yield first

    def _open(self, contents: PhotoContents, carried: Carried) -> list[MarkProposal]:
        photo_id = contents.photo.id
        search = self._finder.found(photo_id)
        return open_proposals(
            contents,
            carried,
            search.regions if search is not None else (),
            self._put_off.get(photo_id, set()),
        )
