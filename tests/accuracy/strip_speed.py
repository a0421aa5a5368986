"""How fast a joint strip is painted: 40 bolts and 30 inspections, with beads. Prints figures.

Run by hand: ``python -m tests.accuracy.strip_speed``. Goal: under 10 ms for the whole chart,
once its rows were in sight; times are those of the processor, which other work does not add to.
"""

import os
import time
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import numpy as np
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QImage, QRegion
from PySide6.QtWidgets import QApplication

from leaktrack.gui.look.theme import apply_theme, target_size
from leaktrack.gui.panels.joint_strip_chart import JointStripChart
from leaktrack.model.engine import Joint, SealKind
from leaktrack.model.identity import new_id
from leaktrack.model.inspection import Inspection
from leaktrack.model.joint_strip import JointStrip, StripBolt, StripMark, StripRow
from leaktrack.model.leak import SeepageGrade
from leaktrack.model.sealing_job import SealingJob
from leaktrack.model.shapes import PointPx
from leaktrack.settings import Settings
from leaktrack.workflows.gather_beads import strip_bead
from tests.beads import a_bead_audit

BOLTS, INSPECTIONS, JOBS, ROUNDS = 40, 30, 3, 60
PANEL_PX = 200
SEALED_AT = datetime(2026, 3, 7, 12, tzinfo=UTC)


def main() -> None:
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    app = QApplication([])
    settings = Settings()
    apply_theme(app, settings)
    chart = JointStripChart(target_size(settings))
    strip = long_strip()
    chart.set_strip(strip)
    chart.resize(1200, chart.sizeHint().height())
    chart.show()
    app.processEvents()
    picture = QImage(chart.size(), QImage.Format.Format_RGB32)
    chart.set_strip(strip)
    began = time.thread_time()
    chart.render(picture)
    print(f"{chart.width()} x {chart.height()} px, whole chart first {in_ms(began):.1f} ms")
    chart.set_strip(strip)
    in_sight = QRegion(0, 0, chart.width(), PANEL_PX)
    began = time.thread_time()
    chart.render(picture, QPoint(), in_sight)
    print(f"the {PANEL_PX} px that its panel shows first {in_ms(began):.1f} ms")
    times = []
    for _ in range(ROUNDS):
        began = time.thread_time()
        chart.render(picture)
        times.append(in_ms(began))
    median, high = np.percentile(times, [50, 95])
    print(f"whole chart again: median {median:.1f}, 95 % {high:.1f} ms")
    steps = []
    for _ in range(ROUNDS):
        began = time.thread_time()
        chart.keyPressEvent(_key(Qt.Key.Key_Right))
        steps.append(in_ms(began))
    print(f"one step by keyboard: median {np.median(steps):.2f} ms")


def long_strip() -> JointStrip:
    """Return a strip with as much on it as a long story leaves."""
    rng = np.random.default_rng(1)
    joint = Joint(zone_id=new_id(), name="Sump joint", seal_kind=SealKind.LIQUID_GASKET)
    rows = []
    for number in range(JOBS):
        at = SEALED_AT + timedelta(days=100 * number)
        job = SealingJob(joint_id=joint.id, done_at=at)
        audits = [
            a_bead_audit(
                job.id,
                stations=(1 + 13.0 * part, 14 + 13.0 * part),
                length_mm=480,
                step_mm=0.25,
                gaps=((100.0, 104.0),),
                thins=((250.0, 260.0),),
                glares=((300.0, 320.0),),
            )
            for part in range(3)
        ]
        beads = tuple(strip_bead(audit, None) for audit in audits)
        rows.append(StripRow(at, None, job, beads=beads, cured_h=30))
    for number in range(INSPECTIONS):
        at = SEALED_AT + timedelta(days=10 * number + 1)
        look = Inspection(engine_id=new_id(), looked_at=at, title=f"After {number} h")
        marks = tuple(
            _mark(leak, float(station)) for leak, station in enumerate(rng.uniform(2, 39, 4), 1)
        )
        rows.append(StripRow(at, look, None, marks, ((1.5, 20.0), (21.0, 39.5))))
    bolts = tuple(StripBolt(number, float(number), None) for number in range(1, BOLTS + 1))
    return JointStrip(joint, bolts, 1.0, float(BOLTS), tuple(sorted(rows, key=lambda row: row.at)))


def _mark(leak: int, station: float) -> StripMark:
    mark = StripMark(
        leak_id=new_id(),
        leak_number=leak,
        mark_id=new_id(),
        photo_id=new_id(),
        station=station,
        wet_from=station - 0.4,
        wet_to=station + 0.6,
        grade=SeepageGrade.SEEP,
        at_px=PointPx(0, 0),
    )
    return replace(mark, sigma=0.06)


def _key(key: Qt.Key) -> object:
    from PySide6.QtCore import QEvent
    from PySide6.QtGui import QKeyEvent

    return QKeyEvent(QEvent.Type.KeyPress, key, Qt.KeyboardModifier.NoModifier)


def in_ms(began: float) -> float:
    return (time.thread_time() - began) * 1000


if __name__ == "__main__":
    main()
