"""Small parts that pages and panels are built from: headings, empty states, cautions, buttons."""

from collections.abc import Callable, Sequence

from PySide6.QtCore import QEvent, QRectF, QSize, Qt
from PySide6.QtGui import QFont, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import (
    QApplication,
    QComboBox,
    QFrame,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QSizePolicy,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from leaktrack.gui.look.theme import GAP, GAP_L, GAP_S, Tone, color, icon
from leaktrack.gui.look.tinted_icon import paint_icon
from leaktrack.model.caution import Caution
from leaktrack.model.words import DEFER, word

_HEADING_SCALE = {1: 1.45, 2: 1.15, 3: 1.0}


class Heading(QLabel):
    """A title: level 1 heads a page, 2 a part of it, 3 a group of fields."""

    def __init__(self, text: str, level: int = 1, parent: QWidget | None = None) -> None:
        super().__init__(text, parent)
        self._level = level
        self.setWordWrap(True)
        self.setTextFormat(Qt.TextFormat.PlainText)
        self._scale_font()

    def changeEvent(self, event: QEvent) -> None:
        """Follow the program's text size."""
        super().changeEvent(event)
        # A change of the program's font is told to no widget that has a font of its own; but the
        # style sheet is set anew together with it.
        if event.type() is QEvent.Type.StyleChange:
            self._scale_font()

    def _scale_font(self) -> None:
        font = QApplication.font()
        font.setPointSizeF(font.pointSizeF() * _HEADING_SCALE[self._level])
        font.setWeight(QFont.Weight.DemiBold)
        if font != self.font():
            self.setFont(font)


class TonedLabel(QLabel):
    """A line of text in a tone: quiet, attention, problem or good."""

    def __init__(self, text: str = "", tone: Tone = Tone.QUIET, parent: QWidget | None = None):
        super().__init__(text, parent)
        self.setWordWrap(True)
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.set_tone(tone)

    def set_tone(self, tone: Tone) -> None:
        """Speak in another tone."""
        self.setProperty("tone", tone.value)
        self.style().unpolish(self)
        self.style().polish(self)


class ElidedLabel(QLabel):
    """One line of text that shows what there is room for, and all of it on hovering."""

    def __init__(self, tone: Tone = Tone.QUIET, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._whole = ""
        self.setProperty("tone", tone.value)
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)

    def set_whole_text(self, text: str) -> None:
        """Show another text."""
        self._whole = text
        self.setToolTip(text)
        self.setAccessibleName(text)
        self._elide()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Show more or less of the text."""
        super().resizeEvent(event)
        self._elide()

    def _elide(self) -> None:
        room = self.contentsRect().width()
        self.setText(self.fontMetrics().elidedText(self._whole, Qt.TextElideMode.ElideRight, room))


class Card(QFrame):
    """A sheet on the ground, with its own vertical layout ``rows``."""

    def __init__(self, kind: str = "true", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setProperty("card", kind)
        self.rows = QVBoxLayout(self)
        self.rows.setContentsMargins(GAP_L, GAP, GAP_L, GAP)
        self.rows.setSpacing(GAP)

    def set_kind(self, kind: str) -> None:
        """Look like another kind of sheet: "true" is plain, "attention" warns, "news" tells."""
        self.setProperty("card", kind)
        self.style().unpolish(self)
        self.style().polish(self)

    def add_line(self, icon_name: str, text: str) -> None:
        """Add a line of text with an icon before it."""
        self.rows.addWidget(_IconLine(icon_name, text))


class Rule(QFrame):
    """A hairline that parts two things."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setProperty("rule", "true")
        self.setFixedHeight(1)


class EmptyState(QWidget):
    """What stands where there is nothing yet: what belongs here, why it is empty, one way on."""

    def __init__(
        self,
        title: str,
        text: str,
        button_text: str = "",
        on_click: Callable[[], object] | None = None,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        rows = QVBoxLayout(self)
        rows.setContentsMargins(GAP_L, GAP_L, GAP_L, GAP_L)
        rows.setSpacing(GAP)
        rows.addStretch(2)
        heading = Heading(title, 2)
        body = TonedLabel(text)
        for label in (heading, body):
            label.setAlignment(Qt.AlignmentFlag.AlignHCenter)
            rows.addWidget(label)
        self.button: QPushButton | None = None
        if button_text and on_click is not None:
            self.button = push_button(button_text, on_click, is_primary=True)
            rows.addSpacing(GAP_S)
            rows.addWidget(self.button, 0, Qt.AlignmentFlag.AlignHCenter)
        rows.addStretch(3)


class CautionBox(Card):
    """What can hurt somebody at this place, in the usual words, and whose word comes first."""

    def __init__(self, cautions: Sequence[Caution] = (), parent: QWidget | None = None) -> None:
        super().__init__("attention", parent)
        self.setAccessibleName(self.tr("Caution"))
        self.set_cautions(cautions)

    def set_cautions(self, cautions: Sequence[Caution]) -> None:
        """Warn of other hazards; none hides the box."""
        while (item := self.rows.takeAt(0)) is not None:
            if widget := item.widget():
                widget.deleteLater()
        for caution in cautions:
            self.add_line("caution", word(caution))
        self.rows.addWidget(TonedLabel(DEFER))
        self.setVisible(bool(cautions))


class IconPicture(QWidget):
    """An icon as high as the text beside it."""

    def __init__(self, name: str, tone: Tone = Tone.TEXT, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._name = name
        self._tone = tone
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)

    def set_icon(self, name: str, tone: Tone = Tone.TEXT) -> None:
        """Show another icon."""
        self._name, self._tone = name, tone
        self.update()

    def sizeHint(self) -> QSize:
        """Return room for a square as high as a line of text."""
        side = self.fontMetrics().height() + 2
        return QSize(side, side)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the icon in the colours of the moment."""
        painter = QPainter(self)
        paint_icon(painter, QRectF(self.rect()), self._name, color(self._tone))
        painter.end()


class _IconLine(QWidget):
    def __init__(self, icon_name: str, text: str) -> None:
        super().__init__()
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(GAP)
        picture = IconPicture(icon_name)
        label = QLabel(text)
        label.setWordWrap(True)
        row.addWidget(picture, 0, Qt.AlignmentFlag.AlignTop)
        row.addWidget(label, 1)


class ScrolledPage(QScrollArea):
    """A page's content, as wide as there is room and scrolled where it is higher."""

    def __init__(self, content: QWidget, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAsNeeded)
        self.setWidget(content)
        # The area is no stop of its own on the way of the Tab key: its content has the stops.
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)


def row_with(box: QComboBox, value: object) -> int:
    """Return the row of a box whose data equals a value; -1 if there is none.

    Qt's own search compares Python objects by identity: it misses an equal UUID read anew.
    """
    return next((row for row in range(box.count()) if box.itemData(row) == value), -1)


def push_button(
    text: str,
    on_click: Callable[[], object],
    *,
    icon_name: str = "",
    is_primary: bool = False,
    is_quiet: bool = False,
) -> QPushButton:
    """Return a button with a verb on it. At most one button of a page is primary."""
    button = QPushButton(text)
    if icon_name:
        button.setIcon(icon(icon_name, Tone.ON_ACCENT if is_primary else Tone.TEXT))
    button.setProperty("primary", "true" if is_primary else None)
    button.setProperty("quiet", "true" if is_quiet else None)
    button.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Fixed)
    button.setAccessibleName(text.replace("&", ""))
    button.clicked.connect(lambda _checked=False: on_click())
    return button


def icon_button(
    icon_name: str, name: str, on_click: Callable[[], object] | None = None
) -> QToolButton:
    """Return a button that shows only an icon; its name is read out and shown on hovering."""
    button = QToolButton()
    button.setIcon(icon(icon_name))
    button.setToolTip(name)
    button.setAccessibleName(name)
    button.setProperty("quiet", "true")
    if on_click is not None:
        button.clicked.connect(lambda _checked=False: on_click())
    return button
