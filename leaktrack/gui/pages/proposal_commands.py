"""The commands on proposals: search, go from one to the next, accept or dismiss."""

from collections.abc import Callable

from PySide6.QtCore import QObject
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QWidget

from leaktrack.gui.pages.mark_commands import Command, command_action
from leaktrack.gui.pages.mark_editor import MarkEditor


class ProposalCommands(QObject):
    """Keys, menu and buttons for what waits for an answer; keys as those of ``MarkCommands``.

    Args:
        editor: Accepts and dismisses.
        find: Searches the photo in hand.
        step: Selects the proposal that is so many on.
        show_dismissed: Shows what was dismissed, or no longer.
    """

    def __init__(
        self,
        editor: MarkEditor,
        find: Callable[[], None],
        step: Callable[[int], None],
        show_dismissed: Callable[[], object],
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._editor = editor
        self.find = command_action(
            Command(self.tr("Find &wet areas"), self.tr("Wet areas"), "propose", "W", find), self
        )
        self.previous = command_action(
            Command(
                self.tr("Previous proposal"), self.tr("Previous"), "previous", ",",
                lambda: step(-1),
            ),
            self,
        )  # fmt: skip
        self.next = command_action(
            Command(self.tr("Next proposal"), self.tr("Next"), "next", ".", lambda: step(1)), self
        )
        self.accept = command_action(
            Command(
                self.tr("&Accept what was found"), self.tr("Accept"), "confirm", "A",
                editor.accept,
            ),
            self,
        )  # fmt: skip
        self.accept_as_new = command_action(
            Command(
                self.tr("Accept it as a new leak"), self.tr("New leak"), "mark_point", "Shift+A",
                editor.accept_as_new,
            ),
            self,
        )  # fmt: skip
        self.dismiss = command_action(
            Command(
                self.tr("&Dismiss the proposal"), self.tr("Dismiss"), "close", "D",
                editor.dismiss,
            ),
            self,
        )  # fmt: skip

        self.restore = command_action(
            Command(
                self.tr("Propose it a&gain"), self.tr("Propose again"), "undo", "B",
                editor.restore,
            ),
            self,
        )  # fmt: skip
        self.show_dismissed = command_action(
            Command(
                self.tr("&Show what was dismissed"), self.tr("Dismissed"), "rule_out", "Shift+D",
                show_dismissed,
            ),
            self,
        )  # fmt: skip
        self.show_dismissed.setCheckable(True)

    @property
    def actions(self) -> list[QAction]:
        """All of them, in the order of the menu."""
        return [self.find, *self.on_proposals, self.show_dismissed]

    @property
    def on_proposals(self) -> list[QAction]:
        """Those that need a proposal."""
        return [
            self.previous,
            self.next,
            self.accept,
            self.accept_as_new,
            self.dismiss,
            self.restore,
        ]

    def attach_to(self, *widgets: QWidget) -> None:
        """Let the keys work while one of these has the focus."""
        for widget in widgets:
            widget.addActions(self.actions)

    def refresh(self, *, can_find: bool, has_proposals: bool, has_dismissed: bool) -> None:
        """Allow what can be done with what is shown and selected now."""
        proposal, can_edit = self._editor.proposal, self._editor.can_edit
        self.find.setEnabled(can_edit and can_find)
        for action in (self.previous, self.next):
            action.setEnabled(has_proposals)
        was_dismissed = proposal is not None and proposal.dismissal is not None
        self.accept.setEnabled(can_edit and proposal is not None and proposal.can_be_accepted)
        self.accept_as_new.setEnabled(can_edit and proposal is not None and proposal.can_be_new)
        can_dismiss = proposal is not None and (can_edit or proposal.found is None)
        self.dismiss.setEnabled(can_dismiss and not was_dismissed)
        self.restore.setEnabled(can_edit and was_dismissed)
        self.show_dismissed.setEnabled(has_dismissed)
