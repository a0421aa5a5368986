"""Seven buttons, one per grade: digit, fill and word on each."""

from PySide6.QtCore import QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFont, QFontMetrics, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QAbstractButton, QButtonGroup, QGridLayout, QSizePolicy, QWidget

from leaktrack.gui.look.grade_badge import badge_size, paint_grade
from leaktrack.gui.look.theme import GAP, GAP_S, RING_PX, Tone, color, target_size
from leaktrack.gui.session import Session
from leaktrack.model.leak import SeepageGrade, wetness
from leaktrack.model.words import grade_words, word

_COLUMNS = 4


def grade_key(grade: SeepageGrade) -> str:
    """Return the key that gives a grade while the photo or the list has the focus."""
    digit = wetness(grade)
    return "N" if digit is None else str(digit)


class GradeButton(QAbstractButton):
    """One grade to be given."""

    def __init__(self, grade: SeepageGrade, smallest_px: int) -> None:
        super().__init__()
        self.grade = grade
        self._smallest_px = smallest_px
        self.setCheckable(True)
        self.setText(word(grade))
        self.setAccessibleName(grade_words(grade))
        self.setToolTip(f"{grade_words(grade)} ({grade_key(grade)})")
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAttribute(Qt.WidgetAttribute.WA_Hover)

    def sizeHint(self) -> QSize:
        """Return room for the badge above the word."""
        badge = badge_size(self.fontMetrics().height())
        words = QFontMetrics(self._bold()).horizontalAdvance(self.text())
        return QSize(
            max(badge.width(), words, self._smallest_px) + 2 * GAP_S,
            max(self._smallest_px, badge.height() + self.fontMetrics().height() + 3 * GAP_S),
        )

    def minimumSizeHint(self) -> QSize:
        """Return the same: a word is never cut."""
        return self.sizeHint()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw ground, badge, word and the ring of the focus."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        frame = QRectF(self.rect()).adjusted(1.5, 1.5, -1.5, -1.5)
        is_lit = self.isChecked() or self.underMouse()
        painter.setBrush(color(Tone.ACCENT_SOFT if is_lit else Tone.RAISED))
        edge = color(Tone.ACCENT if self.isChecked() or self.hasFocus() else Tone.BORDER)
        painter.setPen(QPen(edge, RING_PX if self.hasFocus() or self.isChecked() else 1))
        painter.drawRoundedRect(frame, 5, 5)
        badge = badge_size(self.fontMetrics().height())
        height = badge.height() + self.fontMetrics().height() + GAP_S
        top = (self.height() - height) / 2
        left = (self.width() - badge.width()) / 2
        if not self.isEnabled():
            painter.setOpacity(0.4)
        paint_grade(painter, QRectF(left, top, badge.width(), badge.height()), self.grade)
        words = QRectF(0, top + badge.height() + 1, self.width(), self.fontMetrics().height() + 2)
        painter.setFont(self._bold() if self.isChecked() else self.font())
        painter.setPen(color(Tone.TEXT))
        painter.drawText(words, Qt.AlignmentFlag.AlignCenter, self.text())
        painter.end()

    def _bold(self) -> QFont:
        font = QFont(self.font())
        font.setBold(True)
        return font


class GradeButtons(QWidget):
    """All grades; at most one is down."""

    graded = Signal(object)
    """The person gives this SeepageGrade."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._group = QButtonGroup(self)
        self._buttons: dict[SeepageGrade, GradeButton] = {}
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setSpacing(GAP if session.settings.gloves_mode else GAP_S)
        for place, grade in enumerate(SeepageGrade):
            button = GradeButton(grade, target_size(session.settings))
            button.clicked.connect(lambda _checked=False, grade=grade: self.graded.emit(grade))
            self._group.addButton(button)
            self._buttons[grade] = button
            grid.addWidget(button, place // _COLUMNS, place % _COLUMNS)

    def button(self, grade: SeepageGrade) -> GradeButton:
        """Return the button of a grade."""
        return self._buttons[grade]

    def show_grade(self, grade: SeepageGrade | None) -> None:
        """Show which grade is given now; None lifts all buttons."""
        self._group.setExclusive(False)
        for each, button in self._buttons.items():
            button.setChecked(each is grade)
        self._group.setExclusive(grade is not None)
