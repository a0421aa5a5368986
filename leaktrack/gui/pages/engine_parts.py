"""The parts of an engine: the tree at the left, the part in hand at the right."""

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QMenu, QSplitter, QStackedWidget, QVBoxLayout, QWidget

from leaktrack.gui.forms.field_grid import FieldGrid
from leaktrack.gui.forms.when_seen import WhenSeen
from leaktrack.gui.look.panels import ScrolledPage, push_button
from leaktrack.gui.look.theme import GAP, GAP_L
from leaktrack.gui.pages.bolts_list import BoltsList
from leaktrack.gui.pages.engine_editors import (
    EngineEditor,
    FaceEditor,
    JointFields,
    PartEditor,
    ZoneEditor,
)
from leaktrack.gui.pages.engine_tree import EngineTree, Node, Place
from leaktrack.gui.pages.joint_line_panel import JointLinePanel
from leaktrack.gui.pages.material_editor import fresh_name
from leaktrack.gui.session import Session
from leaktrack.model.engine import Engine, Face, FaceSide, Joint, SealKind, Zone
from leaktrack.model.errors import LeakTrackError
from leaktrack.model.record import Edit
from leaktrack.model.words import word
from leaktrack.workflows.find_engine import joints_of_engine, zones_of_engine
from leaktrack.workflows.set_up_engine import (
    new_face,
    new_joint,
    new_zone,
    remove_face,
    remove_joint,
    remove_zone,
)

_TREE_CHARACTERS = 34


