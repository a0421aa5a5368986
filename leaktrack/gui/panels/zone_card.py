"""One zone on the engine sheet: its newest photo, its grade, and how it fared before."""

from collections.abc import Sequence
from uuid import UUID

from PySide6.QtCore import QPoint, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QFont, QFontMetrics, QPainter, QPainterPath, QPaintEvent, QPen, QPixmap
from PySide6.QtWidgets import QAbstractButton, QSizePolicy, QWidget

from leaktrack.gui.look.grade_badge import badge_size, paint_grade, paint_ribbon_cell
from leaktrack.gui.look.theme import GAP_S, RING_PX, Tone, color
from leaktrack.gui.look.tinted_icon import paint_icon
from leaktrack.model.engine_sheet import ZoneCard
from leaktrack.model.leak import SeepageGrade
from leaktrack.model.words import grade_words

_PADDING = 5
_RIBBON_LENGTH = 6
_THUMB_ASPECT = 4 / 3


def card_sentence(card: ZoneCard, face_name: str) -> str:
    """Return a zone's state as one sentence, for screen readers and tooltips."""
    now = f"{card.zone.name}, {face_name}: {grade_words(card.grade)}"
    past = [grade_words(grade) for _id, grade in card.ribbon[:-1]]
    return f"{now}; before: {', '.join(past)}" if past else now


