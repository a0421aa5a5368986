"""Undo for the whole program: one command around one edit."""

from collections.abc import Callable

from PySide6.QtCore import QTimer
from PySide6.QtGui import QUndoCommand, QUndoStack

from leaktrack.model.errors import ChangedMeanwhile, LeakTrackError, MissingRecord
from leaktrack.model.record import Edit


class EditCommand(QUndoCommand):
    """An edit on the undo stack. Each run swaps it for its inverse.

    What cannot be taken back now, as on a full disk, can be taken back later: the step stays where
    it is. What can never be, since somebody changed the record meanwhile, leaves the stack.
    """

    def __init__(
        self,
        label: str,
        edit: Edit,
        apply: Callable[[Edit], Edit],
        failed: Callable[[LeakTrackError], object],
        stack: QUndoStack,
    ) -> None:
        super().__init__(label)
        self._next = edit
        self._apply = apply
        self._failed = failed
        self._stack = stack
        self._was_applied = False
        self._only_moves = False

    def redo(self) -> None:
        """Apply the edit."""
        self._run(self._stack.undo)

    def undo(self) -> None:
        """Take the edit back."""
        self._run(self._stack.redo)

    def _run(self, move_back: Callable[[], None]) -> None:
        if self._only_moves:
            self._only_moves = False
            return
        if self._next.is_empty:  # leave no step that undoes nothing
            self.setObsolete(True)
            return
        try:
            self._next = self._apply(self._next)
        except LeakTrackError as error:
            if self._was_applied and not isinstance(error, ChangedMeanwhile | MissingRecord):
                # The stack moves once this returns, whatever happened here.
                self._only_moves = True
                QTimer.singleShot(0, self._stack, move_back)
            else:
                self.setObsolete(True)
            self._failed(error)
        else:
            self._was_applied = True
