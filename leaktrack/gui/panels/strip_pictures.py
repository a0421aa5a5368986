"""What a joint strip draws again and again, made once: colours, badges, the outlines of beads."""

from PySide6.QtCore import QRectF, QSizeF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPixmap, QPolygonF

from leaktrack.gui.look.grade_badge import paint_grade
from leaktrack.gui.look.theme import Tone, color
from leaktrack.model.leak import SeepageGrade

_HATCHING_ALPHA = 0.55


class StripPictures:
    """Kept by a chart for one joint in one appearance.

    Attributes:
        ribbons: Outlines of beads by bead, width of the chart and height: a bead has thousands of
            points.
        rows: Whole rows by their place, for one width of the chart.
    """

    def __init__(self) -> None:
        self.ribbons: dict[tuple[int, float, float], list[QPolygonF]] = {}
        self.rows: dict[tuple[int, int, float], QPixmap] = {}
        self._badges: dict[tuple[SeepageGrade, float, float, float], QPixmap] = {}
        self._colors: dict[Tone, QColor] = {}
        self._hatching: QBrush | None = None

    def color(self, tone: Tone) -> QColor:
        """Return the colour for a purpose, not to be changed; the appearance is looked up once."""
        found = self._colors.get(tone)
        if found is None:
            found = self._colors[tone] = color(tone)
        return found

    def hatching(self) -> QBrush:
        """Return the hatching of what nobody looked at."""
        if self._hatching is None:
            lines = QColor(self.color(Tone.BORDER))
            lines.setAlphaF(_HATCHING_ALPHA)
            self._hatching = QBrush(lines, Qt.BrushStyle.BDiagPattern)
        return self._hatching

    def badge(self, grade: SeepageGrade, size: QSizeF, ratio: float) -> QPixmap:
        """Return a grade's badge as a picture.

        Args:
            grade: The grade.
            size: In px of the layout.
            ratio: Pixels of the screen per px of the layout.
        """
        key = (grade, size.width(), size.height(), ratio)
        if key not in self._badges:
            picture = blank(size + QSizeF(1, 1), ratio)
            painter = QPainter(picture)
            paint_grade(painter, QRectF(0, 0, size.width(), size.height()), grade)
            painter.end()
            self._badges[key] = picture
        return self._badges[key]


def blank(size: QSizeF, ratio: float) -> QPixmap:
    """Return a picture with nothing on it.

    Args:
        size: In px of the layout.
        ratio: Pixels of the screen per px of the layout.
    """
    picture = QPixmap((size * ratio).toSize())
    picture.setDevicePixelRatio(ratio)
    picture.fill(Qt.GlobalColor.transparent)
    return picture
