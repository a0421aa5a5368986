"""Fetch single frames of a clip off the window's thread; the latest wish wins."""

import threading
from dataclasses import dataclass, replace
from functools import partial
from typing import Protocol
from uuid import UUID

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QObject, QTimer, Signal
from PySide6.QtGui import QImage

from leaktrack.gui.pixels import to_qimage
from leaktrack.gui.session import Session
from leaktrack.model.errors import LeakTrackError
from leaktrack.workflows.clips import open_clip, skim_clip
from leaktrack.workflows.project import Project

MOST_STEPS = 50
"""Steps that wait beyond so many are dropped: a held key must not run on after it is let go."""

REST_MS = 120
"""A place that is not left for so long is shown exactly; own judgement."""

COARSE_PX = 960
"""Longest side of what is shown while somebody looks for a place."""


class _Frame(Protocol):
    @property
    def rgb(self) -> NDArray[np.uint8]: ...
    @property
    def at_ms(self) -> int: ...


class _Reader(Protocol):
    """A clip that was opened by the workflow."""

    def frame_at(self, ms: int, /) -> _Frame: ...
    def frame_after(self, ms: int, /) -> _Frame | None: ...
    def frame_before(self, ms: int, /) -> _Frame | None: ...
    def close(self) -> None: ...


class _Skimmer(Protocol):
    """The same clip, opened for coarse pictures."""

    def frame_before(self, ms: int, longest_px: int, /) -> _Frame: ...
    def close(self) -> None: ...


@dataclass(frozen=True, slots=True)
class Wish:
    """Which frame is wanted next.

    Attributes:
        at_ms: From where; None: from the frame shown.
        steps: So many frames on from there; back where negative.
        is_coarse: A picture from nearby will do, if it comes at once.
    """

    at_ms: int | None = None
    steps: int = 0
    is_coarse: bool = False

    def stepped(self, steps: int) -> "Wish":
        """Return this wish with more steps after it; they need the frame itself."""
        total = max(-MOST_STEPS, min(MOST_STEPS, self.steps + steps))
        return replace(self, steps=total, is_coarse=False)


class ClipFrames:
    """One clip that stays open between frames. Threads take turns."""

    def __init__(self, project: Project, clip_id: UUID) -> None:
        self._project = project
        self._clip_id = clip_id
        self._turn = threading.Lock()
        self._reader: _Reader | None = None
        self._skimmer: _Skimmer | None = None

    def coarse(self, at_ms: int, longest_px: int = COARSE_PX) -> QImage:
        """Return a small picture of the key frame before a time; much faster than ``frame``.

        Raises:
            MissingRecord: There is no such clip.
            UnreadableVideo: Its file is missing or damaged.
        """
        with self._turn:
            if self._skimmer is None:
                self._skimmer = skim_clip(self._project, self._clip_id)
            return to_qimage(self._skimmer.frame_before(at_ms, longest_px).rgb)

    def frame(self, from_ms: int, steps: int) -> tuple[QImage, int]:
        """Return the frame some steps from a time, and its own time; the last one at an end.

        Raises:
            MissingRecord: There is no such clip.
            UnreadableVideo: Its file is missing or damaged.
        """
        with self._turn:
            if self._reader is None:
                self._reader = open_clip(self._project, self._clip_id)
            frame = self._reader.frame_at(from_ms)
            for _ in range(abs(steps)):
                step = self._reader.frame_after if steps > 0 else self._reader.frame_before
                further = step(frame.at_ms)
                if further is None:
                    break
                frame = further
            return to_qimage(frame.rgb), frame.at_ms

    def close(self) -> None:
        """Close the file; it is opened again when a frame is asked for."""
        with self._turn:
            for each in (self._reader, self._skimmer):
                if each is not None:
                    each.close()
            self._reader = self._skimmer = None


class FrameLoader(QObject):
    """Shows one clip's frames. While one is being decoded, only the latest wish waits."""

    loaded = Signal(object, int)
    """Show this QImage now, which stands at these milliseconds."""
    skimmed = Signal(object, int)
    """Show this QImage until the frame at these milliseconds comes; it stands a little before."""
    failed = Signal(object)
    """The clip cannot be shown (LeakTrackError)."""

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._frames: ClipFrames | None = None
        self._shown_ms = 0
        self._wish: Wish | None = None
        self._is_busy = False
        self._scrubbed_ms = 0
        self._rest = QTimer(self)
        self._rest.setSingleShot(True)
        self._rest.setInterval(REST_MS)
        self._rest.timeout.connect(lambda: self._want(Wish(self._scrubbed_ms)))

    @property
    def is_busy(self) -> bool:
        """Whether a frame is still to come."""
        return self._is_busy or self._rest.isActive()

    def open(self, clip_id: UUID | None, at_ms: int = 0) -> None:
        """Turn to another clip, or to none."""
        self.close()
        self._frames = None if clip_id is None else ClipFrames(self._session.project, clip_id)
        self._wish = None
        self._rest.stop()
        if clip_id is not None:
            self.jump(at_ms)

    def jump(self, at_ms: int) -> None:
        """Ask for the frame shown at a time."""
        self._rest.stop()
        self._want(Wish(at_ms))

    def scrub(self, at_ms: int) -> None:
        """Ask for a picture from about a time at once, and for the frame itself at rest."""
        self._scrubbed_ms = at_ms
        self._want(Wish(at_ms, is_coarse=True))
        self._rest.start()

    def step(self, steps: int) -> None:
        """Ask for a frame so many frames on, or back where negative."""
        wish = Wish(self._scrubbed_ms) if self._rest.isActive() else self._wish
        self._rest.stop()
        self._want((wish or Wish()).stepped(steps))

    def close(self) -> None:
        """Let go of the file."""
        if self._frames is not None:
            self._session.background.run(self._frames.close, then=lambda _none: None, owner=self)
            self._frames = None

    def _want(self, wish: Wish) -> None:
        self._wish = wish
        if not self._is_busy:
            self._start()

    def _start(self) -> None:
        wish, frames = self._wish, self._frames
        self._wish = None
        if wish is None or frames is None:
            return
        self._is_busy = True
        from_ms = self._shown_ms if wish.at_ms is None else wish.at_ms
        if wish.is_coarse:
            self._session.background.run(
                partial(frames.coarse, from_ms),
                then=partial(self._on_skimmed, frames, from_ms),
                failed=partial(self._on_failed, frames),
                owner=self,
            )
            return
        self._session.background.run(
            partial(frames.frame, from_ms, wish.steps),
            then=partial(self._on_loaded, frames),
            failed=partial(self._on_failed, frames),
            owner=self,
        )

    def _on_loaded(self, frames: ClipFrames, answer: tuple[QImage, int]) -> None:
        self._is_busy = False
        image, at_ms = answer
        if frames is self._frames:  # another clip may have been opened meanwhile
            self._shown_ms = at_ms
            self.loaded.emit(image, at_ms)
        self._start()

    def _on_skimmed(self, frames: ClipFrames, at_ms: int, image: QImage) -> None:
        self._is_busy = False
        if frames is self._frames:
            self._shown_ms = at_ms
            self.skimmed.emit(image, at_ms)
        self._start()

    def _on_failed(self, frames: ClipFrames, error: LeakTrackError) -> None:
        self._is_busy = False
        if frames is self._frames:
            self.failed.emit(error)
        self._start()
