"""Lines that show on any photo: each is drawn twice, a dark halo first."""

from collections.abc import Sequence

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen

from leaktrack.gui.look.contrast import contrast
from leaktrack.gui.look.theme import grade_color_on_photo, mark_pen_pair
from leaktrack.model.leak import SeepageGrade
from leaktrack.model.shapes import PointPx

LEAST_CONTRAST = 3.0
"""Of a line against its halo.

Source:
    WCAG 2.2, success criterion 1.4.11.
"""


def path_through(points: Sequence[PointPx], *, is_closed: bool) -> QPainterPath:
    """Return the line through points as Qt draws it."""
    path = QPainterPath()
    if not points:
        return path
    path.moveTo(points[0].x, points[0].y)
    for point in points[1:]:
        path.lineTo(point.x, point.y)
    if is_closed and len(points) > 2:
        path.closeSubpath()
    return path


def stroke(
    painter: QPainter,
    path: QPainterPath,
    color: QColor | None = None,
    *,
    width_px: float = 1.5,
    is_dashed: bool = False,
) -> None:
    """Draw a path with its halo; widths are in screen px at any zoom."""
    painter.setBrush(Qt.BrushStyle.NoBrush)
    halo, inner = mark_pen_pair(color, width_px)
    if contrast(inner.color(), halo.color()) < LEAST_CONTRAST:
        halo.setColor(chalk())  # a dark line needs a light halo
    is_smooth = painter.testRenderHint(QPainter.RenderHint.Antialiasing)
    for pen in (halo, inner):
        # The halo's edge may be rough: smoothing it takes most of the time and hardly shows.
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, is_smooth and pen is inner)
        # Corners as they come: rounding each of a long outline's takes three times as long.
        pen.setJoinStyle(Qt.PenJoinStyle.BevelJoin)
        if is_dashed:
            _dash(pen)
        painter.setPen(pen)
        painter.drawPath(path)


def ring(painter: QPainter, centre: PointPx, radius: float, color: QColor | None = None) -> None:
    """Draw a circle with its halo; the radius is in the painter's units."""
    path = QPainterPath()
    path.addEllipse(QPointF(centre.x, centre.y), radius, radius)
    stroke(painter, path, color)


def ink() -> QColor:
    """Return the dark of the halo, for text on chalk."""
    return mark_pen_pair()[0].color()


def chalk() -> QColor:
    """Return the light of plain lines, for grounds of text."""
    return mark_pen_pair()[1].color()


def mark_color(grade: SeepageGrade | None) -> QColor:
    """Return the colour of a mark's lines; a proposal, with no grade, is plain."""
    return chalk() if grade is None else grade_color_on_photo(grade)


def _dash(pen: QPen) -> None:
    # Dash lengths count in pen widths: both pens must have the same dashes on screen.
    pen.setDashPattern([6 / pen.widthF(), 5 / pen.widthF()])
