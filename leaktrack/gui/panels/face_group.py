"""One face on the engine sheet: where it lies on the unfolded engine, and its zones."""

from collections.abc import Sequence

from PySide6.QtCore import QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFont, QFontMetrics, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from leaktrack.gui.look.panels import push_button
from leaktrack.gui.look.theme import GAP, GAP_S, Tone, color
from leaktrack.gui.panels.zone_card import ZoneCardButton
from leaktrack.model.engine import Face, FaceSide

NET_PLACES: dict[FaceSide, tuple[int, int]] = {
    FaceSide.FRONT: (1, 0),
    FaceSide.BANK_1: (0, 1),
    FaceSide.TOP: (1, 1),
    FaceSide.BANK_2: (2, 1),
    FaceSide.UNDERSIDE: (3, 1),
    FaceSide.REAR: (1, 2),
}
"""Column and row of each face when the engine is unfolded around its crankshaft."""


class FaceHeader(QWidget):
    """A face's name below a bracket over its zones, with a small key to the unfolded engine."""

    def __init__(self, face: Face, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._face = face
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(face.name)

    def sizeHint(self) -> QSize:
        """Return room for the key and the name."""
        metrics = QFontMetrics(_name_font(self.font()))
        height = max(metrics.height(), 16)
        return QSize(_net_width(height) + 2 * GAP + metrics.horizontalAdvance(self._name()), height)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw key, name and bracket."""
        painter = QPainter(self)
        height = self.height()
        self._paint_net(painter, height)
        font = _name_font(self.font())
        painter.setFont(font)
        painter.setPen(color(Tone.QUIET))
        left = _net_width(height) + GAP
        painter.drawText(
            self.rect().adjusted(left, 0, 0, 0), Qt.AlignmentFlag.AlignVCenter, self._name()
        )
        end = left + QFontMetrics(font).horizontalAdvance(self._name()) + GAP
        middle = height // 2
        painter.setPen(QPen(color(Tone.HAIRLINE), 1))
        if end < self.width() - GAP:
            painter.drawLine(end, middle, self.width() - 1, middle)
            painter.drawLine(self.width() - 1, middle, self.width() - 1, height)
        painter.end()

    def _name(self) -> str:
        return self._face.name.upper()

    def _paint_net(self, painter: QPainter, height: int) -> None:
        cell = height / 3
        for side, (column, row) in NET_PLACES.items():
            place = QRectF(column * cell + 0.5, row * cell + 0.5, cell - 1, cell - 1)
            if side is self._face.side:
                painter.fillRect(place, color(Tone.ACCENT))
            else:
                painter.setPen(QPen(color(Tone.BORDER), 1))
                painter.drawRect(place.adjusted(0, 0, -1, -1))


def _net_width(height: int) -> int:
    return round(4 * height / 3)


def _name_font(font: QFont) -> QFont:
    small = QFont(font)
    small.setPointSizeF(max(7.0, font.pointSizeF() * 0.82))
    small.setLetterSpacing(QFont.SpacingType.PercentageSpacing, 108)
    return small


class FaceGroup(QWidget):
    """A face with the cards of its zones."""

    zone_wanted = Signal(object)
    """The person wants to add a zone to this face (UUID)."""

    def __init__(
        self, face: Face, cards: Sequence[ZoneCardButton], parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Expanding)
        row = QHBoxLayout()
        row.setSpacing(GAP_S)
        for card in cards:
            row.addWidget(card)
        if not cards:
            button = push_button(
                self.tr("Add zone"), lambda: self.zone_wanted.emit(face.id), is_quiet=True
            )
            button.setAccessibleName(self.tr("Add zone to {face}").format(face=face.name))
            row.addWidget(button, 0, Qt.AlignmentFlag.AlignTop)
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(GAP_S)
        rows.addWidget(FaceHeader(face))
        rows.addLayout(row, 1)
