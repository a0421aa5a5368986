"""How a grade shows everywhere: a dipstick with its level, a digit, a word; never colour alone."""

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFont, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from leaktrack.gui.look.theme import GAP, Tone, color, grade_color, text_color_on
from leaktrack.model.leak import SeepageGrade, wetness
from leaktrack.model.words import grade_words, word

STEPS = 5
"""Notches of the dipstick: one per grade above dry."""


def paint_grade(painter: QPainter, rect: QRectF, grade: SeepageGrade) -> None:
    """Draw a grade's badge into a rectangle, best about 1.3 times as wide as high.

    At the left a dipstick, wet up to the grade; beside it the digit. What nobody saw is hatched.
    """
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    ground = grade_color(grade)
    ink = text_color_on(ground)
    painter.setPen(QPen(color(Tone.BORDER), 1))
    painter.setBrush(ground)
    painter.drawRoundedRect(rect.adjusted(0.5, 0.5, -0.5, -0.5), 3, 3)
    digit = wetness(grade)
    if digit is None:
        _paint_hatching(painter, rect.adjusted(2, 2, -2, -2), ink)
    else:
        _paint_dipstick(painter, rect, digit, ink)
        _paint_digit(painter, rect, str(digit), ink)
    painter.restore()


def paint_ribbon_cell(painter: QPainter, rect: QRectF, grade: SeepageGrade) -> None:
    """Draw one past grade as a small column: the higher, the wetter, with its digit below."""
    painter.save()
    digit = wetness(grade)
    digit_height = painter.fontMetrics().height()
    tube = rect.adjusted(1.5, 0.5, -1.5, -digit_height + 0.5)
    painter.setPen(QPen(color(Tone.BORDER), 1, _line_style(grade)))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRect(tube)
    if digit:
        level = QRectF(tube)
        level.setTop(tube.bottom() - tube.height() * digit / STEPS)
        painter.fillRect(level.adjusted(0.5, 0.5, -0.5, -0.5), grade_color(grade))
    painter.setPen(color(Tone.TEXT))
    text = QRectF(rect.left() - 4, rect.bottom() - digit_height, rect.width() + 8, digit_height)
    painter.drawText(text, Qt.AlignmentFlag.AlignCenter, "–" if digit is None else str(digit))
    painter.restore()


def _line_style(grade: SeepageGrade) -> Qt.PenStyle:
    is_unseen = grade is SeepageGrade.NOT_SEEN
    return Qt.PenStyle.DotLine if is_unseen else Qt.PenStyle.SolidLine


def _paint_hatching(painter: QPainter, rect: QRectF, ink: QColor) -> None:
    pen = QPen(ink, 1)
    painter.setClipRect(rect)
    painter.setPen(pen)
    step = max(4.0, rect.height() / 3)
    x = rect.left() - rect.height()
    while x < rect.right():
        painter.drawLine(
            round(x), round(rect.bottom()), round(x + rect.height()), round(rect.top())
        )
        x += step


def _paint_dipstick(painter: QPainter, rect: QRectF, digit: int, ink: QColor) -> None:
    edge = max(3.0, rect.height() * 0.16)
    inner_height = rect.height() - 2 * edge
    notch = inner_height / STEPS
    width = max(3.0, rect.width() * 0.17)
    left = rect.left() + edge
    painter.setPen(Qt.PenStyle.NoPen)
    for step in range(STEPS):
        top = rect.bottom() - edge - (step + 1) * notch
        is_wet = step < digit
        # A dry notch is a thin tick, a wet one a full block: told apart without any colour.
        piece = (
            QRectF(left, top + 0.5, width, notch - 1)
            if is_wet
            else QRectF(left, top + notch / 2, width * 0.55, 1)
        )
        painter.fillRect(piece, ink)


def _paint_digit(painter: QPainter, rect: QRectF, digit: str, ink: QColor) -> None:
    font = QFont(painter.font())
    font.setPixelSize(max(8, round(rect.height() * 0.68)))
    font.setBold(True)
    painter.setFont(font)
    painter.setPen(ink)
    right = rect.adjusted(rect.width() * 0.36, 0, -1, 0)
    painter.drawText(right, Qt.AlignmentFlag.AlignCenter, digit)


def badge_size(text_height: int) -> QSize:
    """Return the size at which a badge goes with text of that height, in px."""
    height = max(18, text_height + 2)
    return QSize(round(height * 1.35), height)


class GradeBadge(QWidget):
    """A grade as badge and word."""

    def __init__(
        self, grade: SeepageGrade, *, show_word: bool = True, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._grade = grade
        self._show_word = show_word
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.set_grade(grade)

    @property
    def grade(self) -> SeepageGrade:
        """The grade shown."""
        return self._grade

    def set_grade(self, grade: SeepageGrade) -> None:
        """Show another grade."""
        self._grade = grade
        self.setAccessibleName(grade_words(grade))
        self.setToolTip(grade_words(grade))
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        """Return room for badge and word."""
        badge = badge_size(self.fontMetrics().height())
        if not self._show_word:
            return badge
        text_width = self.fontMetrics().horizontalAdvance(word(self._grade))
        return QSize(badge.width() + GAP + text_width + 2, badge.height())

    def minimumSizeHint(self) -> QSize:
        """Return the same room: a badge is never cut."""
        return self.sizeHint()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the badge, then its word."""
        painter = QPainter(self)
        badge = badge_size(self.fontMetrics().height())
        top = (self.height() - badge.height()) / 2
        paint_grade(painter, QRectF(0, top, badge.width(), badge.height()), self._grade)
        if self._show_word:
            painter.setPen(color(Tone.TEXT))
            text = self.rect().adjusted(badge.width() + GAP, 0, 0, 0)
            painter.drawText(
                text,
                Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft,
                word(self._grade),
            )
        painter.end()
