"""Where the two axes of the window meet: the engine in hand, and a choice if there are several."""

from PySide6.QtWidgets import QComboBox, QVBoxLayout, QWidget

from leaktrack.gui.look.panels import Heading, row_with
from leaktrack.gui.look.theme import GAP
from leaktrack.gui.session import Session
from leaktrack.model.engine import Engine


class EngineCorner(QWidget):
    """The name of the only engine, or a picker for several."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.heading = Heading("", 2)
        self.heading.setContentsMargins(GAP, 0, 0, 0)
        self.picker = QComboBox()
        self.picker.setAccessibleName(self.tr("Engine"))
        self.picker.activated.connect(self._on_engine_chosen)
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.addWidget(self.heading)
        rows.addWidget(self.picker)
        session.records_changed.connect(self.reload)
        self.reload()

    def reload(self) -> None:
        """Read the engines again; take the first in hand if there was none."""
        engines = self._session.project.all(Engine)
        ids = [engine.id for engine in engines]
        if self._session.engine_id not in ids:
            self._session.engine_id = ids[0] if ids else None
        self.heading.setText(engines[0].name if engines else self.tr("No engine yet"))
        self.picker.clear()
        for engine in engines:
            self.picker.addItem(engine.name, engine.id)
        self.picker.setCurrentIndex(row_with(self.picker, self._session.engine_id))
        self.picker.setVisible(len(engines) > 1)
        self.heading.setVisible(len(engines) <= 1)

    def _on_engine_chosen(self, row: int) -> None:
        self._session.engine_id = self.picker.itemData(row)
        self._session.records_changed.emit()
