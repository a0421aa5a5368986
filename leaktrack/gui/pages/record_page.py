"""What the pages for one record of the logbook share: which record, and what if there is none."""

from collections.abc import Callable
from typing import Any
from uuid import UUID

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QStackedWidget, QVBoxLayout, QWidget

from leaktrack.gui.forms.when_seen import WhenSeen
from leaktrack.gui.look.panels import EmptyState, Heading, ScrolledPage, push_button
from leaktrack.gui.look.theme import GAP, GAP_L
from leaktrack.gui.session import Session
from leaktrack.model.errors import LeakTrackError
from leaktrack.model.logbook import EntryKind
from leaktrack.model.record import Edit
from leaktrack.workflows.project import Project


class RecordPage(QWidget):
    """Shows the picked entry of one kind, else the newest record of that kind.

    Subclasses say what kind it is, fill ``content`` and show a record in it.
    """

    kind: EntryKind
    record_type: type[Any]

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.session = session
        self.record: Any = None
        self.heading = Heading("")
        self.heading_row = QHBoxLayout()
        self.heading_row.addWidget(self.heading, 1)
        content = QWidget()
        self.content = QVBoxLayout(content)
        self.content.setContentsMargins(GAP_L, GAP, GAP_L, GAP_L)
        self.content.setSpacing(GAP_L)
        self.content.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.content.addLayout(self.heading_row)
        self.area = ScrolledPage(content)
        self.stack = QStackedWidget()
        self.stack.addWidget(self.area)
        self._whole = QVBoxLayout(self)
        self._whole.setContentsMargins(0, 0, 0, 0)
        self._whole.addWidget(self.stack, 1)

    def add_top(self, widget: QWidget) -> None:
        """Put something above the record, where it stays when there is none."""
        self._whole.insertWidget(0, widget)

    def set_empty_state(self, empty: EmptyState) -> None:
        """Show this where there is no record."""
        self.stack.addWidget(empty)

    def add_removal(self, text: str, build: Callable[[Project, UUID], Edit]) -> QPushButton:
        """Put a button at the end that takes the record away, which can be taken back.

        Args:
            text: On the button, and in the menu that takes it back.
            build: Builds the edit; refuses where something hangs on the record.
        """
        button = push_button(
            text, lambda: self._remove(text, build), icon_name="remove", is_quiet=True
        )
        button.setEnabled(not self.session.project.is_read_only)
        self.content.addWidget(button)
        return button

    def listen(self) -> None:
        """Show the record in hand now, and whenever another one is."""
        self.content.addStretch(1)
        fresh = WhenSeen(self, self.reload)
        self.session.records_changed.connect(fresh.request)
        self.session.picked.connect(fresh.request)
        self.reload()

    def reload(self) -> None:
        """Read the record in hand again."""
        self.record = self.find_record()
        self.stack.setCurrentIndex(0 if self.record is not None or self.stack.count() == 1 else 1)
        if self.record is not None:
            self.show_record(self.record)

    def find_record(self) -> Any:
        """Return the picked record, else the newest one of the engine, else None."""
        entry = self.session.entry
        if entry is not None and entry[0] is self.kind:
            picked = self.session.project.find(self.record_type, entry[1])
            if picked is not None:
                return picked
        records = self.session.project.all(self.record_type, engine_id=self.session.engine_id)
        shown = self.record.id if self.record is not None else None
        kept = next((each for each in records if each.id == shown), None)
        return kept or (records[-1] if records else None)

    def show_record(self, record: Any) -> None:
        """Show a record in the content."""
        raise NotImplementedError

    def _remove(self, label: str, build: Callable[[Project, UUID], Edit]) -> None:
        try:
            edit = build(self.session.project, self.record.id)
        except LeakTrackError as error:
            self.session.report(error)
            return
        self.session.do(label, edit)
