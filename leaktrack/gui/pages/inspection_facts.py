"""The form of the inspection in hand, in place of its photos for a while."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from leaktrack.gui.look.panels import push_button
from leaktrack.gui.look.theme import GAP, GAP_L
from leaktrack.gui.pages.inspection_form import InspectionForm
from leaktrack.gui.session import Session


class InspectionFacts(QWidget):
    """The form with a way back; it is made when first shown."""

    closed = Signal()
    """The person is done with the form."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._form: InspectionForm | None = None
        self.back_button = push_button(
            self.tr("Back to the photos"), self.closed.emit, icon_name="previous"
        )
        self._rows = QVBoxLayout(self)
        self._rows.setContentsMargins(GAP_L, GAP, 0, 0)
        self._rows.addWidget(self.back_button)

    @property
    def form(self) -> InspectionForm:
        """The form."""
        if self._form is None:
            self._form = InspectionForm(self._session)
            self._rows.addWidget(self._form, 1)
        return self._form
