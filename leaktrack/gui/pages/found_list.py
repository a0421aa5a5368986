"""What was found in the footage, best first: a small picture, where it is, and how likely."""

from collections.abc import Mapping, Sequence
from functools import partial
from uuid import UUID

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QSignalBlocker, QSize, Qt, Signal
from PySide6.QtGui import QIcon, QKeyEvent, QPixmap
from PySide6.QtWidgets import QAbstractItemView, QListWidget, QListWidgetItem

from leaktrack.gui.look.theme import Tone, color
from leaktrack.gui.pixels import to_qimage
from leaktrack.gui.session import Session
from leaktrack.model.chance import chance_words
from leaktrack.model.footage import FoundSpan
from leaktrack.model.photo import Clip
from leaktrack.workflows.clips import time_code
from leaktrack.workflows.show_photo import clip_thumbnail

_PICTURE = QSize(128, 72)


class FoundList(QListWidget):
    """One row per span. Going to a row shows it; K or Enter keeps it."""

    opened = Signal(object)
    """Show this span (FoundSpan)."""
    keep_wanted = Signal(object)
    """Keep this span (FoundSpan) as evidence."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self._spans: tuple[FoundSpan, ...] = ()
        self._pictures: dict[FoundSpan, QPixmap] = {}
        self.setAccessibleName(self.tr("Found in the footage"))
        self.setIconSize(_PICTURE)
        self.setWordWrap(True)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setTabKeyNavigation(False)
        self.currentRowChanged.connect(lambda _row: self._open())
        self.itemClicked.connect(lambda _item: self._open())

    @property
    def spans(self) -> tuple[FoundSpan, ...]:
        """The spans listed, best first."""
        return self._spans

    @property
    def current(self) -> FoundSpan | None:
        """The span that the keyboard is on."""
        row = self.currentRow()
        return self._spans[row] if 0 <= row < len(self._spans) else None

    def show_spans(
        self,
        spans: Sequence[FoundSpan],
        clips: Mapping[UUID, Clip],
        kept: Mapping[FoundSpan, str],
    ) -> None:
        """Show these spans; the current one stays current.

        Args:
            spans: Best first, each of a clip.
            clips: All clips.
            kept: As evidence of which job a span is kept.
        """
        current = self.current
        self._spans = tuple(span for span in spans if span.clip_id in clips)
        with QSignalBlocker(self):
            self.clear()
            for span in self._spans:
                clip = clips[span.clip_id] if span.clip_id is not None else None
                item = QListWidgetItem(_words(span, clip))
                if span in kept:
                    item.setText(f"{item.text()}\n{self.tr('Evidence of %s') % kept[span]}")
                self.addItem(item)
                self._show_picture(span)
            place = self._spans.index(current) if current in self._spans else -1
            self.setCurrentRow(place)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Keep with one key."""
        keys = (Qt.Key.Key_K, Qt.Key.Key_Return, Qt.Key.Key_Enter)
        if event.key() in keys and self.current is not None:
            self.keep_wanted.emit(self.current)
        else:
            super().keyPressEvent(event)

    def _open(self) -> None:
        if self.current is not None:
            self.opened.emit(self.current)

    def _show_picture(self, span: FoundSpan) -> None:
        picture = self._pictures.get(span)
        if picture is None:
            picture = QPixmap(_PICTURE)
            picture.fill(color(Tone.UNSEEN))
            self._pictures[span] = picture
            assert span.clip_id is not None
            self._session.background.run(
                partial(
                    clip_thumbnail,
                    self._session.project,
                    span.clip_id,
                    _PICTURE.width(),
                    span.best_ms,
                ),
                then=partial(self._on_picture, span),
                failed=lambda _error: None,  # the player says what is wrong with the clip
                owner=self,
            )
        if span in self._spans:
            shown = QIcon(picture)
            shown.addPixmap(picture, QIcon.Mode.Selected)  # Qt would tint the picture otherwise
            item = self.item(self._spans.index(span))
            if item is not None:
                item.setIcon(shown)

    def _on_picture(self, span: FoundSpan, rgb: NDArray[np.uint8]) -> None:
        self._pictures[span] = QPixmap.fromImage(to_qimage(rgb))
        self._show_picture(span)


def _words(span: FoundSpan, clip: Clip | None) -> str:
    name = clip.name if clip is not None else span.video.name
    place = f"{time_code(span.start_ms)[:-4]} to {time_code(span.end_ms)[:-4]}"
    chance = chance_words(span.score)
    return f"{chance[:1].upper()}{chance[1:]}\n{name}, {place}\nbest at {time_code(span.best_ms)}"
