"""Two photos beside each other, as they were taken, that always show the same place."""

from uuid import UUID

from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from leaktrack.gui.look.panels import ElidedLabel
from leaktrack.gui.look.theme import GAP_S
from leaktrack.gui.photo_view import PhotoView, ViewState
from leaktrack.gui.session import Session
from leaktrack.model.photo import Photo
from leaktrack.model.shapes import PointPx
from leaktrack.workflows.follow_places import PlaceMesh


class SideBySide(QWidget):
    """The earlier photo at the left, the later one at the right.

    Pan and zoom of one take the other along: to the same place of the engine, as large as there,
    where it is known how the photos lie over each other; else to the same part of the picture.
    """

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self._mesh: PlaceMesh | None = None
        self._sizes: tuple[tuple[int, int], tuple[int, int]] | None = None
        self.earlier = PhotoView(session)
        self.later = PhotoView(session)
        self.earlier.setAccessibleName(self.tr("Earlier photo"))
        self.later.setAccessibleName(self.tr("Later photo"))
        self.earlier_caption = ElidedLabel()
        self.later_caption = ElidedLabel()
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(GAP_S)
        for view, caption in (
            (self.earlier, self.earlier_caption),
            (self.later, self.later_caption),
        ):
            column = QVBoxLayout()
            column.setSpacing(0)
            column.addWidget(caption)
            column.addWidget(view, 1)
            row.addLayout(column, 1)
        self.earlier.view_changed.connect(self._on_earlier_moved)
        self.later.view_changed.connect(self._on_later_moved)

    def show_pair(self, earlier_id: UUID | None, later_id: UUID | None) -> None:
        """Show two photos."""
        self.earlier.show_photo(earlier_id)
        self.later.show_photo(later_id)
        photos = [
            self._session.project.find(Photo, photo_id) if photo_id is not None else None
            for photo_id in (earlier_id, later_id)
        ]
        self._sizes = None
        if photos[0] is not None and photos[1] is not None:
            self._sizes = (
                (photos[0].width_px, photos[0].height_px),
                (photos[1].width_px, photos[1].height_px),
            )

    def lock(self, mesh: PlaceMesh | None) -> None:
        """Go to the same places from now on; None where it is not known which are the same."""
        if mesh is not self._mesh:
            self._mesh = mesh
            self._on_later_moved()

    def _on_later_moved(self) -> None:
        state = self.later.view_state()
        if self._mesh is not None and self._sizes is not None:
            earlier, later = self._sizes
            at = _middle(state, later)
            scale = state.zoom * _fit_scale(self.later, later) / self._mesh.magnification(at)
            state = _state(self._mesh.there(at), scale / _fit_scale(self.earlier, earlier), earlier)
        self.earlier.set_view_state(state)

    def _on_earlier_moved(self) -> None:
        state = self.earlier.view_state()
        if self._mesh is not None and self._sizes is not None:
            earlier, later = self._sizes
            at = self._mesh.back(_middle(state, earlier))
            scale = state.zoom * _fit_scale(self.earlier, earlier) * self._mesh.magnification(at)
            state = _state(at, scale / _fit_scale(self.later, later), later)
        self.later.set_view_state(state)


def _middle(state: ViewState, size: tuple[int, int]) -> PointPx:
    """Return the place in the middle of a view of a photo of this size."""
    return PointPx(state.centre_x * size[0] - 0.5, state.centre_y * size[1] - 0.5)


def _state(middle: PointPx, zoom: float, size: tuple[int, int]) -> ViewState:
    return ViewState((middle.x + 0.5) / size[0], (middle.y + 0.5) / size[1], zoom)


def _fit_scale(view: PhotoView, size: tuple[int, int]) -> float:
    """Return the screen px per photo px with which the whole photo just fits into a view."""
    room = view.viewport().size()
    return max(1e-6, min(room.width() / size[0], room.height() / size[1]))
