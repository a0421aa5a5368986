"""Small pictures from all over some footage: coarse first, kept in memory, made when asked for."""

from collections import OrderedDict
from functools import partial
from uuid import UUID

from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QImage, QPixmap

from leaktrack.gui.footage.frame_loader import ClipFrames
from leaktrack.gui.session import Session
from leaktrack.model.errors import LeakTrackError
from leaktrack.model.photo import Clip

SIDE_PX = 192
KEPT = 600
"""So many pictures stay in memory: 50 MB at 192 px."""

COARSE_STEPS = 16
"""A clip has so many pictures at once on the way; a nearer one follows."""

_FINE_STEPS = 240
_LEAST_STEP_MS = 1000

Key = tuple[UUID, int]


class ClipPictures(QObject):
    """Pictures of clips by time, two steps of fineness. The newest request is served first."""

    ready = Signal()
    """Another picture can be had."""

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._frames: dict[UUID, ClipFrames] = {}
        self._pictures: OrderedDict[Key, QPixmap] = OrderedDict()
        self._bad: set[UUID] = set()
        self._wanted: Key | None = None
        self._coarse: list[Key] = []
        self._is_busy = False

    @property
    def held(self) -> int:
        """How many pictures are in memory."""
        return len(self._pictures)

    @property
    def is_busy(self) -> bool:
        """Whether a picture is still to come."""
        return self._is_busy

    def prepare(self, clip: Clip) -> None:
        """Make a few pictures from all over a clip, when there is nothing else to do."""
        step = max(1, clip.duration_ms // COARSE_STEPS)
        keys = [self._key(clip, ms) for ms in range(step // 2, clip.duration_ms, step)]
        self._coarse = [key for key in dict.fromkeys(keys) if key not in self._pictures]
        self._start()

    def get(self, clip: Clip, at_ms: int) -> QPixmap | None:
        """Return the picture nearest to a time that is in memory, and ask for the very one."""
        key = self._key(clip, at_ms)
        if key in self._pictures:
            self._pictures.move_to_end(key)
            return self._pictures[key]
        if clip.id not in self._bad:
            self._wanted = key
            self._start()
        near = [each for each in self._pictures if each[0] == clip.id]
        nearest = min(near, key=lambda each: abs(each[1] - at_ms), default=None)
        return None if nearest is None else self._pictures[nearest]

    def close(self) -> None:
        """Let go of the files."""
        self._coarse, self._wanted = [], None
        for frames in self._frames.values():
            self._session.background.run(frames.close, then=lambda _none: None, owner=self)
        self._frames = {}

    def _key(self, clip: Clip, at_ms: int) -> Key:
        step = max(_LEAST_STEP_MS, clip.duration_ms // _FINE_STEPS)
        return clip.id, min(at_ms, clip.duration_ms) // step * step

    def _start(self) -> None:
        if self._is_busy:
            return
        key, self._wanted = self._wanted, None
        while key is None and self._coarse:
            key = self._coarse.pop(0)
            key = None if key in self._pictures or key[0] in self._bad else key
        if key is None:
            return
        self._is_busy = True
        clip_id, at_ms = key
        frames = self._frames.setdefault(clip_id, ClipFrames(self._session.project, clip_id))
        self._session.background.run(
            partial(frames.coarse, at_ms, SIDE_PX),
            then=partial(self._on_made, key),
            failed=partial(self._on_failed, clip_id),
            owner=self,
        )

    def _on_made(self, key: Key, image: QImage) -> None:
        self._is_busy = False
        self._pictures[key] = QPixmap.fromImage(image)
        while len(self._pictures) > KEPT:
            self._pictures.popitem(last=False)
        self._start()
        self.ready.emit()

    def _on_failed(self, clip_id: UUID, _error: LeakTrackError) -> None:
        self._is_busy = False
        self._bad.add(clip_id)  # the player says what is wrong with it
        self._start()
