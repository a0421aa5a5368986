"""Zoom and pan of a photo view, also in words that hold for another view of another size."""

from dataclasses import dataclass

from PySide6.QtCore import QObject, QPoint, QPointF, QRectF, Qt, Signal
from PySide6.QtGui import QTransform
from PySide6.QtWidgets import QGestureEvent, QGraphicsView, QPinchGesture

ZOOM_STEP = 1.25
CLOSEST = 32.0
"""Screen px per photo px beyond which zooming in shows nothing more."""

FURTHEST_OF_FIT = 0.5


@dataclass(frozen=True, slots=True)
class ViewState:
    """What a view shows, whatever its size.

    Attributes:
        centre_x: Of the middle of the view, as a fraction of the photo's width.
        centre_y: The same of its height.
        zoom: 1 where the whole photo just fits.
    """

    centre_x: float = 0.5
    centre_y: float = 0.5
    zoom: float = 1.0


class Navigation(QObject):
    """Moves one graphics view over a photo."""

    changed = Signal()
    """Another part is shown, or at another zoom."""

    def __init__(self, view: QGraphicsView) -> None:
        super().__init__(view)
        self._view = view
        self._frame = QRectF(0, 0, 1, 1)
        self._is_fitted = True
        self._centre = QPointF(0.5, 0.5)

    @property
    def scale(self) -> float:
        """Screen px per photo px."""
        return self._view.transform().m11()

    @property
    def fit_scale(self) -> float:
        """The scale at which the whole photo just fits."""
        size = self._view.viewport().size()
        across, down = size.width() / self._frame.width(), size.height() / self._frame.height()
        return max(1e-6, min(across, down))

    @property
    def state(self) -> ViewState:
        """What is shown."""
        centre = self._centre_shown()
        return ViewState(
            (centre.x() - self._frame.x()) / self._frame.width(),
            (centre.y() - self._frame.y()) / self._frame.height(),
            self.scale / self.fit_scale,
        )

    def set_frame(self, frame: QRectF) -> None:
        """Turn to a photo with this frame, and fit it into the view."""
        self._frame = frame
        self.fit()

    def fit(self) -> None:
        """Show the whole photo."""
        self._show(self._frame.center(), self.fit_scale)
        self._is_fitted = True

    def show_state(self, state: ViewState) -> None:
        """Show what another view shows."""
        centre = QPointF(
            self._frame.x() + state.centre_x * self._frame.width(),
            self._frame.y() + state.centre_y * self._frame.height(),
        )
        self._show(centre, state.zoom * self.fit_scale)

    def centre_on(self, at: QPointF, zoom: float | None = None) -> None:
        """Bring a place to the middle, at this zoom (1 fits) or the present one."""
        self._show(at, self.scale if zoom is None else zoom * self.fit_scale)

    def zoom_by(self, factor: float, around: QPointF | None = None) -> None:
        """Zoom so that the place at these viewport coordinates stays where it is."""
        view = self._view
        middle = self._middle()
        pivot = around if around is not None else middle
        fixed = view.viewportTransform().inverted()[0].map(pivot)
        scale = self._allowed(self.scale * factor)
        self._show(fixed - (pivot - middle) / scale, scale)

    def pinch(self, event: QGestureEvent) -> bool:
        """Zoom where two fingers pinch; False where it is another gesture."""
        gesture = event.gesture(Qt.GestureType.PinchGesture)
        if not isinstance(gesture, QPinchGesture):
            return False
        around = self._view.viewport().mapFromGlobal(gesture.centerPoint().toPoint())
        self.zoom_by(gesture.scaleFactor(), QPointF(around))
        return True

    def pan_by(self, delta: QPoint) -> None:
        """Move the photo along with the hand, by so many screen px."""
        self._is_fitted = False
        across, down = self._view.horizontalScrollBar(), self._view.verticalScrollBar()
        across.setValue(across.value() - delta.x())
        down.setValue(down.value() - delta.y())
        self._centre = self._centre_shown()
        self.changed.emit()

    def on_resized(self) -> None:
        """Keep the photo fitted, or else the same place in the middle."""
        if self._is_fitted:
            self.fit()
        else:
            self._show(self._centre, self.scale)

    def _allowed(self, scale: float) -> float:
        lowest = self.fit_scale * FURTHEST_OF_FIT
        return min(max(scale, lowest), max(CLOSEST, lowest))

    def _show(self, centre: QPointF, scale: float) -> None:
        self._is_fitted = False
        self._centre = centre
        view = self._view
        view.setTransform(QTransform.fromScale(scale, scale))
        # Half a view of room at each side, so that even a corner can come to the middle.
        room = QPointF(view.viewport().width(), view.viewport().height()) / (2 * scale)
        view.setSceneRect(self._frame.adjusted(-room.x(), -room.y(), room.x(), room.y()))
        view.centerOn(centre)
        self.changed.emit()

    def _centre_shown(self) -> QPointF:
        return self._view.viewportTransform().inverted()[0].map(self._middle())

    def _middle(self) -> QPointF:
        return QPointF(self._view.viewport().width(), self._view.viewport().height()) / 2
