"""What should be borne in mind before an inspection is believed, and its crankcase pressure."""

from uuid import UUID

from PySide6.QtWidgets import QWidget

from leaktrack.gui.look.panels import Card, TonedLabel
from leaktrack.gui.session import Session
from leaktrack.model.severity_words import PRESSURE_ASSUMES, pressure_sentence
from leaktrack.model.words import word
from leaktrack.workflows.judge_pressure import pressure_of
from leaktrack.workflows.warn_of_look import warnings_of


class LookWarnings(Card):
    """Hidden where there is nothing to say.

    Args:
        session: The session.
        with_pressure: Also say how the pressure stands to the limits while it is in order.
    """

    def __init__(
        self, session: Session, *, with_pressure: bool = False, parent: QWidget | None = None
    ) -> None:
        super().__init__("attention", parent)
        self._session = session
        self._with_pressure = with_pressure
        self.sentences: tuple[str, ...] = ()
        self.setAccessibleName(self.tr("Bear in mind"))
        self.hide()

    def show_look(self, inspection_id: UUID | None) -> None:
        """Warn of another inspection; None: of none."""
        found = warnings_of(self._session.project, inspection_id) if inspection_id else ()
        pressure = ""
        if inspection_id is not None and self._with_pressure:
            pressure = self._pressure(inspection_id)
        warnings = tuple(word(warning.kind) for warning in found)
        sentences = (*warnings, pressure) if pressure else warnings
        self.setVisible(bool(sentences))
        if sentences == self.sentences:
            return
        self.sentences = sentences
        while (item := self.rows.takeAt(0)) is not None:
            if widget := item.widget():
                widget.deleteLater()
        for sentence in warnings:
            self.add_line("attention", sentence)
        if pressure:
            self.rows.addWidget(TonedLabel(pressure))
        self.set_kind("attention" if warnings else "true")
        self.setAccessibleDescription("\n".join(sentences))

    def _pressure(self, inspection_id: UUID) -> str:
        judged = pressure_of(self._session.project, inspection_id)
        if judged is None:
            return ""
        told = pressure_sentence(judged, self._session.settings.units)
        return f"{told} {PRESSURE_ASSUMES}"
