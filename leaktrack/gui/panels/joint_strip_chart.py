"""The drawn joint strip: bolts along the top, seals with their beads, one row per inspection.

Time runs down, so that a seal stands above the looks at it. The bolts, and the seal in force in the
rows below, stay in sight while the rows scroll.
"""

from itertools import pairwise

from PySide6.QtCore import QEvent, QPointF, QRect, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPixmap,
    QResizeEvent,
)
from PySide6.QtWidgets import QSizePolicy, QToolTip, QWidget

from leaktrack.gui.look.theme import GAP, Tone, color
from leaktrack.gui.panels.joint_strip_cursor import StripCursor
from leaktrack.gui.panels.joint_strip_layout import StripHeights, StripScale
from leaktrack.gui.panels.joint_strip_painting import StripPainter, footage_rect
from leaktrack.gui.panels.joint_strip_words import place_words, row_detail, row_name
from leaktrack.gui.panels.strip_pictures import StripPictures, blank
from leaktrack.model.joint_strip import JointStrip, StripRow

_MARGIN_RIGHT = 18
_NARROWEST_SIGN = 44
_LOOKS_OTHERWISE = (QEvent.Type.PaletteChange, QEvent.Type.FontChange, QEvent.Type.StyleChange)


class JointStripChart(QWidget):
    """The chart of one joint, with a cursor that mouse and keyboard move alike."""

    place_pointed_at = Signal(str)
    """What lies at the cursor or below the mouse, in words."""
    place_chosen = Signal(object, float)
    """A row (StripRow) and a station on it were clicked or entered."""
    footage_chosen = Signal(object)
    """Footage of a row (StripRow) is wanted."""
    cursor_moved = Signal(int, int)
    """The row of the cursor reaches from this y to that one."""

    def __init__(self, target_px: int, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._target_px = target_px
        self._strip: JointStrip | None = None
        self._cursor = StripCursor()
        self._pictures = StripPictures()
        self._widest_name = 0
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.MinimumExpanding)
        self.setAccessibleName(self.tr("Joint strip"))

    @property
    def cursor_place(self) -> tuple[StripRow, float] | None:
        """Row and station of the cursor; None on an empty chart."""
        return (self._rows[self._cursor.row], self._cursor.station) if self._rows else None

    @property
    def cursor_row(self) -> int:
        """Which row the cursor is in."""
        return self._cursor.row

    @property
    def strip(self) -> JointStrip | None:
        """The chart's values."""
        return self._strip

    @property
    def slack(self) -> float:
        """How far beside a mark still means that mark, in bolt coordinates."""
        scale = self.scale()
        return self._target_px / 2 / max(scale.width_px, 1) * (scale.last - scale.first)

    @property
    def label_width(self) -> int:
        """How wide the names of rows may be, in px."""
        return min(self._widest_name, self.width() // 4)

    @property
    def header_px(self) -> int:
        """How much of the visible top the bolts and the seal in force cover."""
        band = self._band_above()
        bottom = self._scrolled_px + self._heights.axis if band is None else band[1].bottom()
        return round(bottom) - self._scrolled_px

    def set_strip(self, strip: JointStrip | None) -> None:
        """Show another joint from its newest row on, or the same one with newer rows."""
        is_same = (
            strip is not None and self._strip is not None and strip.joint.id == self._strip.joint.id
        )
        self._strip = strip
        self._forget_pictures()
        self._cursor.set_strip(strip, is_same=is_same)
        self.place_pointed_at.emit(self._cursor_words())
        self.setMinimumHeight(self.sizeHint().height())
        self.updateGeometry()
        self.update()
        if not is_same and self._rows:
            self._tell_where()

    def scale(self) -> StripScale:
        """Return how stations lie along the chart at its present width."""
        left = self.label_width + 2 * GAP
        width = max(self.width() - left - _MARGIN_RIGHT, 1)
        if self._strip is None:
            return StripScale(0.0, 1.0, left, width)
        return StripScale(self._strip.first, self._strip.last, left, width)

    def row_rect(self, row: int) -> QRect:
        """Return where a row lies, across the whole chart."""
        tops = self._heights.tops(self._rows)
        return QRect(0, tops[row], self.width(), tops[row + 1] - tops[row])

    def sizeHint(self) -> QSize:
        """Return room for the bolts and every row."""
        heights = self._heights
        bottom = heights.tops(self._rows)[-1] if self._rows else heights.axis + heights.row
        return QSize(480, bottom + 4)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the rows in sight, then over them what stays at the top."""
        if self._strip is None:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        for row, (top, bottom) in enumerate(pairwise(self._heights.tops(self._rows))):
            if bottom > event.rect().top() and top <= event.rect().bottom():
                painter.drawPixmap(0, top, self._row_picture(row))
        drawing = self._drawing(painter)
        cursor = QRectF(self.row_rect(self._cursor.row)) if self._rows else QRectF()
        if cursor.intersects(QRectF(event.rect())):
            drawing.paint_cursor(cursor, self._cursor.station, has_focus=self.hasFocus())
        self._paint_header(painter, drawing)
        painter.end()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Move the cursor: from thing to thing along the joint, between rows; Enter chooses."""
        key, held = Qt.Key(event.key()), event.modifiers()
        if self._cursor.move_by_key(key, held):
            self._tell_where()
            self.update()
        elif self._rows and key in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space):
            self._choose(is_footage=bool(held & Qt.KeyboardModifier.ShiftModifier))
        else:
            super().keyPressEvent(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Move the cursor to the mouse and choose what is there."""
        if (place := self._place_below(event.position())) is None:
            return
        row, station = place
        self._cursor.move_to(row, station)
        self._tell_where()
        self.update()
        box = footage_rect(self._rect_below(row), self._rows[row], self.label_width)
        self._choose(is_footage=box is not None and box.contains(event.position()))

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Read out what lies below the mouse."""
        place = self._place_below(event.position())
        words = "" if place is None else self._words(*place)
        self.place_pointed_at.emit(words or self._cursor_words())
        QToolTip.showText(event.globalPosition().toPoint(), words, self)

    def leaveEvent(self, event: QEvent) -> None:
        """Read out the cursor again."""
        self.place_pointed_at.emit(self._cursor_words())
        super().leaveEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Draw everything anew: the scale has changed."""
        self._pictures.rows.clear()
        self._pictures.ribbons.clear()
        super().resizeEvent(event)

    def changeEvent(self, event: QEvent) -> None:
        """Draw in other colours or letters where these have changed."""
        if event.type() in _LOOKS_OTHERWISE:
            self._forget_pictures()
            self.setMinimumHeight(self.sizeHint().height())
        super().changeEvent(event)

    @property
    def _rows(self) -> tuple[StripRow, ...]:
        return self._strip.rows if self._strip is not None else ()

    @property
    def _heights(self) -> StripHeights:
        return StripHeights.of(self.fontMetrics().height(), self._target_px)

    @property
    def _scrolled_px(self) -> int:
        return max(0, -self.y())

    def _row_picture(self, row: int) -> QPixmap:
        """Return a row as a picture, drawn when it first comes in sight."""
        key = (row, self.width(), self.devicePixelRatioF())
        if key not in self._pictures.rows:
            rect = self.row_rect(row)
            picture = blank(rect.size().toSizeF(), self.devicePixelRatioF())
            painter = QPainter(picture)
            painter.setFont(self.font())
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            room = QRectF(0, 0, rect.width(), rect.height())
            drawing = self._drawing(painter)
            drawing.paint_row(room, self._rows[row])
            above = self._strip.job_row_above(row) if self._strip is not None else None
            if above is not None and above != row:
                drawing.paint_faults(room, self._rows[above])
            drawing.paint_marks(room, self._rows[row])
            painter.end()
            self._pictures.rows[key] = picture
        return self._pictures.rows[key]

    def _drawing(self, painter: QPainter) -> StripPainter:
        if self._strip is None:
            raise ValueError("an empty chart is not drawn")
        return StripPainter(painter, self._strip, self.scale(), self.label_width, self._pictures)

    def _forget_pictures(self) -> None:
        """Make colours, badges and names' widths anew: joint, appearance or text has changed."""
        self._pictures = StripPictures()
        metrics = self.fontMetrics()
        names = [metrics.horizontalAdvance(row_name(row)) for row in self._rows]
        names += [metrics.horizontalAdvance(row_detail(row)) for row in self._rows if row.beads]
        sign = _NARROWEST_SIGN if any(row.spans for row in self._rows) else 0
        self._widest_name = max(names, default=60) + sign + GAP

    def _paint_header(self, painter: QPainter, drawing: StripPainter) -> None:
        axis = QRectF(0, self._scrolled_px, self.width(), self._heights.axis)
        if (band := self._band_above()) is not None:
            row, rect = band
            painter.fillRect(rect, color(Tone.WINDOW))
            painter.drawPixmap(rect.topLeft(), self._row_picture(row))
            painter.setPen(color(Tone.BORDER))
            painter.drawLine(rect.bottomLeft(), rect.bottomRight())
        painter.fillRect(axis, color(Tone.WINDOW))
        drawing.paint_axis(axis)

    def _band_above(self) -> tuple[int, QRectF] | None:
        """Return the seal in force at the top of what is in sight, and where it is drawn there.

        None where its own row is in sight. The next seal's row pushes it up.
        """
        if self._strip is None or self._scrolled_px == 0:
            return None
        tops = self._heights.tops(self._rows)
        first = self._scrolled_px + self._heights.axis
        row = next((place for place in range(len(self._rows)) if tops[place + 1] > first), None)
        above = None if row is None else self._strip.job_row_above(row)
        if row is None or above is None or tops[above] >= first:
            return None
        height = self._heights.of_row(self._rows[above])
        later = range(row + 1, len(self._rows))
        push = min((tops[place] for place in later if self._rows[place].job), default=tops[-1])
        return above, QRectF(0, min(first, push - height), self.width(), height)

    def _choose(self, *, is_footage: bool) -> None:
        row = self._rows[self._cursor.row]
        if is_footage and row.spans:
            self.footage_chosen.emit(row)
        else:
            self.place_chosen.emit(row, self._cursor.station)

    def _tell_where(self) -> None:
        words = self._cursor_words()
        # Screen readers follow the description: the cursor has no widget of its own.
        self.setAccessibleDescription(words)
        self.place_pointed_at.emit(words)
        rect = self.row_rect(self._cursor.row)
        self.cursor_moved.emit(rect.top(), rect.bottom())

    def _place_below(self, at: QPointF) -> tuple[int, float] | None:
        top = self._scrolled_px
        band = self._band_above()
        if top <= at.y() < top + self._heights.axis:
            return None
        if band is not None and at.y() < band[1].bottom():
            return band[0], self.scale().station(at.x())
        tops = self._heights.tops(self._rows)
        for row in range(len(self._rows)):
            if tops[row] <= at.y() < tops[row + 1]:
                return row, self.scale().station(at.x())
        return None

    def _rect_below(self, row: int) -> QRectF:
        """Return where a row is drawn: a seal may stand at the top instead of in its place."""
        band = self._band_above()
        return band[1] if band is not None and band[0] == row else QRectF(self.row_rect(row))

    def _cursor_words(self) -> str:
        return self._words(self._cursor.row, self._cursor.station) if self._rows else ""

    def _words(self, row: int, station: float) -> str:
        return "" if self._strip is None else place_words(self._strip, row, station, self.slack)
