"""How the bars of a schedule are drawn: told apart by shape and filling, not by colour alone."""

from functools import partial

from PySide6.QtCore import QCoreApplication, QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QPainter, QPen, QPolygonF

from leaktrack.gui.look.theme import GAP_S, RING_PX, Tone, color
from leaktrack.gui.plan.schedule_layout import Lane, TimeScale, tick_step
from leaktrack.model.redo_problem import WorkKind
from leaktrack.model.work_sheet import CLOCK_H

_tr = partial(QCoreApplication.translate, "schedule_painting")

_HATCH_PX = 7.0
_CORNER_PX = 3.0
_GROUND = {
    WorkKind.TAKE_OFF: Tone.ACCENT_SOFT,
    WorkKind.TASK: Tone.ACCENT,
    WorkKind.CURE: Tone.UNSEEN,
    WorkKind.REFIT: Tone.RAISED,
}


def lane_name(lane: Lane) -> str:
    """Return whose lane it is."""
    return _tr("Curing by itself") if lane.worker is None else _tr("Person %d") % lane.worker


def paint_bar(painter: QPainter, bar: QRectF, kind: WorkKind, name: str) -> None:
    """Draw one piece of work, with its name as far as there is room."""
    painter.setPen(QPen(color(Tone.BORDER if kind is not WorkKind.TASK else Tone.ACCENT), 1))
    painter.setBrush(color(_GROUND[kind]))
    painter.drawRoundedRect(bar, _CORNER_PX, _CORNER_PX)
    if kind is WorkKind.CURE:
        _hatch(painter, bar)
    glyph = _paint_glyph(painter, bar, kind)
    room = bar.adjusted(glyph + GAP_S, 0, -GAP_S, 0)
    metrics = painter.fontMetrics()
    text = metrics.elidedText(name, Qt.TextElideMode.ElideRight, int(room.width()))
    if room.width() < metrics.horizontalAdvance("mm…") or not text:
        return
    if kind is WorkKind.CURE:
        width = min(metrics.horizontalAdvance(text) + 2 * GAP_S, bar.width() - 2)
        plate = QRectF(room.left() - GAP_S, bar.top() + 2, width, bar.height() - 4)
        painter.fillRect(plate, color(Tone.UNSEEN))
    painter.setPen(color(Tone.ON_ACCENT if kind is WorkKind.TASK else Tone.TEXT))
    painter.drawText(room, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft, text)


def paint_ring(painter: QPainter, bar: QRectF) -> None:
    """Draw that a bar is in hand; ink around it shows on each of the fillings."""
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(QPen(color(Tone.TEXT), RING_PX))
    painter.drawRoundedRect(bar.adjusted(-2, -2, 2, 2), _CORNER_PX + 1, _CORNER_PX + 1)


def paint_axis(painter: QPainter, area: QRectF, scale: TimeScale, until: float) -> None:
    """Draw days and hours above the lanes, hairlines down from them, and the nights.

    Args:
        painter: Draws.
        area: The lanes with the axis above them.
        scale: Time along x.
        until: Hours from the first morning at which the schedule ends.
    """
    clock, line = scale.clock, painter.fontMetrics().height()
    for begin, end in clock.nights(until):
        left, right = scale.x(begin), scale.x(end)
        painter.fillRect(
            QRectF(left, area.top() + line, right - left, area.height() - line), color(Tone.RAISED)
        )
    metrics = painter.fontMetrics()
    step = tick_step(scale.px_per_h, metrics.horizontalAdvance("00000 h"))
    for morning in clock.mornings(until):
        day = round(morning / CLOCK_H) + 1
        name = _tr("Day %d") % day
        width = metrics.horizontalAdvance(name) + 2 * GAP_S
        _paint_tick(painter, area, scale.x(morning), name, Tone.TEXT)
        place = 1
        while place * step < clock.day_hours and morning + place * step <= until:
            x = scale.x(morning + place * step)
            text = f"{place * step:g} h" if x > scale.x(morning) + width else ""
            room = scale.x(morning + clock.day_hours) - x
            has_room = metrics.horizontalAdvance(text) < room
            _paint_tick(painter, area, x, text if has_room else "", Tone.QUIET)
            place += 1


def _paint_tick(painter: QPainter, area: QRectF, x: float, text: str, tone: Tone) -> None:
    metrics = painter.fontMetrics()
    line = metrics.height()
    painter.setPen(QPen(color(Tone.HAIRLINE), 1))
    painter.drawLine(QLineF(x, area.top() + line, x, area.bottom()))
    box = QRectF(x + GAP_S / 2, area.top(), metrics.horizontalAdvance(text) + GAP_S, line)
    if text and box.right() <= area.right():
        painter.setPen(color(tone))
        painter.drawText(box, Qt.AlignmentFlag.AlignLeft, text)


def paint_ready(painter: QPainter, area: QRectF, x: float) -> None:
    """Draw the moment at which the engine is ready."""
    painter.setPen(QPen(color(Tone.TEXT), RING_PX, Qt.PenStyle.DashLine))
    painter.drawLine(QLineF(x, area.top() + painter.fontMetrics().height(), x, area.bottom()))


def _paint_glyph(painter: QPainter, bar: QRectF, kind: WorkKind) -> float:
    """Draw an arrow up for what comes off, down for what goes on; return how wide it is."""
    if kind not in (WorkKind.TAKE_OFF, WorkKind.REFIT):
        return 0.0
    side = min(bar.height() * 0.42, 9.0)
    if bar.width() < side + 2 * GAP_S:
        return 0.0
    left, middle = bar.left() + GAP_S, bar.center().y()
    tip, foot = (-side / 2, side / 2) if kind is WorkKind.TAKE_OFF else (side / 2, -side / 2)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(color(Tone.TEXT))
    painter.drawPolygon(
        QPolygonF(
            [
                QPointF(left, middle + foot),
                QPointF(left + side, middle + foot),
                QPointF(left + side / 2, middle + tip),
            ]
        )
    )
    return side + GAP_S


def _hatch(painter: QPainter, bar: QRectF) -> None:
    painter.save()
    painter.setClipRect(bar.adjusted(1, 1, -1, -1))
    painter.setPen(QPen(color(Tone.BORDER), 1))
    # From a multiple of the distance: hatching does not swim when the chart is scrolled.
    x = bar.left() - bar.height()
    while x < bar.right():
        painter.drawLine(QLineF(x, bar.bottom(), x + bar.height(), bar.top()))
        x += _HATCH_PX
    painter.restore()
