"""Give a photo its scale by the bolts of a joint line drawn in it."""

from PySide6.QtCore import QObject
from PySide6.QtGui import QAction

from leaktrack.gui.dialogs.bolt_scale_dialog import BoltScaleDialog
from leaktrack.gui.look.theme import icon
from leaktrack.gui.photo_view import PhotoView
from leaktrack.gui.session import Session
from leaktrack.model.errors import BadInput
from leaktrack.workflows.scale_by_spacing import shown_bolts


class BoltMeasuring(QObject):
    """A command that asks for the bolts and gives the photo in hand its scale, as one step."""

    def __init__(self, session: Session, view: PhotoView, parent: QObject) -> None:
        super().__init__(parent)
        self._session = session
        self._view = view
        self.action = QAction(icon("joint"), self.tr("Measure the scale from &bolts…"), self)
        self.action.triggered.connect(lambda _checked=False: self.start())

    def start(self) -> None:
        """Ask which bolts tell the scale, and take what the person accepts."""
        photo_id, project = self._view.photo_id, self._session.project
        if photo_id is None:
            return
        joints = shown_bolts(project, photo_id)
        if not joints:
            text = self.tr(
                "No joint line in this photo shows two numbered bolts, so there is nothing to "
                "measure between. Draw the line first (page Engine), or keep the dashed one."
            )
            self._session.report(BadInput(text))
            return
        units = self._session.settings.units
        dialog = BoltScaleDialog(project, photo_id, joints, units, self._view.window())
        if dialog.exec() and dialog.found is not None:
            self._session.do(self.tr("Measure scale from bolts"), dialog.found.edit)
