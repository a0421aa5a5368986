"""What the colours of a change mean, in words."""

from math import exp

from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QPainter, QPixmap
from PySide6.QtWidgets import QHBoxLayout, QLabel, QWidget

from leaktrack.gui.look.flow_layout import FlowLayout
from leaktrack.gui.look.panels import TonedLabel
from leaktrack.gui.look.theme import GAP, GAP_S, Tone, change_colors, color
from leaktrack.gui.pages.change_picture import CHANGE_STEPS

_RULED_EVERY_PX = 4


class ChangeLegend(QWidget):
    """One swatch for each colour, and a sentence on what is not assessed."""

    def __init__(self) -> None:
        super().__init__()
        self.untold = TonedLabel()
        self._swatches: list[tuple[QLabel, bool, int]] = []
        flow = FlowLayout(GAP, self)
        flow.addWidget(self._group(self.tr("Darker now, a little to very much:"), is_darker=True))
        flow.addWidget(self._group(self.tr("Lighter now (ruled):"), is_darker=False))
        self.untold.setWordWrap(False)
        flow.addWidget(self.untold)
        self._paint()

    def show_untold(self, share: float) -> None:
        """Say how much of the photo is striped."""
        text = self.tr("Striped (%d %%): not assessed.") % max(1, round(share * 100))
        self.untold.setText(text if share > 0 else "")
        self.untold.setToolTip(
            self.tr(
                "The earlier photo does not show it, its place is unsure, or a photo is burnt out."
            )
        )

    def changeEvent(self, event: QEvent) -> None:
        """Keep the swatches as high as the text."""
        super().changeEvent(event)
        if event.type() is QEvent.Type.FontChange:
            self._paint()

    def _group(self, title: str, *, is_darker: bool) -> QWidget:
        group = QWidget()
        row = QHBoxLayout(group)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(GAP_S)
        row.addWidget(TonedLabel(title, Tone.TEXT))
        words = self.tr("%d %% darker and more") if is_darker else self.tr("%d %% lighter and more")
        for step, least in enumerate(CHANGE_STEPS):
            swatch = QLabel()
            swatch.setToolTip(words % round(100 * abs(exp(-least if is_darker else least) - 1)))
            self._swatches.append((swatch, is_darker, step))
            row.addWidget(swatch)
        for label in group.findChildren(QLabel):
            label.setWordWrap(False)
        return group

    def _paint(self) -> None:
        side = self.fontMetrics().ascent() + 2
        for swatch, is_darker, step in self._swatches:
            picture = QPixmap(2 * side, side)
            picture.fill(change_colors(is_darker=is_darker)[step])
            painter = QPainter(picture)
            if not is_darker:
                for y in range(2, side, _RULED_EVERY_PX):
                    painter.fillRect(0, y, 2 * side, 2, color(Tone.WINDOW))
            painter.setPen(color(Tone.BORDER))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(0, 0, 2 * side - 1, side - 1)
            painter.end()
            swatch.setPixmap(picture)
