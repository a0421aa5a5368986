"""How a seal's bead is drawn: as a ribbon of its measured width between the widths allowed.

What is wrong with it has a sign below the ribbon, a different shape for each kind, and a word where
there is room.
"""

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QPainter, QPen, QPolygonF

from leaktrack.gui.look.theme import Tone
from leaktrack.gui.panels.joint_strip_layout import StripScale, complement, covered
from leaktrack.gui.panels.strip_pictures import StripPictures
from leaktrack.model.bead_audit import BeadDefectKind
from leaktrack.model.joint_strip import JointStrip, StripBead, StripFault, StripRow
from leaktrack.model.words import word

_WORDS_SHARE, _SIGNS_SHARE = 0.28, 0.24
"""Of the band's height: words above the ribbon, signs below it."""

_HIGHEST = 1.9  # times the usual width: what is wider is cut off
_SIGN_PX = 9.0


class BeadBandPainter:
    """Draws the beads of one chart with a painter, at one scale."""

    def __init__(
        self, painter: QPainter, strip: JointStrip, scale: StripScale, pictures: StripPictures
    ) -> None:
        self._painter = painter
        self._strip = strip
        self._scale = scale
        self._pictures = pictures

    def paint(self, rect: QRectF, row: StripRow) -> None:
        """Draw the beads of a seal into its row."""
        words = rect.height() * _WORDS_SHARE
        signs = rect.height() * _SIGNS_SHARE
        room = QRectF(rect.left(), rect.top() + words, rect.width(), rect.height() - words - signs)
        self._paint_ground(room, row)
        for bead in row.beads:
            self._paint_allowed(room, bead)
        for bead in row.beads:
            self._paint_ribbon(room, bead)
        for bead in row.beads:
            self._paint_unread(room, bead)
        self._paint_faults(rect, room, row)

    def _paint_ground(self, room: QRectF, row: StripRow) -> None:
        shown = [piece for bead in row.beads for piece in covered(self._strip, bead)]
        for start, end in complement(self._strip, shown):
            self._hatch(self._box(room, start, end))
        self._painter.setPen(QPen(self._pictures.color(Tone.BORDER), 1))
        self._painter.setBrush(Qt.BrushStyle.NoBrush)
        self._painter.drawRect(self._box(room, self._strip.first, self._strip.last))

    def _paint_allowed(self, room: QRectF, bead: StripBead) -> None:
        """Draw where the edges of the bead may run: a light band on either side."""
        if bead.narrowest is None and bead.widest is None:
            return
        low = (bead.narrowest or 0.0) * _px_per_unit(bead, room)
        high = min((bead.widest or bead.usual * _HIGHEST) * _px_per_unit(bead, room), room.height())
        middle = room.center().y()
        painter = self._painter
        painter.setPen(QPen(self._pictures.color(Tone.ACCENT), 1))
        for start, end in covered(self._strip, bead):
            box = self._box(room, start, end)
            for upper, lower in ((-high / 2, -low / 2), (low / 2, high / 2)):
                band = QRectF(box.left(), middle + upper, box.width(), lower - upper)
                painter.fillRect(band, self._pictures.color(Tone.ACCENT_SOFT))
                edges = [QLineF(band.topLeft(), band.topRight())]
                edges.append(QLineF(band.bottomLeft(), band.bottomRight()))
                painter.drawLines(edges)

    def _paint_ribbon(self, room: QRectF, bead: StripBead) -> None:
        key = (id(bead), self._scale.width_px, room.height())
        if key not in self._pictures.ribbons:
            made = ribbons(self._strip, bead, self._scale, _px_per_unit(bead, room))
            self._pictures.ribbons[key] = made
        painter = self._painter
        painter.save()
        painter.setClipRect(room)
        painter.translate(0, room.center().y())
        painter.setPen(QPen(self._pictures.color(Tone.TEXT), 1))
        painter.setBrush(self._pictures.color(Tone.QUIET))
        for polygon in self._pictures.ribbons[key]:
            painter.drawPolygon(polygon)
        painter.restore()

    def _paint_unread(self, room: QRectF, bead: StripBead) -> None:
        painter = self._painter
        for stretch in bead.unread:
            for start, end in self._strip.pieces(stretch.start, stretch.end):
                box = self._box(room, start, end)
                painter.fillRect(box, self._pictures.color(Tone.BASE))
                self._hatch(box)
                if box.width() > painter.fontMetrics().horizontalAdvance("?") + 2:
                    painter.setPen(self._pictures.color(Tone.TEXT))
                    painter.drawText(box, Qt.AlignmentFlag.AlignCenter, "?")

    def _paint_faults(self, rect: QRectF, room: QRectF, row: StripRow) -> None:
        placed = [
            (self._strip.wrapped((each.start + each.end) / 2), each)
            for bead in row.beads
            for each in bead.faults
        ]
        named: list[tuple[float, float]] = []
        # Gaps get their names first: there may not be room for all.
        order = sorted(placed, key=lambda one: (one[1].kind is not BeadDefectKind.GAP, one[0]))
        for middle, fault in order:
            x = self._scale.x(middle)
            self._paint_extent(room, fault)
            sign = QRectF(x - _SIGN_PX / 2, room.bottom() + 2, _SIGN_PX, _SIGN_PX)
            paint_fault_sign(self._painter, sign, fault.kind, self._pictures)
            name = word(fault.kind)
            width = self._painter.fontMetrics().horizontalAdvance(name)
            left = min(max(x - width / 2, self._scale.left_px), self._right - width)
            if all(left > end + 4 or left + width < start - 4 for start, end in named):
                box = QRectF(left, rect.top(), width + 2, room.top() - rect.top())
                self._painter.setPen(self._pictures.color(Tone.TEXT))
                self._painter.drawText(box, Qt.AlignmentFlag.AlignCenter, name)
                named.append((left, left + width))

    def _paint_extent(self, room: QRectF, fault: StripFault) -> None:
        """Draw how far a fault reaches: a bracket below the ribbon."""
        self._painter.setPen(QPen(self._pictures.color(Tone.TEXT), 2))
        for start, end in self._strip.pieces(fault.start, fault.end):
            left, right = self._scale.x(start), self._scale.x(end)
            right = max(right, left + 2)
            bottom = room.bottom()
            self._painter.drawLines(
                [
                    QLineF(left, bottom, right, bottom),
                    QLineF(left, bottom - 4, left, bottom),
                    QLineF(right, bottom - 4, right, bottom),
                ]
            )

    @property
    def _right(self) -> float:
        return self._scale.left_px + self._scale.width_px

    def _box(self, room: QRectF, start: float, end: float) -> QRectF:
        left, right = self._scale.x(start), self._scale.x(end)
        return QRectF(left, room.top(), max(right - left, 1.0), room.height())

    def _hatch(self, box: QRectF) -> None:
        hatch(self._painter, box, self._pictures)


