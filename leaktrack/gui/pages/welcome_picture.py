"""A joint strip of an invented engine: shows at the first start what leaktrack is about."""

from datetime import UTC, datetime, timedelta

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from leaktrack.gui.look.theme import GAP
from leaktrack.gui.panels.joint_strip_layout import StripScale, newest_first, row_name
from leaktrack.gui.panels.joint_strip_painting import StripPainter
from leaktrack.model.engine import Joint, SealKind
from leaktrack.model.identity import new_id
from leaktrack.model.inspection import Inspection
from leaktrack.model.joint_strip import JointStrip, StripBolt, StripMark, StripRow
from leaktrack.model.leak import SeepageGrade
from leaktrack.model.sealing_job import SealingJob
from leaktrack.model.shapes import PointPx

_BOLTS = 12
_SEALED_AT = datetime(2026, 3, 7, 12, tzinfo=UTC)
_LOOKS = (
    (2, "before the first run", SeepageGrade.DRY, 0.0),
    (4, "after 20 minutes", SeepageGrade.STAIN, 0.6),
    (9, "after 60 km", SeepageGrade.SEEP, 1.3),
    (16, "after 320 km", SeepageGrade.DRIP, 2.4),
)
"""Days after sealing, what the look is called, how wet it is, and how far to each side."""


def example_strip() -> JointStrip:
    """Return the strip of a leak that grows at bolt 4.6 until it drips."""
    joint = Joint(zone_id=new_id(), name="Head cover", seal_kind=SealKind.LIQUID_GASKET)
    job = SealingJob(joint_id=joint.id, done_at=_SEALED_AT)
    bolts = tuple(StripBolt(number, float(number), None) for number in range(1, _BOLTS + 1))
    rows = (StripRow(_SEALED_AT, None, job), *(_look(*each) for each in _LOOKS))
    return JointStrip(joint, bolts, 1.0, float(_BOLTS), rows)


def _look(days: int, title: str, grade: SeepageGrade, reach: float) -> StripRow:
    at = _SEALED_AT + timedelta(days=days)
    mark = StripMark(
        leak_id=new_id(),
        leak_number=1,
        mark_id=new_id(),
        photo_id=new_id(),
        station=4.6,
        wet_from=4.6 - reach,
        wet_to=4.6 + reach * 0.8,
        grade=grade,
        at_px=PointPx(0, 0),
    )
    look = Inspection(engine_id=new_id(), looked_at=at, title=title)
    return StripRow(at, look, None, (mark,), ((1.0, 10.5),))


class WelcomePicture(QWidget):
    """The example, drawn with the same strokes as the real thing."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._strip = example_strip()
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setAccessibleName(
            self.tr("Example: a leak at bolt 4.6 grows from a stain to a drip in four inspections")
        )

    def sizeHint(self) -> QSize:
        """Return room for the bolts and five rows."""
        return QSize(560, self._axis_height() + len(self._strip.rows) * self._row_height() + 2)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the example."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        rows = newest_first(self._strip)
        label = max(self.fontMetrics().horizontalAdvance(row_name(row)) for row in rows) + GAP
        left = label + 2 * GAP
        scale = StripScale(1.0, float(_BOLTS), left, self.width() - left - 2 * GAP)
        drawing = StripPainter(painter, self._strip, scale, label)
        drawing.paint_axis(QRectF(self.rect()), self._axis_height())
        for place, row in enumerate(rows):
            top = self._axis_height() + place * self._row_height()
            drawing.paint_row(QRectF(0, top, self.width(), self._row_height()), row)
        painter.end()

    def _row_height(self) -> int:
        return self.fontMetrics().height() + 8

    def _axis_height(self) -> int:
        return self.fontMetrics().height() + 12
