"""A joint strip of an invented engine: shows at the first start what leaktrack is about."""

from datetime import UTC, datetime, timedelta
from math import sin

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from leaktrack.gui.look.theme import GAP
from leaktrack.gui.panels.joint_strip_layout import StripHeights, StripScale
from leaktrack.gui.panels.joint_strip_painting import StripPainter
from leaktrack.gui.panels.joint_strip_words import row_detail, row_name
from leaktrack.model.bead_audit import BeadDefectKind, BeadVerdict
from leaktrack.model.engine import Joint, SealKind
from leaktrack.model.identity import new_id
from leaktrack.model.inspection import Inspection
from leaktrack.model.joint_strip import (
    JointStrip,
    StripBead,
    StripBolt,
    StripFault,
    StripMark,
    StripRow,
    StripWidth,
)
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

_GAP = (4.5, 4.7)
_WIDTH_MM, _WAVE_MM, _WAVES = 3.0, 0.3, 2.6
_PLACES = 400


def example_strip() -> JointStrip:
    """Return the strip of a leak that grows where the bead has a gap, until it drips."""
    joint = Joint(zone_id=new_id(), name="Head cover", seal_kind=SealKind.LIQUID_GASKET)
    job = SealingJob(joint_id=joint.id, done_at=_SEALED_AT)
    bolts = tuple(StripBolt(number, float(number), None) for number in range(1, _BOLTS + 1))
    seal = StripRow(_SEALED_AT, None, job, beads=(_bead(),), cured_h=30.0)
    rows = (seal, *(_look(*each) for each in _LOOKS))
    return JointStrip(joint, bolts, 1.0, float(_BOLTS), rows)


def _bead() -> StripBead:
    """Return a bead 3 mm wide whose width waves a little, with one gap."""
    step = (_BOLTS - 1) / _PLACES
    widths = []
    for place in range(_PLACES + 1):
        station = 1 + place * step
        is_bare = _GAP[0] <= station <= _GAP[1]
        width = 0.0 if is_bare else _WIDTH_MM + _WAVE_MM * sin(_WAVES * station)
        widths.append(StripWidth(station, width, True, PointPx(0, 0)))
    gap = StripFault(BeadDefectKind.GAP, *_GAP, 7.0, 0.0, 1.0)
    return StripBead(
        new_id(), BeadVerdict.DEFECTIVE, "mm", _WIDTH_MM, 2.2, 3.8, tuple(widths), (gap,)
    )


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
            self.tr(
                "Example: where the bead has a gap, at bolt 4.6, a leak grows from a stain to a "
                "drip in four inspections"
            )
        )

    def sizeHint(self) -> QSize:
        """Return room for the bolts, the seal and four looks."""
        return QSize(560, self._heights.tops(self._strip.rows)[-1] + 2)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the example."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        rows, heights = self._strip.rows, self._heights
        texts = [name(row) for row in rows for name in (row_name, row_detail)]
        label = max(self.fontMetrics().horizontalAdvance(text) for text in texts) + GAP
        left = label + 2 * GAP
        scale = StripScale(1.0, float(_BOLTS), left, self.width() - left - 2 * GAP)
        drawing = StripPainter(painter, self._strip, scale, label)
        drawing.paint_axis(QRectF(0, 0, self.width(), heights.axis))
        for row, top in zip(rows, heights.tops(rows), strict=False):
            rect = QRectF(0, top, self.width(), heights.of_row(row))
            drawing.paint_row(rect, row)
            if row.inspection is not None:
                drawing.paint_faults(rect, rows[0])
                drawing.paint_marks(rect, row)
        painter.end()

    @property
    def _heights(self) -> StripHeights:
        return StripHeights.of(self.fontMetrics().height(), self.fontMetrics().height() + 4)