def hatch(painter: QPainter, box: QRectF, pictures: StripPictures) -> None:
    """Fill a box with the ground and the hatching of what nobody looked at."""
    painter.fillRect(box, pictures.color(Tone.UNSEEN))
    painter.fillRect(box, pictures.hatching())


def paint_fault_sign(
    painter: QPainter, box: QRectF, kind: BeadDefectKind, pictures: StripPictures
) -> None:
    """Draw the sign of a fault: a full triangle for a gap, an open one for thin, and so on."""
    middle, half = box.center(), box.width() / 2
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(QPen(pictures.color(Tone.TEXT), 1.4))
    is_full = kind is BeadDefectKind.GAP
    painter.setBrush(pictures.color(Tone.TEXT) if is_full else pictures.color(Tone.BASE))
    if kind in (BeadDefectKind.GAP, BeadDefectKind.THIN):
        corners = [
            QPointF(middle.x(), box.top()),
            QPointF(box.right(), box.bottom()),
            QPointF(box.left(), box.bottom()),
        ]
        painter.drawPolygon(QPolygonF(corners))
    elif kind is BeadDefectKind.THICK:
        corners = [
            QPointF(middle.x() - half, middle.y()),
            QPointF(middle.x(), box.top()),
            QPointF(middle.x() + half, middle.y()),
            QPointF(middle.x(), box.bottom()),
        ]
        painter.drawPolygon(QPolygonF(corners))
    else:
        painter.drawEllipse(box.adjusted(0.5, 0.5, -0.5, -0.5))
    painter.restore()


def ribbons(
    strip: JointStrip, bead: StripBead, scale: StripScale, px_per_unit: float
) -> list[QPolygonF]:
    """Return the bead as polygons around y = 0, one for each stretch without gap that was read.

    Where several points share a column of pixels, the narrowest counts: a neck must not be hidden
    by its neighbours.
    """
    found: list[QPolygonF] = []
    for run in strip.bead_runs(bead):
        columns: dict[int, tuple[float, float]] = {}
        for station, width in run:
            x = scale.x(station)
            column = round(x)
            if column not in columns or width < columns[column][1]:
                columns[column] = (x, width)
        edge = [(x, width * px_per_unit / 2) for x, width in sorted(columns.values())]
        upper = [QPointF(x, -half) for x, half in edge]
        lower = [QPointF(x, half) for x, half in reversed(edge)]
        found.append(QPolygonF(upper + lower))
    return found


def _px_per_unit(bead: StripBead, room: QRectF) -> float:
    return room.height() / (_HIGHEST * bead.usual)
