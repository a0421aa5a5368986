"""The engine sheet: the engine unfolded into its faces; the window's Where axis."""

from collections.abc import Sequence
from functools import partial
from uuid import UUID

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QEvent, QObject, QSize, Qt, Signal
from PySide6.QtGui import QPixmap
from PySide6.QtWidgets import (
    QAbstractButton,
    QButtonGroup,
    QFrame,
    QHBoxLayout,
    QScrollArea,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from leaktrack.gui.look.panels import EmptyState
from leaktrack.gui.look.theme import GAP, GAP_L, GAP_S
from leaktrack.gui.panels.face_group import FaceGroup
from leaktrack.gui.panels.zone_card import ZoneCardButton
from leaktrack.gui.pixels import to_qimage
from leaktrack.gui.session import Session
from leaktrack.model.engine_sheet import EngineSheet, FaceCard
from leaktrack.model.leak import SeepageGrade, wetness
from leaktrack.model.logbook import EntryKind
from leaktrack.workflows.show_photo import thumbnail
from leaktrack.workflows.view_engine_sheet import engine_sheet

_THUMB_PX = 128


class EngineSheetPanel(QWidget):
    """Faces in a row, each with the cards of its zones; exactly one zone is in hand."""

    set_up_wanted = Signal()
    """The person wants to set up faces and zones."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._asked = 0
        self._sheet: EngineSheet | None = None
        self._thumbnails: dict[UUID, QPixmap] = {}
        self._group = QButtonGroup(self)
        self._scroll = QScrollArea()
        self._stack = QStackedWidget()
        self._build_layout()
        self._group.buttonClicked.connect(self._on_zone_clicked)
        session.records_changed.connect(self.reload)
        session.picked.connect(self._on_picked)
        self._moment: UUID | None = None
        self.reload()

    @property
    def cards(self) -> tuple[ZoneCardButton, ...]:
        """The zones' cards, in the order of the sheet."""
        return tuple(each for each in self._group.buttons() if isinstance(each, ZoneCardButton))

    def reload(self) -> None:
        """Read the sheet again, as it stood at the inspection in hand."""
        if (engine_id := self._session.engine_id) is None:
            self._stack.setCurrentWidget(self.empty)
            return
        self._asked += 1
        self._moment = self._picked_inspection()
        self._session.background.run(
            partial(engine_sheet, self._session.project, engine_id, self._moment),
            then=partial(self._show, self._asked),
            owner=self,
            failed=self._session.report,
        )

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Scroll a card into view when the keyboard reaches it."""
        if event.type() is QEvent.Type.FocusIn and isinstance(watched, ZoneCardButton):
            self._scroll.ensureWidgetVisible(watched)
        return super().eventFilter(watched, event)

    def sizeHint(self) -> QSize:
        """Return room for one row of cards with their header."""
        line = self.fontMetrics().height()
        return QSize(600, 5 * line + 46)

    def _build_layout(self) -> None:
        self._scroll.setWidgetResizable(True)
        self._scroll.setFrameShape(QFrame.Shape.NoFrame)
        self._scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._scroll.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.empty = EmptyState(
            self.tr("No zones yet"),
            self.tr("A zone is a part of a face that is photographed each time."),
            self.tr("Set up the engine"),
            self.set_up_wanted.emit,
        )
        self._stack.addWidget(self._scroll)
        self._stack.addWidget(self.empty)
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, GAP_S, GAP, 0)
        rows.setSpacing(GAP_S)
        rows.addWidget(self._stack, 1)
        self.setAccessibleName(self.tr("Engine sheet"))

    def _picked_inspection(self) -> UUID | None:
        entry = self._session.entry
        if entry is None or entry[0] is not EntryKind.INSPECTION:
            return None
        return entry[1]

    def _show(self, asked: int, sheet: EngineSheet) -> None:
        if asked != self._asked:
            return
        has_zones = any(face.zones for face in sheet.faces)
        self._stack.setCurrentWidget(self._scroll if has_zones else self.empty)
        if self._sheet is not None and _layout_of(sheet) == _layout_of(self._sheet):
            self._update_cards(sheet)
        else:
            self._rebuild(sheet)
        self._sheet = sheet
        self._check_picked()
        if self._session.zone_id is None and self.cards:
            self._session.pick(zone_id=wettest(self.cards).zone_id)
        self._ask_for_thumbnails()

    def _rebuild(self, sheet: EngineSheet) -> None:
        for button in self._group.buttons():
            self._group.removeButton(button)
        content = QWidget()
        row = QHBoxLayout(content)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(GAP_L)
        for face in sheet.faces:
            row.addWidget(self._face_group(face))
        row.addStretch(1)
        self._scroll.setWidget(content)

    def _face_group(self, face: FaceCard) -> FaceGroup:
        cards = []
        for zone in face.zones:
            card = ZoneCardButton(zone, face.face.name)
            card.installEventFilter(self)
            self._group.addButton(card)
            cards.append(card)
        group = FaceGroup(face.face, cards)
        group.zone_wanted.connect(lambda _face_id: self.set_up_wanted.emit())
        return group

    def _update_cards(self, sheet: EngineSheet) -> None:
        shown = {card.zone_id: card for card in self.cards}
        for face in sheet.faces:
            for zone in face.zones:
                shown[zone.zone.id].set_card(zone, face.face.name)

    def _ask_for_thumbnails(self) -> None:
        side_px = round(_THUMB_PX * self.devicePixelRatioF())
        for card in self.cards:
            photo_id = card.card.newest_photo_id
            if photo_id is None:
                card.set_thumbnail(QPixmap())
            elif photo_id in self._thumbnails:
                card.set_thumbnail(self._thumbnails[photo_id])
            else:
                self._session.background.run(
                    partial(thumbnail, self._session.project, photo_id, side_px),
                    then=partial(self._on_thumbnail_ready, photo_id),
                    owner=self,
                )

    def _on_thumbnail_ready(self, photo_id: UUID, rgb: NDArray[np.uint8]) -> None:
        picture = QPixmap.fromImage(to_qimage(rgb))
        self._thumbnails[photo_id] = picture
        for card in self.cards:
            if card.card.newest_photo_id == photo_id:
                card.set_thumbnail(picture)

    def _on_zone_clicked(self, button: QAbstractButton) -> None:
        if isinstance(button, ZoneCardButton):
            self._session.pick(zone_id=button.zone_id)

    def _on_picked(self) -> None:
        self._check_picked()
        if self._picked_inspection() != self._moment:
            self.reload()

    def _check_picked(self) -> None:
        for card in self.cards:
            if card.zone_id == self._session.zone_id:
                card.setChecked(True)
                self._scroll.ensureWidgetVisible(card, GAP_L, 0)


def wettest(cards: Sequence[ZoneCardButton]) -> ZoneCardButton:
    """Return the card with the worst grade, the first of several; a dry one beats an unseen one.

    Args:
        cards: At least one.
    """
    return max(cards, key=lambda card: _rank(card.card.grade))


def _rank(grade: SeepageGrade) -> int:
    step = wetness(grade)
    return -1 if step is None else step


def _layout_of(sheet: EngineSheet) -> tuple[tuple[UUID, str, tuple[UUID, ...]], ...]:
    """Return what decides which cards stand where: a change here means building them anew."""
    return tuple(
        (face.face.id, face.face.name, tuple(card.zone.id for card in face.zones))
        for face in sheet.faces
    )
