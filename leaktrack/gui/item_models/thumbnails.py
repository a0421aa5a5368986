"""Small pictures for lists of photos: at once if they are in memory, else soon."""

from collections import OrderedDict
from collections.abc import Collection
from functools import partial
from uuid import UUID

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QPixmap

from leaktrack.gui.pixels import to_qimage
from leaktrack.gui.session import Session
from leaktrack.model.errors import LeakTrackError
from leaktrack.workflows.show_photo import thumbnail

KEPT = 600
"""So many pictures stay in memory: 60 MB at 160 px."""

QUEUED = 400
"""Requests beyond so many are dropped, the oldest first; painting asks again."""

AT_ONCE = 2


class Thumbnails(QObject):
    """The thumbnails of one list. The newest request is served first."""

    ready = Signal(object)
    """The picture of this photo (UUID) can be had now, or is known to be unreadable."""

    def __init__(self, session: Session, side_px: int, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._side_px = side_px
        self._ratio = 1.0
        self._pictures: OrderedDict[UUID, QPixmap] = OrderedDict()
        self._unreadable: set[UUID] = set()
        self._queue: OrderedDict[UUID, None] = OrderedDict()
        self._under_way: set[UUID] = set()

    @property
    def side_px(self) -> int:
        """Longest side, in px of the layout."""
        return self._side_px

    @property
    def held(self) -> int:
        """How many pictures are in memory."""
        return len(self._pictures)

    def set_device_ratio(self, ratio: float) -> None:
        """Make pictures for a screen with so many device px per px of the layout."""
        if ratio != self._ratio:
            self._ratio = ratio
            self._pictures.clear()

    def get(self, photo_id: UUID) -> QPixmap | None:
        """Return a photo's picture if it is in memory; otherwise ask for it. Opens no file."""
        picture = self._pictures.get(photo_id)
        if picture is not None:
            self._pictures.move_to_end(photo_id)
        elif photo_id not in self._unreadable:
            self._ask_for(photo_id)
        return picture

    def is_unreadable(self, photo_id: UUID) -> bool:
        """Return whether the photo's file cannot be shown."""
        return photo_id in self._unreadable

    def keep_only(self, photo_ids: Collection[UUID]) -> None:
        """Drop requests for photos that nobody sees any more."""
        for photo_id in tuple(self._queue):
            if photo_id not in photo_ids:
                del self._queue[photo_id]

    def _ask_for(self, photo_id: UUID) -> None:
        if photo_id in self._under_way:
            return
        self._queue[photo_id] = None
        self._queue.move_to_end(photo_id)
        if len(self._queue) > QUEUED:
            self._queue.popitem(last=False)
        self._start_next()

    def _start_next(self) -> None:
        while self._queue and len(self._under_way) < AT_ONCE:
            photo_id, _ = self._queue.popitem(last=True)
            self._under_way.add(photo_id)
            side_px = round(self._side_px * self._ratio)
            self._session.background.run(
                partial(thumbnail, self._session.project, photo_id, side_px),
                then=partial(self._on_ready, photo_id, self._ratio),
                failed=partial(self._on_failed, photo_id),
                owner=self,
            )

    def _on_ready(self, photo_id: UUID, ratio: float, rgb: NDArray[np.uint8]) -> None:
        picture = QPixmap.fromImage(to_qimage(rgb))
        picture.setDevicePixelRatio(ratio)
        if ratio == self._ratio:
            self._pictures[photo_id] = picture
        while len(self._pictures) > KEPT:
            self._pictures.popitem(last=False)
        self._ended(photo_id)

    def _on_failed(self, photo_id: UUID, _error: LeakTrackError) -> None:
        self._unreadable.add(photo_id)
        self._ended(photo_id)

    def _ended(self, photo_id: UUID) -> None:
        self._under_way.discard(photo_id)
        self._start_next()
        self.ready.emit(photo_id)