class EngineParts(QWidget):
    """Faces, zones and joints of the session's engine."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self._joint_seen = session.joint_id
        self._is_first = True
        self.tree = EngineTree()
        self.bolts = BoltsList(session)
        self.lines = JointLinePanel(session)
        self.editors: dict[type[Node], PartEditor] = {
            Engine: EngineEditor(session),
            Face: FaceEditor(session),
            Zone: ZoneEditor(session),
            Joint: JointFields(session),
        }
        self.face_button = push_button(self.tr("Add face"), self._offer_sides, icon_name="face")
        self.zone_button = push_button(self.tr("Add &zone"), self.add_zone, icon_name="zone")
        self.joint_button = push_button(self.tr("Add &joint"), self.add_joint, icon_name="joint")
        self.remove_button = push_button(
            self.tr("Remove"), self.remove_current, icon_name="remove", is_quiet=True
        )
        self._stack = QStackedWidget()
        self._build()
        session.records_changed.connect(WhenSeen(self, self.reload).request)
        session.picked.connect(self._on_picked)
        self.reload()

    def reload(self) -> None:
        """Read the engine again."""
        if self._session.engine_id is None:
            return
        self.tree.show_engine(self._session.project, self._session.engine_id)
        if self._is_first:
            self._is_first = False
            in_hand = self._session.joint_id or self._session.zone_id
            if in_hand is not None:
                self.tree.select(in_hand)

    def add_face(self, side: FaceSide) -> None:
        """Add a face to the engine."""
        engine_id = self._session.engine_id
        if engine_id is not None:
            self._add(self.tr("Add face"), lambda: new_face(self._session.project, engine_id, side))

    def add_zone(self) -> None:
        """Add a zone to the face in hand, and let the person type its name."""
        place = self.tree.current
        face, engine_id = (place.face if place else None), self._session.engine_id
        if face is None or engine_id is None:
            return
        project, face_id = self._session.project, face.id
        names = {zone.name for zone in zones_of_engine(project, engine_id)}
        name = fresh_name(self.tr("New zone"), names)
        self._add(self.tr("Add zone"), lambda: new_zone(project, face_id, name))

    def add_joint(self) -> None:
        """Add a joint to the zone in hand, and let the person type its name."""
        place = self.tree.current
        zone, engine_id = (place.zone if place else None), self._session.engine_id
        if zone is None or engine_id is None:
            return
        project, zone_id = self._session.project, zone.id
        names = {joint.name for joint in joints_of_engine(project, engine_id)}
        name = fresh_name(self.tr("New joint"), names)
        self._add(
            self.tr("Add joint"),
            lambda: new_joint(project, zone_id, name, SealKind.LIQUID_GASKET),
        )

    def remove_current(self) -> None:
        """Take the part in hand away with what is part of it; refused where it has a history."""
        place = self.tree.current
        if place is None or self._session.project.is_read_only:
            return
        project, node = self._session.project, place.node
        try:
            if isinstance(node, Face):
                edit = remove_face(project, node.id)
            elif isinstance(node, Zone):
                edit = remove_zone(project, node.id)
            elif isinstance(node, Joint):
                edit = remove_joint(project, node.id)
            else:
                return
        except LeakTrackError as error:
            self._session.report(error)
            return
        self._session.do(self.tr("Remove %s") % node.name, edit)
        self.tree.setFocus()

    def rename_current(self) -> None:
        """Let the person type another name for the part in hand."""
        place = self.tree.current
        if place is not None:
            self.editors[type(place.node)].take_focus()

    def _add(self, label: str, build: Callable[[], tuple[Node, Edit]]) -> None:
        try:
            node, edit = build()
        except LeakTrackError as error:
            self._session.report(error)
            return
        self._session.do(label, edit)
        if self.tree.select(node.id):
            self.rename_current()

    def _offer_sides(self) -> None:
        menu = QMenu(self)
        for side in FaceSide:
            action = menu.addAction(word(side).capitalize())
            action.triggered.connect(lambda _checked=False, side=side: self.add_face(side))
        menu.popup(self.face_button.mapToGlobal(self.face_button.rect().bottomLeft()))

    def _on_picked(self) -> None:
        if self._session.joint_id != self._joint_seen:
            self._joint_seen = self._session.joint_id
            if self._joint_seen is not None:
                self.tree.select(self._joint_seen)

    def _on_chosen(self) -> None:
        place = self.tree.current
        is_locked = self._session.project.is_read_only
        self.face_button.setEnabled(not is_locked)
        self.zone_button.setEnabled(bool(place and place.face) and not is_locked)
        self.joint_button.setEnabled(bool(place and place.zone) and not is_locked)
        can_go = place is not None and not isinstance(place.node, Engine)
        self.remove_button.setEnabled(can_go and not is_locked)
        if place is not None:
            self._show(place)

    def _show(self, place: Place) -> None:
        node = place.node
        editor = self.editors[type(node)]
        editor.show_part(node)
        for each in self.editors.values():
            each.setVisible(each is editor)
        self.bolts.setVisible(isinstance(node, Joint))
        self.lines.setVisible(place.zone is not None)
        if isinstance(node, Joint):
            self.bolts.show_joint(node)
        if place.zone is not None:
            self.lines.show_zone(place.zone, node if isinstance(node, Joint) else None)

    def _build(self) -> None:
        self.tree.chosen.connect(self._on_chosen)
        self.tree.removal_wanted.connect(self.remove_current)
        self.tree.renaming_wanted.connect(self.rename_current)
        self.tree.setMinimumWidth(self.fontMetrics().averageCharWidth() * _TREE_CHARACTERS)
        buttons = (self.face_button, self.zone_button, self.joint_button, self.remove_button)
        left = QWidget()
        column = QVBoxLayout(left)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(GAP)
        column.addWidget(self.tree, 1)
        column.addWidget(FieldGrid(buttons, cell_characters=16))
        content = QWidget()
        rows = QVBoxLayout(content)
        rows.setContentsMargins(GAP_L, 0, GAP_L, GAP_L)
        rows.setSpacing(GAP_L)
        for part in (*self.editors.values(), self.lines, self.bolts):
            rows.addWidget(part)
        rows.addStretch(1)
        split = QSplitter(Qt.Orientation.Horizontal, self)
        split.setChildrenCollapsible(False)
        split.addWidget(left)
        split.addWidget(ScrolledPage(content))
        split.setStretchFactor(1, 1)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(split)
