"""The photo view: one photo with its marks and joint lines, to look at and to draw on."""

from collections.abc import Sequence
from uuid import UUID

from PySide6.QtCore import QEvent, QPointF, QRect, QRectF, Qt, Signal
from PySide6.QtGui import (
    QFocusEvent,
    QImage,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QResizeEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import QFrame, QGestureEvent, QGraphicsScene, QGraphicsView

from leaktrack.gui.look.theme import Tone, color
from leaktrack.gui.photo_view.drawn_mark import DrawnMark
from leaktrack.gui.photo_view.keyboard import ARROWS
from leaktrack.gui.photo_view.levels import levels_of_image
from leaktrack.gui.photo_view.loader import PhotoLoader
from leaktrack.gui.photo_view.navigating import ZOOM_STEP, Navigation, ViewState
from leaktrack.gui.photo_view.notes import ViewNote
from leaktrack.gui.photo_view.overlays import Overlays
from leaktrack.gui.photo_view.photo_item import PhotoItem
from leaktrack.gui.photo_view.pointing import Pointing
from leaktrack.gui.photo_view.tool import Tool
from leaktrack.gui.session import Session
from leaktrack.model.engine import JointLine
from leaktrack.model.leak import LeakMark
from leaktrack.model.photo import Photo
from leaktrack.model.shapes import Outline, PointPx

FULL_FROM_ZOOM = 1.5
"""Beyond this zoom (1 fits the photo) the full picture is fetched."""


class PhotoView(QGraphicsView):
    """Shows one photo. All places in and out are px of the full upright photo.

    Wheel or pinch zooms at the pointer, a drag pans; with a tool in hand, space or the middle
    button pans. Keys: + and - zoom, F fits, arrows move (the tool's crosshair, if there is a
    tool), Escape puts the tool away, Tab leaves the view.
    """

    mark_selected = Signal(object)
    """A mark (UUID) was clicked."""
    proposal_selected = Signal(object)
    """A proposal was clicked; tells its leak (UUID)."""
    clicked = Signal(object)
    """The photo was clicked at this PointPx, with no tool in hand."""
    view_changed = Signal()
    """Another part of the photo is shown, or at another zoom."""
    tool_changed = Signal(object)
    """Another Tool is in hand, or None."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self._scene = QGraphicsScene(self)
        self.setScene(self._scene)
        self._photo = PhotoItem()
        self._scene.addItem(self._photo)
        self._overlays = Overlays(self._scene)
        self._navigation = Navigation(self)
        self._pointing = Pointing(self, self._scene, session.settings)
        self._loader = PhotoLoader(session, self)
        self._hint = ViewNote(self, is_central=False)
        self._notice = ViewNote(self, is_central=True)
        self._photo_id: UUID | None = None
        self._selected: UUID | None = None
        self._marks: list[DrawnMark] = []
        self._set_up()

    def _set_up(self) -> None:
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setTransformationAnchor(QGraphicsView.ViewportAnchor.NoAnchor)
        self.setResizeAnchor(QGraphicsView.ViewportAnchor.NoAnchor)
        self.setViewportUpdateMode(QGraphicsView.ViewportUpdateMode.MinimalViewportUpdate)
        # Only then does a pan shift what is there and paint no more than the strips laid bare.
        self.viewport().setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)
        self.viewport().grabGesture(Qt.GestureType.PinchGesture)
        self.setAccessibleName(self.tr("Photo"))
        self.setAccessibleDescription(self.tr("The list of marks names what is drawn here."))
        self._loader.loaded.connect(self._photo.set_levels)
        self._loader.failed.connect(lambda error: self._notice.say(str(error)))
        self._navigation.changed.connect(self._on_navigated)
        self._pointing.tool_changed.connect(self._on_tool_changed)
        self._pointing.hint_changed.connect(self._hint.say)
        self._pointing.clicked.connect(self._on_clicked)

    @property
    def photo_id(self) -> UUID | None:
        """The photo shown, if it is one of the project's."""
        return self._photo_id

    def show_photo(self, photo_id: UUID | None) -> None:
        """Show a photo of the project, fitted; marks and lines are taken off."""
        if photo_id is not None and photo_id == self._photo_id:
            return
        self._photo_id = photo_id
        photo = self._session.project.find(Photo, photo_id) if photo_id is not None else None
        width, height = (photo.width_px, photo.height_px) if photo is not None else (1, 1)
        self._turn_to(width, height)
        self._photo.setVisible(photo is not None)
        self._loader.load(photo_id if photo is not None else None)

    def show_image(self, image: QImage, scale: float = 1.0) -> None:
        """Show a picture made elsewhere; ``scale`` is px of the photo per px of the picture."""
        self._photo_id = None
        self._loader.load(None)
        self._turn_to(image.width() * scale, image.height() * scale)
        self._photo.setVisible(True)
        self._photo.set_levels(levels_of_image(image))

    @property
    def shown_width_px(self) -> int:
        """Width of the picture that is shown, which may be smaller than the photo; 0: none yet."""
        levels = self._photo.levels
        return levels.width_px if levels is not None else 0

    @property
    def notice(self) -> str:
        """What is said in the middle of the view."""
        return self._notice.text()

    def set_notice(self, text: str) -> None:
        """Say something in the middle of the view, such as why it is empty."""
        self._notice.say(text)

    def set_overlays(
        self,
        marks: Sequence[tuple[LeakMark, int]],
        lines: Sequence[JointLine] = (),
        proposals: Sequence[DrawnMark] = (),
        carried_lines: Sequence[JointLine] = (),
        hatched: Sequence[Outline] = (),
    ) -> None:
        """Draw marks (each with its leak's number), lines, dashed proposals for both, stripes."""
        drawn = [
            DrawnMark(mark.id, number, mark.grade, mark.source_px, mark.outline_px)
            for mark, number in marks
        ]
        self._marks = [*drawn, *proposals]
        frame = self._photo.boundingRect()
        self._overlays.show(self._marks, lines, frame, carried_lines)
        self._overlays.hatch(hatched)

    @property
    def drawn_marks(self) -> Sequence[DrawnMark]:
        """The marks and proposals drawn."""
        return self._marks

    @property
    def selected_mark_id(self) -> UUID | None:
        """The mark in hand, or the leak whose proposal is."""
        return self._selected

    @selected_mark_id.setter
    def selected_mark_id(self, key: UUID | None) -> None:
        self._selected = key
        self._overlays.select(key)

    @property
    def tool(self) -> Tool | None:
        """The tool in hand."""
        return self._pointing.tool

    def set_tool(self, tool: Tool | None) -> None:
        """Take a tool in hand, or put it away."""
        self._pointing.set_tool(tool)

    def view_state(self) -> ViewState:
        """Return what part is shown, in words that hold for a photo of another size too."""
        return self._navigation.state

    def set_view_state(self, state: ViewState) -> None:
        """Show that part; ``view_changed`` stays silent, so two views can follow each other."""
        was_blocked = self.blockSignals(True)
        self._navigation.show_state(state)
        self.blockSignals(was_blocked)

    def center_on_point(self, at: PointPx, zoom: float | None = None) -> None:
        """Bring a place to the middle; ``zoom`` 1 fits the photo, None keeps the zoom."""
        self._navigation.centre_on(QPointF(at.x, at.y), zoom)

    def fit(self) -> None:
        """Show the whole photo."""
        self._navigation.fit()

    def zoom_in(self) -> None:
        """Zoom in around the middle."""
        self._navigation.zoom_by(ZOOM_STEP)

    def zoom_out(self) -> None:
        """Zoom out around the middle."""
        self._navigation.zoom_by(1 / ZOOM_STEP)

    def _turn_to(self, width_px: float, height_px: float) -> None:
        self._pointing.set_tool(None)
        self.set_overlays(())
        self._notice.say("")
        self._photo.set_size(width_px, height_px)
        self._navigation.set_frame(QRectF(self._photo.boundingRect()))

    def _on_navigated(self) -> None:
        screen_px = 1 / self._navigation.scale
        self._overlays.set_screen_px(screen_px)
        self._pointing.set_screen_px(screen_px)
        if self._navigation.state.zoom > FULL_FROM_ZOOM:
            self._loader.want_full()
        self.view_changed.emit()

    def _on_tool_changed(self, tool: Tool | None) -> None:
        self.viewport().setCursor(
            Qt.CursorShape.CrossCursor if tool is not None else Qt.CursorShape.ArrowCursor
        )
        self.tool_changed.emit(tool)

    def _on_clicked(self, at: PointPx, reach_px: float) -> None:
        drawn = self._overlays.at(at, reach_px)
        if drawn is not None:
            self.selected_mark_id = drawn.key
            (self.proposal_selected if drawn.is_proposal else self.mark_selected).emit(drawn.key)
        self.clicked.emit(at)

    def drawBackground(self, painter: QPainter, rect: QRectF | QRect) -> None:
        """Draw the ground around the photo."""
        painter.fillRect(rect, color(Tone.WINDOW))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the photo fitted, or its middle in the middle."""
        super().resizeEvent(event)
        self._navigation.on_resized()
        self._hint.place()
        self._notice.place()

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Zoom at the pointer."""
        self._navigation.zoom_by(ZOOM_STEP ** (event.angleDelta().y() / 120), event.position())
        event.accept()

    def viewportEvent(self, event: QEvent) -> bool:
        """Zoom where two fingers pinch; leave the rest to Qt."""
        if isinstance(event, QGestureEvent) and self._navigation.pinch(event):
            return True
        return super().viewportEvent(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Begin a gesture: the tool's, or a pan."""
        self._pointing.press(event)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Go on with the gesture."""
        delta = self._pointing.move(event)
        if not delta.isNull():
            self._navigation.pan_by(delta)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """End the gesture."""
        self._pointing.release(event)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Pass a double-click to the tool."""
        self._pointing.double_click(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Take keys for the tool, for zoom and for pan; others go on to the page."""
        if not self._pointing.key_press(event) and not self._navigate_by_key(event):
            event.ignore()

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        """Notice that space is up again."""
        self._pointing.key_release(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Forget keys that are held."""
        self._pointing.forget_keys()
        super().focusOutEvent(event)

    def _navigate_by_key(self, event: QKeyEvent) -> bool:
        key = Qt.Key(event.key())
        if key in (Qt.Key.Key_Plus, Qt.Key.Key_Equal):
            self.zoom_in()
        elif key == Qt.Key.Key_Minus:
            self.zoom_out()
        elif key == Qt.Key.Key_F and not event.modifiers():
            self.fit()
        elif key in ARROWS:
            dx, dy = ARROWS[key]
            step = self.viewport().size() / 8
            self._navigation.pan_by(QPointF(-dx * step.width(), -dy * step.height()).toPoint())
        else:
            return False
        return True
