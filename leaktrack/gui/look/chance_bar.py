"""A chance as a number, in words and as a bar: never as the bar alone."""

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QSizePolicy, QWidget

from leaktrack.gui.look.theme import GAP, Tone, color
from leaktrack.model.chance import chance_words
from leaktrack.model.clue_words import chance_number

_HIGH_PX = 8
_LEAST_PX = 2  # so that a small chance still shows


class _Bar(QWidget):
    def __init__(self, chance: float) -> None:
        super().__init__()
        self._chance = chance
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def sizeHint(self) -> QSize:
        return QSize(80, _HIGH_PX + 4)

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        top = (self.height() - _HIGH_PX) / 2
        whole = QRectF(0.5, top, self.width() - 1, _HIGH_PX)
        painter.setPen(color(Tone.BORDER))
        painter.setBrush(color(Tone.RAISED))
        painter.drawRoundedRect(whole, 3, 3)
        part = QRectF(whole)
        part.setWidth(max(_LEAST_PX, whole.width() * self._chance))
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(color(Tone.ACCENT))
        painter.drawRoundedRect(part, 3, 3)
        painter.end()


class ChanceBar(QWidget):
    """Number, bar and word in one line."""

    def __init__(self, chance: float) -> None:
        super().__init__()
        words = chance_words(chance).rpartition(", ")[0]
        self.number = QLabel(chance_number(chance))
        self.word = QLabel(words)
        for label in (self.number, self.word):
            label.setTextFormat(Qt.TextFormat.PlainText)
        font = self.number.font()
        font.setBold(True)
        self.number.setFont(font)
        self.number.setAccessibleName(self.tr("Chance: %s") % chance_number(chance))
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(GAP)
        row.addWidget(self.number)
        row.addWidget(_Bar(chance), 1)
        row.addWidget(self.word)
