"""The page on which an engine is described: faces, zones, joints with their lines, materials."""

from PySide6.QtWidgets import QStackedWidget, QTabWidget, QVBoxLayout, QWidget

from leaktrack.gui.dialogs.name_dialog import ask_for_name
from leaktrack.gui.look.panels import EmptyState
from leaktrack.gui.look.theme import GAP, GAP_L
from leaktrack.gui.pages.engine_parts import EngineParts
from leaktrack.gui.pages.material_editor import MaterialEditor
from leaktrack.gui.session import Session
from leaktrack.model.errors import LeakTrackError
from leaktrack.workflows.set_up_engine import new_engine


class EnginePage(QWidget):
    """Two tabs: the parts of the engine, and the materials with their rules."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.parts = EngineParts(session)
        self.materials = MaterialEditor(session)
        # From outside to inside: what gets another parent is styled anew with all that is in it.
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        self.stack = QStackedWidget()
        rows.addWidget(self.stack)
        self.tabs = QTabWidget()
        self.tabs.setDocumentMode(True)
        self.stack.addWidget(self.tabs)
        self._add_tab(self.parts, self.tr("Faces, zones and joints"))
        self._add_tab(self.materials, self.tr("Materials and their rules"))
        self.stack.addWidget(
            EmptyState(
                self.tr("No engine yet"),
                self.tr(
                    "Give the engine a name. Then choose its faces, the zones that you photograph "
                    "at each inspection, and the joints in them."
                ),
                self.tr("Describe an engine"),
                self.start_new,
            )
        )
        session.records_changed.connect(self._show_state)
        self._show_state()

    def start_new(self) -> None:
        """Ask for the name of an engine and describe it."""
        name = ask_for_name(self, self.tr("New engine"), self.tr("Name of the engine"))
        if not name:
            return
        try:
            engine, edit = new_engine(name)
        except LeakTrackError as error:
            self._session.report(error)
            return
        self._session.do(self.tr("Add engine"), edit)
        self._session.engine_id = engine.id
        self._session.records_changed.emit()

    def _show_state(self) -> None:
        self.stack.setCurrentIndex(1 if self._session.engine_id is None else 0)

    def _add_tab(self, content: QWidget, title: str) -> None:
        page = QWidget()
        self.tabs.addTab(page, title)
        rows = QVBoxLayout(page)
        rows.setContentsMargins(GAP_L, GAP, 0, GAP)
        rows.addWidget(content)
