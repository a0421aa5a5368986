"""Give a photo its scale by two clicks and a typed length."""

from functools import partial
from uuid import UUID

from PySide6.QtCore import QObject

from leaktrack.gui.dialogs.length_dialog import ask_for_length
from leaktrack.gui.photo_view import LengthTool, PhotoView
from leaktrack.gui.session import Session
from leaktrack.model.errors import BadInput
from leaktrack.model.shapes import PointPx
from leaktrack.workflows.derive_scale import scale_by_length


class LengthMeasuring(QObject):
    """Takes the tool in hand, asks for the length and gives the photo its scale, as one step."""

    def __init__(self, session: Session, view: PhotoView, parent: QObject) -> None:
        super().__init__(parent)
        self._session = session
        self._view = view

    def start(self) -> None:
        """Let the person click both ends of a known length in the photo shown."""
        photo_id = self._view.photo_id
        if photo_id is None:
            return
        tool = LengthTool(self)
        tool.finished.connect(partial(self._on_clicked, photo_id))
        self._view.set_tool(tool)
        self._view.setFocus()

    def _on_clicked(self, photo_id: UUID, ends: tuple[PointPx, PointPx]) -> None:
        try:
            length_mm = ask_for_length(
                self._view,
                self.tr("Scale from a known length"),
                self.tr("How long is it on the engine?"),
                self._session.settings.units,
            )
        except BadInput as error:
            self._session.report(error)
            return
        if length_mm is None:
            return
        self._session.background.run(
            partial(scale_by_length, self._session.project, photo_id, ends, length_mm),
            then=lambda edit: self._session.do(self.tr("Type a length"), edit),
            failed=self._session.report,
            owner=self,
        )
