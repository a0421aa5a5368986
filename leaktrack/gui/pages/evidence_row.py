"""What shows a sealing job, as small pictures and spans to click."""

from collections.abc import Mapping, Sequence
from functools import partial
from uuid import UUID

from PySide6.QtCore import QSize, Signal
from PySide6.QtGui import QIcon
from PySide6.QtWidgets import QAbstractButton, QToolButton, QWidget

from leaktrack.gui.item_models.thumbnails import Thumbnails
from leaktrack.gui.look.flow_layout import FlowLayout
from leaktrack.gui.look.panels import push_button
from leaktrack.gui.look.theme import GAP_S, icon
from leaktrack.model.photo import Clip, Photo
from leaktrack.model.sealing_job import Evidence
from leaktrack.workflows.clips import time_code

THUMBNAIL_PX = 88


class EvidenceRow(QWidget):
    """Photos and spans in a row that goes on below where it is full."""

    photo_chosen = Signal(object, str)
    """Show this photo (UUID) large; what it shows, in words."""
    span_chosen = Signal(object, int)
    """Show this clip (UUID) from these milliseconds."""

    def __init__(
        self,
        evidence: Sequence[Evidence],
        photos: Mapping[UUID, Photo],
        clips: Mapping[UUID, Clip],
        thumbnails: Thumbnails,
    ) -> None:
        super().__init__()
        self._thumbnails = thumbnails
        self.photo_buttons: dict[UUID, QToolButton] = {}
        self.span_buttons: list[QAbstractButton] = []
        flow = FlowLayout(GAP_S, self)
        for each in evidence:
            if each.photo_id is not None and each.photo_id in photos:
                flow.addWidget(self._photo_button(photos[each.photo_id], each.note))
            elif each.clip_id is not None and each.clip_id in clips:
                flow.addWidget(self._span_button(each, clips[each.clip_id]))
        thumbnails.ready.connect(self._on_ready)

    def _photo_button(self, photo: Photo, note: str) -> QToolButton:
        button = QToolButton()
        name = note or photo.note or photo.original_name
        button.setAccessibleName(self.tr("Show photo: %s") % name)
        button.setToolTip(name)
        button.setIconSize(QSize(THUMBNAIL_PX, THUMBNAIL_PX * 3 // 4))
        button.setIcon(icon("photo"))
        button.clicked.connect(lambda _checked=False: self.photo_chosen.emit(photo.id, name))
        self.photo_buttons[photo.id] = button
        self._on_ready(photo.id)
        return button

    def _span_button(self, span: Evidence, clip: Clip) -> QAbstractButton:
        start_ms = span.start_ms or 0
        end = self.tr("the end") if span.end_ms is None else time_code(span.end_ms)[2:7]
        text = self.tr("Footage %s to %s") % (time_code(start_ms)[2:7], end)
        wish = partial(self.span_chosen.emit, clip.id, start_ms)
        button = push_button(text, wish, icon_name="clip")
        button.setToolTip(": ".join(part for part in (clip.name, span.note) if part))
        button.setAccessibleName(f"{text}, {clip.name}")
        button.setAccessibleDescription(span.note)
        self.span_buttons.append(button)
        return button

    def _on_ready(self, photo_id: UUID) -> None:
        button = self.photo_buttons.get(photo_id)
        if button is None:
            return
        picture = self._thumbnails.get(photo_id)
        if picture is not None:
            button.setIcon(QIcon(picture))
        elif self._thumbnails.is_unreadable(photo_id):
            button.setIcon(icon("problem"))
            button.setToolTip(self.tr("The photo's file is missing or damaged."))
