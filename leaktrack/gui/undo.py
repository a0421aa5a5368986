"""Undo for the whole program: one command around one edit."""

from collections.abc import Callable

from PySide6.QtGui import QUndoCommand

from leaktrack.model.errors import LeakTrackError
from leaktrack.model.record import Edit


class EditCommand(QUndoCommand):
    """An edit on the undo stack. Each run swaps it for its inverse."""

    def __init__(
        self,
        label: str,
        edit: Edit,
        apply: Callable[[Edit], Edit],
        failed: Callable[[LeakTrackError], object],
    ) -> None:
        super().__init__(label)
        self._next = edit
        self._apply = apply
        self._failed = failed

    def redo(self) -> None:
        """Apply the edit, or take it back if it stands."""
        if self._next.is_empty:  # leave no step that undoes nothing
            self.setObsolete(True)
            return
        try:
            self._next = self._apply(self._next)
        except LeakTrackError as error:
            self.setObsolete(True)
            self._failed(error)

    undo = redo