class ZoneCardButton(QAbstractButton):
    """A zone to be picked."""

    def __init__(self, card: ZoneCard, face_name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._thumbnail: QPixmap | None = None
        self.setCheckable(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Expanding)
        self.setAttribute(Qt.WidgetAttribute.WA_Hover)
        self.set_card(card, face_name)

    @property
    def card(self) -> ZoneCard:
        """What the card shows."""
        return self._card

    @property
    def zone_id(self) -> UUID:
        """The zone it stands for."""
        return self._card.zone.id

    def set_card(self, card: ZoneCard, face_name: str) -> None:
        """Show a newer state of the zone."""
        self._card = card
        self.setText(card.zone.name)
        self.setAccessibleName(card_sentence(card, face_name))
        self.setToolTip(card_sentence(card, face_name))
        self.update()

    def set_thumbnail(self, thumbnail: QPixmap) -> None:
        """Show the zone's newest photo, once it has been read."""
        self._thumbnail = thumbnail
        self.update()

    def sizeHint(self) -> QSize:
        """Return room for a small photo beside three lines."""
        line = QFontMetrics(self.font()).height()
        height = max(3 * line + 3 * _PADDING, 66)
        return QSize(self._thumb_width(height) + self._text_width() + 3 * _PADDING, height)

    def minimumSizeHint(self) -> QSize:
        """Return room without the photo."""
        line = QFontMetrics(self.font()).height()
        return QSize(self.sizeHint().width(), 2 * line + 3 * _PADDING)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the card."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self._paint_ground(painter)
        inside = self.rect().adjusted(_PADDING, _PADDING, -_PADDING, -_PADDING)
        thumb = QRect(
            inside.topLeft(), QSize(self._thumb_width(self.sizeHint().height()), inside.height())
        )
        self._paint_thumbnail(painter, thumb)
        self._paint_text(painter, inside.adjusted(thumb.width() + _PADDING, 0, 0, 0))
        painter.end()

    def _thumb_width(self, card_height: int) -> int:
        return round((card_height - 2 * _PADDING) * _THUMB_ASPECT)

    def _text_width(self) -> int:
        metrics = QFontMetrics(self.font())
        badge = badge_size(metrics.height())
        ribbon = self._cell_width() * _RIBBON_LENGTH
        return max(badge.width() + GAP_S + ribbon, metrics.averageCharWidth() * 14)

    def _cell_width(self) -> int:
        return QFontMetrics(_ribbon_font(self.font())).horizontalAdvance("0") + 4

    def _paint_ground(self, painter: QPainter) -> None:
        ground = Tone.ACCENT_SOFT if self.isChecked() or self.underMouse() else Tone.BASE
        edge = Tone.ACCENT if self.isChecked() else Tone.HAIRLINE
        pen = QPen(color(Tone.ACCENT), RING_PX) if self.hasFocus() else QPen(color(edge), 1)
        inset = pen.widthF() / 2
        painter.setPen(pen)
        painter.setBrush(color(ground))
        painter.drawRoundedRect(QRectF(self.rect()).adjusted(inset, inset, -inset, -inset), 6, 6)
        if self.isChecked():
            painter.fillRect(QRectF(10, 0, self.width() - 20, 3), color(Tone.ACCENT))

    def _paint_thumbnail(self, painter: QPainter, rect: QRect) -> None:
        outline = QPainterPath()
        outline.addRoundedRect(QRectF(rect), 4, 4)
        painter.save()
        painter.setClipPath(outline)
        painter.fillRect(rect, color(Tone.UNSEEN))
        if self._thumbnail is not None and not self._thumbnail.isNull():
            painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
            painter.drawPixmap(rect, self._thumbnail, _middle_of(self._thumbnail, rect.size()))
        else:
            side = min(rect.height(), 22)
            spot = QRectF(0, 0, side, side)
            spot.moveCenter(QRectF(rect).center())
            paint_icon(painter, spot, "camera", color(Tone.QUIET))
        painter.restore()

    def _paint_text(self, painter: QPainter, rect: QRect) -> None:
        metrics = QFontMetrics(self.font())
        badge = badge_size(metrics.height())
        ribbon_height = max(badge.height(), metrics.height() + 8)
        bottom = QRect(rect.left(), rect.bottom() - ribbon_height + 1, rect.width(), ribbon_height)
        badge_top = bottom.bottom() - badge.height()
        paint_grade(
            painter,
            QRectF(bottom.left(), badge_top, badge.width(), badge.height()),
            self._card.grade,
        )
        self._paint_ribbon(painter, bottom.adjusted(badge.width() + GAP_S, 0, 0, 0))
        name = QFont(self.font())
        name.setWeight(QFont.Weight.DemiBold)
        painter.setFont(name)
        painter.setPen(color(Tone.TEXT))
        room = QRect(rect.topLeft(), QPoint(rect.right(), bottom.top() - 2))
        _paint_name(painter, room, self._card.zone.name)

    def _paint_ribbon(self, painter: QPainter, rect: QRect) -> None:
        past: Sequence[tuple[UUID, SeepageGrade]] = self._card.ribbon[:-1][-_RIBBON_LENGTH:]
        painter.setFont(_ribbon_font(self.font()))
        width = self._cell_width()
        left = rect.right() - width * len(past)
        for place, (_id, grade) in enumerate(past):
            cell = QRectF(left + place * width, rect.top(), width, rect.height())
            paint_ribbon_cell(painter, cell, grade)


def _ribbon_font(font: QFont) -> QFont:
    small = QFont(font)
    small.setPointSizeF(max(6.5, font.pointSizeF() * 0.78))
    return small


def _middle_of(picture: QPixmap, wanted: QSize) -> QRect:
    """Return the middle part of a picture that has the wanted shape, so that it fills its frame."""
    part = wanted.scaled(picture.size(), Qt.AspectRatioMode.KeepAspectRatio)
    left = (picture.width() - part.width()) // 2
    return QRect(QPoint(left, (picture.height() - part.height()) // 2), part)


def _paint_name(painter: QPainter, room: QRect, name: str) -> None:
    metrics = painter.fontMetrics()
    has_two_lines = room.height() >= 2 * metrics.height()
    flags = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop
    is_wide = metrics.horizontalAdvance(name) > room.width()
    if is_wide and has_two_lines and " " in name:
        first, rest = _broken(name, metrics, room.width())
        tail = metrics.elidedText(rest, Qt.TextElideMode.ElideRight, room.width())
        painter.drawText(room, flags, f"{first}\n{tail}")
        return
    painter.drawText(
        room, flags, metrics.elidedText(name, Qt.TextElideMode.ElideRight, room.width())
    )


def _broken(name: str, metrics: QFontMetrics, width: int) -> tuple[str, str]:
    words = name.split()
    taken = 1
    while taken < len(words) and metrics.horizontalAdvance(" ".join(words[: taken + 1])) <= width:
        taken += 1
    return " ".join(words[:taken]), " ".join(words[taken:])
