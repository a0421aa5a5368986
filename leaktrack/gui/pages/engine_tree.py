"""The engine as a tree: faces, their zones, their joints."""

from collections.abc import Iterator
from dataclasses import dataclass
from uuid import UUID

from PySide6.QtCore import QSignalBlocker, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QAbstractItemView, QTreeWidget, QTreeWidgetItem

from leaktrack.gui.look.theme import icon
from leaktrack.model.engine import Engine, Face, Joint, Zone
from leaktrack.model.words import word
from leaktrack.workflows.project import Project

Node = Engine | Face | Zone | Joint
"""What a row of the tree stands for."""

_ICONS: dict[type[Node], str] = {
    Engine: "engine",
    Face: "face",
    Zone: "zone",
    Joint: "joint",
}


@dataclass(frozen=True, slots=True)
class Place:
    """A node with all that it is part of."""

    node: Node
    face: Face | None = None
    zone: Zone | None = None


class EngineTree(QTreeWidget):
    """Shows one engine. Delete asks to remove the current row, F2 to rename it."""

    chosen = Signal()
    """Another row is the current one."""
    removal_wanted = Signal()
    renaming_wanted = Signal()

    def __init__(self) -> None:
        super().__init__()
        self._items: dict[UUID, QTreeWidgetItem] = {}
        self._places: dict[UUID, Place] = {}
        self.setHeaderHidden(True)
        self.setAccessibleName(self.tr("Parts of the engine"))
        self.setTabKeyNavigation(False)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.currentItemChanged.connect(lambda *_: self.chosen.emit())

    @property
    def current(self) -> Place | None:
        """What the current row stands for."""
        item = self.currentItem()
        return None if item is None else self._places.get(item.data(0, Qt.ItemDataRole.UserRole))

    @property
    def texts(self) -> tuple[str, ...]:
        """All rows, indented by their depth."""
        return tuple("  " * depth + item.text(0) for depth, item in _walk(self))

    def show_engine(self, project: Project, engine_id: UUID) -> None:
        """Show an engine; the current row stays, or its parent where it is gone."""
        before = self.current
        kept = () if before is None else (before.node, before.zone, before.face)
        with QSignalBlocker(self):
            self.clear()
            self._items.clear()
            self._places.clear()
            self._fill(project, engine_id)
            self.expandAll()
        there = next((part.id for part in kept if part and part.id in self._items), engine_id)
        with QSignalBlocker(self):
            self.setCurrentItem(self._items[there])
        self.chosen.emit()

    def select(self, node_id: UUID) -> bool:
        """Make a row the current one; False if it is not there."""
        item = self._items.get(node_id)
        if item is not None:
            self.setCurrentItem(item)
        return item is not None

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Ask for removal with Delete, for a new name with F2 or Enter."""
        if event.key() == Qt.Key.Key_Delete:
            self.removal_wanted.emit()
        elif event.key() in (Qt.Key.Key_F2, Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.renaming_wanted.emit()
        else:
            super().keyPressEvent(event)

    def _fill(self, project: Project, engine_id: UUID) -> None:
        engine = project.get(Engine, engine_id)
        root = self._add(self.invisibleRootItem(), Place(engine))
        for face in project.all(Face, engine_id=engine_id):
            face_item = self._add(root, Place(face, face))
            for zone in project.all(Zone, face_id=face.id):
                zone_item = self._add(face_item, Place(zone, face, zone))
                for joint in project.all(Joint, zone_id=zone.id):
                    self._add(zone_item, Place(joint, face, zone))

    def _add(self, parent: QTreeWidgetItem, place: Place) -> QTreeWidgetItem:
        node = place.node
        item = QTreeWidgetItem(parent, [node.name])
        item.setIcon(0, icon(_ICONS[type(node)]))
        item.setData(0, Qt.ItemDataRole.UserRole, node.id)
        detail = f", {word(node.seal_kind)}" if isinstance(node, Joint) else ""
        kind = type(node).__name__.lower()
        item.setData(0, Qt.ItemDataRole.AccessibleTextRole, f"{kind} {node.name}{detail}")
        item.setToolTip(0, f"{node.name}{detail}")
        self._items[node.id] = item
        self._places[node.id] = place
        return item


def _walk(tree: QTreeWidget) -> Iterator[tuple[int, QTreeWidgetItem]]:
    waiting = [(0, tree.topLevelItem(row)) for row in range(tree.topLevelItemCount())]
    while waiting:
        depth, item = waiting.pop(0)
        if item is None:
            continue
        yield depth, item
        children = [(depth + 1, item.child(row)) for row in range(item.childCount())]
        waiting = children + waiting
