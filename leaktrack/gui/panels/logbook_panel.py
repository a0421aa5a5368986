"""The logbook: everything that happened to the engine, by date; the window's When axis."""

from collections.abc import Sequence
from functools import partial

from PySide6.QtCore import QModelIndex, Qt, Signal
from PySide6.QtGui import QAction, QKeyEvent, QMouseEvent
from PySide6.QtWidgets import (
    QLineEdit,
    QListView,
    QMenu,
    QStackedWidget,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from leaktrack.gui.item_models.logbook_model import LogbookModel
from leaktrack.gui.look.flow_layout import FlowLayout
from leaktrack.gui.look.panels import EmptyState, TonedLabel
from leaktrack.gui.look.theme import GAP, GAP_S, icon, target_size
from leaktrack.gui.panels.logbook_delegate import KIND_ICONS, LogbookDelegate
from leaktrack.gui.session import Session
from leaktrack.model.logbook import EntryKind, LogbookEntry
from leaktrack.model.words import word
from leaktrack.workflows.view_logbook import logbook


class _EntryList(QListView):
    """The list itself. Ctrl or Shift with a click picks a second inspection to compare."""

    second_clicked = Signal(QModelIndex)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take a click with a modifier as the wish to compare."""
        held = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier
        index = self.indexAt(event.position().toPoint())
        if event.modifiers() & held and index.isValid():
            self.second_clicked.emit(index)
            return
        super().mousePressEvent(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Let the space bar tick an inspection, whatever the list thinks of editing."""
        index = self.currentIndex()
        if event.key() == Qt.Key.Key_Space and index.isValid():
            if index.flags() & Qt.ItemFlag.ItemIsUserCheckable:
                self.model().setData(index, None, Qt.ItemDataRole.CheckStateRole)
            return
        super().keyPressEvent(event)


class LogbookPanel(QWidget):
    """The logbook with its filter and the button that records something new."""

    entry_chosen_again = Signal()
    """The entry in hand was clicked: its page is wanted, whatever is shown now."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._is_syncing = False
        self._is_read = False
        self._asked = 0
        self.model = LogbookModel()
        self.list = self._build_list()
        self.filter = QLineEdit()
        self.filter.setPlaceholderText(self.tr("Filter the logbook"))
        self.filter.setAccessibleName(self.tr("Filter the logbook"))
        self.filter.setClearButtonEnabled(True)
        self._kinds = QToolButton()
        self._kind_actions = {kind: self._kind_action(kind) for kind in EntryKind}
        self._record = QToolButton()
        self._hint = TonedLabel()
        self._stack = QStackedWidget()
        self._build_layout()
        self._on_filter_changed()
        self.filter.textChanged.connect(self._on_filter_changed)
        self.model.ticks_changed.connect(self._on_ticks_changed)
        session.records_changed.connect(self.reload)
        session.picked.connect(self._on_picked)
        self.reload()

    def set_record_actions(self, actions: Sequence[QAction]) -> None:
        """Offer these commands below the button Record."""
        menu = QMenu(self._record)
        menu.addActions(list(actions))
        self._record.setMenu(menu)

    def reload(self) -> None:
        """Read the logbook again."""
        if (engine_id := self._session.engine_id) is None:
            self._show(0, ())
            return
        self._asked += 1
        self._session.background.run(
            partial(logbook, self._session.project, engine_id),
            then=partial(self._show, self._asked),
            owner=self,
            failed=self._session.report,
        )

    def clear_filter(self) -> None:
        """Show everything again."""
        self.filter.clear()
        for action in self._kind_actions.values():
            action.setChecked(False)
        self._on_filter_changed()

    def _build_list(self) -> _EntryList:
        view = _EntryList()
        view.setModel(self.model)
        view.setItemDelegate(LogbookDelegate(target_size(self._session.settings)))
        view.setUniformItemSizes(True)
        view.setMouseTracking(True)
        view.setVerticalScrollMode(QListView.ScrollMode.ScrollPerPixel)
        view.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        view.setEditTriggers(QListView.EditTrigger.NoEditTriggers)
        view.setAccessibleName(self.tr("Logbook"))
        view.setAccessibleDescription(
            self.tr("Newest entry first. Space ticks an inspection; two ticked ones are compared.")
        )
        view.selectionModel().currentChanged.connect(self._on_current_changed)
        view.second_clicked.connect(self._on_second_clicked)
        view.clicked.connect(self._on_chosen)
        view.activated.connect(self._on_chosen)
        return view

    def _kind_action(self, kind: EntryKind) -> QAction:
        action = QAction(icon(KIND_ICONS[kind]), word(kind).capitalize(), self)
        action.setCheckable(True)
        action.toggled.connect(self._on_filter_changed)
        return action

    def _build_layout(self) -> None:
        self._record.setText(self.tr("Record"))
        self._record.setIcon(icon("add"))
        self._record.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
        self._record.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        self._record.setToolTip(self.tr("Record a sealing job, a run, an inspection or a check"))
        self._record.setAccessibleName(self.tr("Record something new"))
        menu = QMenu(self._kinds)
        menu.addActions(list(self._kind_actions.values()))
        self._kinds.setMenu(menu)
        self._kinds.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        self._kinds.setProperty("quiet", "true")
        self._kinds.setAccessibleName(self.tr("Kinds of entries to show"))
        self._kinds.setToolTip(self.tr("Kinds of entries to show"))
        top = FlowLayout()
        top.addWidget(self._record)
        top.addWidget(self._kinds)
        self.empty = EmptyState(
            self.tr("Nothing recorded yet"),
            self.tr("Sealing jobs, runs and inspections appear here by date."),
            self.tr("Record something"),
            self._record.showMenu,
        )
        self.no_hit = EmptyState(
            self.tr("No entry matches"),
            self.tr("The filter hides all entries."),
            self.tr("Clear filter"),
            self.clear_filter,
        )
        for each in (self.list, self.empty, self.no_hit):
            self._stack.addWidget(each)
        rows = QVBoxLayout(self)
        rows.setContentsMargins(GAP, 0, 0, 0)
        rows.setSpacing(GAP_S)
        rows.addLayout(top)
        rows.addWidget(self.filter)
        rows.addWidget(self._stack, 1)
        rows.addWidget(self._hint)

    def _show(self, asked: int, entries: Sequence[LogbookEntry]) -> None:
        if asked and asked != self._asked:
            return
        place = self.list.verticalScrollBar().value()
        is_first, self._is_read = not self._is_read, True
        if self.model.set_entries(entries) or is_first:
            self._after_reset()
            self.list.verticalScrollBar().setValue(place)
        if self._session.entry is None:
            self._pick_newest_inspection(entries)

    def _pick_newest_inspection(self, entries: Sequence[LogbookEntry]) -> None:
        newest = next((each for each in entries if each.kind is EntryKind.INSPECTION), None)
        if newest is not None:
            self._session.pick(entry=(newest.kind, newest.record_id))

    def _after_reset(self) -> None:
        if not self._is_read:
            self._stack.setCurrentWidget(self.list)
        elif self.model.is_empty:
            self._stack.setCurrentWidget(self.empty)
        elif self.model.rowCount() == 0:
            self._stack.setCurrentWidget(self.no_hit)
        else:
            self._stack.setCurrentWidget(self.list)
        self._select_picked()
        self._update_hint()

    def _on_filter_changed(self) -> None:
        kinds = frozenset(kind for kind, action in self._kind_actions.items() if action.isChecked())
        chosen = [word(kind) for kind in EntryKind if kind in kinds]
        self._kinds.setText(", ".join(chosen).capitalize() or self.tr("All kinds"))
        self.model.set_filter(self.filter.text(), kinds)
        self._after_reset()

    def _on_current_changed(self, current: QModelIndex, _previous: QModelIndex) -> None:
        if not self._is_syncing and current.isValid():
            self._pick(current)

    def _on_chosen(self, index: QModelIndex) -> None:
        entry = self.model.entry(index)
        if self._session.entry == (entry.kind, entry.record_id):
            self.entry_chosen_again.emit()

    def _pick(self, index: QModelIndex) -> None:
        entry = self.model.entry(index)
        self._session.pick(entry=(entry.kind, entry.record_id))

    def _on_second_clicked(self, index: QModelIndex) -> None:
        entry, first = self.model.entry(index), self._session.entry
        if entry.kind is not EntryKind.INSPECTION:
            return
        if first is not None and first[0] is EntryKind.INSPECTION and not self.model.ticked:
            self.model.set_ticked((first,))
        self.model.toggle((entry.kind, entry.record_id))

    def _on_ticks_changed(self) -> None:
        self._update_hint()
        if len(self.model.ticked) == 2:
            earlier, later = self.model.in_time_order(self.model.ticked)
            self._session.pick(entry=later, earlier_entry=earlier)

    def _on_picked(self) -> None:
        entry, earlier = self._session.entry, self._session.earlier_entry
        if entry is not None and earlier is not None:
            self.model.set_ticked((earlier, entry))
        elif len(self.model.ticked) == 2:
            self.model.set_ticked(())
        self._select_picked()
        self._update_hint()

    def _select_picked(self) -> None:
        if self._session.entry is None:
            return
        index = self.model.index_of(self._session.entry)
        self._is_syncing = True
        try:
            self.list.setCurrentIndex(index)
        finally:
            self._is_syncing = False

    def _update_hint(self) -> None:
        hints = (
            self.tr("Tick two inspections to compare them."),
            self.tr("Tick a second inspection to compare."),
            self.tr("Two inspections are compared."),
        )
        self._hint.setText(hints[len(self.model.ticked)])
        count = sum(
            self.model.entry(self.model.index(row)).kind is EntryKind.INSPECTION
            for row in range(self.model.rowCount())
        )
        self._hint.setVisible(count > 1)
