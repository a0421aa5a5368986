"""The joint strip of the joint in hand: which joint, its chart, and the place in words."""

from collections.abc import Sequence
from functools import partial
from uuid import UUID

from PySide6.QtCore import QSize, Qt, QTimer, Signal
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QComboBox,
    QFrame,
    QHBoxLayout,
    QLabel,
    QMenu,
    QScrollArea,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from leaktrack.gui.background import Job
from leaktrack.gui.look.panels import ElidedLabel, EmptyState, push_button, row_with
from leaktrack.gui.look.theme import GAP, GAP_S, target_size
from leaktrack.gui.panels.joint_strip_chart import JointStripChart
from leaktrack.gui.panels.joint_strip_layout import mark_at, place_in_photo
from leaktrack.gui.session import Session
from leaktrack.model.engine import Joint, Zone
from leaktrack.model.errors import LeakTrackError
from leaktrack.model.joint_strip import JointStrip, StripRow
from leaktrack.model.logbook import EntryKind
from leaktrack.model.sealing_job import Evidence
from leaktrack.model.words import station_words
from leaktrack.workflows.ask_footage import ask_for_station
from leaktrack.workflows.carry_to_strip import carry_to_strip
from leaktrack.workflows.clips import time_code
from leaktrack.workflows.find_engine import joints_of_engine, zones_of_engine
from leaktrack.workflows.find_stations import StationLine
from leaktrack.workflows.project import Project
from leaktrack.workflows.view_joint_strip import joint_strip


def joints_with_zones(project: Project, engine_id: UUID) -> tuple[tuple[Joint, Zone], ...]:
    """Return an engine's joints with the zone of each, in the order of the sheet."""
    zones = {zone.id: zone for zone in zones_of_engine(project, engine_id)}
    return tuple((joint, zones[joint.zone_id]) for joint in joints_of_engine(project, engine_id))


def joint_in_hand(
    joints: Sequence[tuple[Joint, Zone]], joint_id: UUID | None, zone_id: UUID | None
) -> UUID | None:
    """Return which joint to show: the picked one, unless another zone was picked meanwhile.

    Args:
        joints: All joints with the zone of each.
        joint_id: The joint picked last.
        zone_id: The zone picked last; its first joint comes next, then any joint.
    """
    in_zone = [joint.id for joint, zone in joints if zone.id == zone_id]
    candidates = in_zone or [joint.id for joint, _zone in joints]
    return joint_id if joint_id in candidates else next(iter(candidates), None)


class JointStripPanel(QWidget):
    """Picks a joint and shows its strip."""

    set_up_wanted = Signal()
    """The person wants to set up joints."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._asked = 0
        self._joints: tuple[tuple[Joint, Zone], ...] = ()
        self.chart = JointStripChart(target_size(session.settings))
        self.picker = QComboBox()
        self._words = ElidedLabel()
        self._carried: dict[UUID, dict[UUID, StationLine]] = {}
        self._carrying: Job | None = None
        self.place_button = push_button("", self._place_more, icon_name="joint", is_quiet=True)
        self.footage_button = push_button("", self.ask_footage, icon_name="video", is_quiet=True)
        self._scroll = QScrollArea()
        self._stack = QStackedWidget()
        self._build_layout()
        self.picker.activated.connect(self._on_joint_chosen)
        self.chart.place_pointed_at.connect(self._words.set_whole_text)
        self.chart.place_chosen.connect(self._on_place_chosen)
        self.chart.footage_chosen.connect(self._on_footage_chosen)
        self.chart.cursor_moved.connect(self._keep_in_sight)
        self.chart.cursor_moved.connect(lambda *_: self._name_footage())
        key = QShortcut(QKeySequence("F"), self.chart, self.ask_footage)
        key.setContext(Qt.ShortcutContext.WidgetShortcut)
        session.records_changed.connect(self.reload)
        session.picked.connect(self._on_picked)
        session.background.job_ended.connect(self._on_job_ended)
        self.reload()

    def reload(self) -> None:
        """Read the joints and the strip of the one in hand again."""
        if (engine_id := self._session.engine_id) is None:
            self._stack.setCurrentWidget(self.empty)
            return
        self._session.background.run(
            partial(joints_with_zones, self._session.project, engine_id),
            then=self._show_joints,
            owner=self,
            failed=self._session.report,
        )

    def ask_footage(self) -> None:
        """Look in the footage for the place of the joint that the cursor is at."""
        strip, place = self.chart.strip, self.chart.cursor_place
        if strip is not None and place is not None:
            asking = partial(ask_for_station, joint_id=strip.joint.id, station=place[1])
            self._session.footage_asked.emit(asking)

    def sizeHint(self) -> QSize:
        """Return room for two seals and a few inspections."""
        line = self.fontMetrics().height()
        return QSize(600, 17 * line + 20)

    def _build_layout(self) -> None:
        self.picker.setAccessibleName(self.tr("Joint"))
        self.picker.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToContents)
        name = QLabel(self.tr("Joi&nt"))
        name.setBuddy(self.picker)
        top = QHBoxLayout()
        top.setSpacing(GAP)
        top.addWidget(name)
        top.addWidget(self.picker)
        top.addWidget(self._words, 1)
        top.addWidget(self.footage_button)
        top.addWidget(self.place_button)
        self.place_button.hide()
        scroll = self._scroll
        scroll.setWidget(self.chart)
        scroll.setWidgetResizable(True)
        scroll.setFrameShape(QFrame.Shape.NoFrame)
        scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        # What stays at the top of the chart must be drawn anew, not moved with the rows.
        scroll.verticalScrollBar().valueChanged.connect(self.chart.update)
        filled = QWidget()
        rows = QVBoxLayout(filled)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(GAP_S)
        rows.addLayout(top)
        rows.addWidget(scroll, 1)
        self._filled = filled
        self.empty = EmptyState(
            self.tr("No joint to unroll"),
            self.tr("A joint with numbered bolts is drawn here as a straight strip."),
            self.tr("Set up joints"),
            self.set_up_wanted.emit,
        )
        self._stack.addWidget(self._filled)
        self._stack.addWidget(self.empty)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(GAP_S, GAP_S, GAP, 0)
        whole.addWidget(self._stack)
        self.setAccessibleName(self.tr("Joint strip"))

    def _show_joints(self, joints: Sequence[tuple[Joint, Zone]]) -> None:
        if self._joints != tuple(joints):
            self._joints = tuple(joints)
            self.picker.clear()
            for joint, zone in self._joints:
                self.picker.addItem(f"{joint.name} ({zone.name})", joint.id)
        self._stack.setCurrentWidget(self._filled if joints else self.empty)
        self._show_picked()

    def _joint_in_hand(self) -> UUID | None:
        return joint_in_hand(self._joints, self._session.joint_id, self._session.zone_id)

    def _show_picked(self) -> None:
        joint_id = self._joint_in_hand()
        self.picker.setCurrentIndex(row_with(self.picker, joint_id))
        if joint_id is None:
            self.chart.set_strip(None)
            return
        self._asked += 1
        self._session.background.run(
            partial(joint_strip, self._session.project, joint_id, self._carried.get(joint_id, {})),
            then=partial(self._show_strip, self._asked),
            owner=self,
            failed=self._session.report,
        )

    def _show_strip(self, asked: int, strip: JointStrip) -> None:
        if asked != self._asked:
            return
        self.chart.set_strip(strip)
        self._name_footage()
        count = 0 if strip.joint.id in self._carried else len(strip.unplaced)
        self.place_button.setVisible(count > 0)
        words = self.tr("Place leaks of %n more photo(s)", "", count)
        self.place_button.setText(words.replace("(s)", "" if count == 1 else "s"))
        self.place_button.setToolTip(
            self.tr("Their photos have no line of this joint; it is carried over to them.")
        )

    def _name_footage(self) -> None:
        place = self.chart.cursor_place
        words = "" if place is None else station_words(place[1])
        self.footage_button.setText(self.tr("Footage of %s") % words)
        self.footage_button.setAccessibleName(self.footage_button.text())
        self.footage_button.setToolTip(
            self.tr("Find this place of the joint in the footage (F on the strip)")
        )
        self.footage_button.setVisible(place is not None)

    def _place_more(self) -> None:
        """Carry the joint's line to photos without one, so that their leaks get a place."""
        strip = self.chart.strip
        if strip is None:
            return
        self.place_button.hide()
        self._carrying = self._session.background.run_job(
            self.tr("Carry %s") % strip.joint.name,
            partial(_carried, self._session.project, strip),
            then=partial(self._on_carried, strip.joint.id),
            failed=self._on_not_carried,
            owner=self,
        )

    def _on_job_ended(self, job: Job) -> None:
        if job is self._carrying and job.is_cancelled:
            self.place_button.show()

    def _on_not_carried(self, error: LeakTrackError) -> None:
        self.place_button.show()
        self._session.report(error)

    def _on_carried(self, joint_id: UUID, lines: dict[UUID, StationLine]) -> None:
        self._carried[joint_id] = lines
        self._show_picked()

    def _on_picked(self) -> None:
        if self._joint_in_hand() != self.picker.currentData():
            self._show_picked()

    def _on_joint_chosen(self, index: int) -> None:
        joint, zone = self._joints[index]
        self._session.pick(joint_id=joint.id, zone_id=zone.id)

    def _on_place_chosen(self, row: StripRow, station: float) -> None:
        strip = self.chart.strip
        place = None
        if strip is not None:
            place = place_in_photo(strip, row, station, self.chart.slack)
            mark = mark_at(strip, row, station, self.chart.slack)
            if mark is not None:
                self._session.pick(leak_id=mark.leak_id)
        if row.job is not None and not row.beads:
            self._session.pick(entry=(EntryKind.SEALING_JOB, row.job.id))
        elif place is not None:
            self._session.photo_wanted.emit(*place)
        elif row.job is not None:
            self._session.pick(entry=(EntryKind.SEALING_JOB, row.job.id))

    def _on_footage_chosen(self, row: StripRow) -> None:
        """Show the footage of a seal; where there are several spans, the person says which."""
        span = row.spans[0]
        if len(row.spans) > 1:
            chosen = self._ask_which(row.spans)
            if chosen is None:
                return
            span = chosen
        if row.job is not None:
            self._session.pick(entry=(EntryKind.SEALING_JOB, row.job.id))
        self._session.clip_wanted.emit(span.clip_id, span.start_ms or 0)

    def _ask_which(self, spans: Sequence[Evidence]) -> Evidence | None:
        menu = QMenu(self)
        entries = {menu.addAction(span_words(span)): span for span in spans}
        corner = self.chart.mapToGlobal(self.chart.row_rect(self.chart.cursor_row).bottomLeft())
        return entries.get(menu.exec(corner))

    def _keep_in_sight(self, top: int, bottom: int) -> None:
        # After the layout: a chart with more rows is not as high yet.
        QTimer.singleShot(0, self, partial(self._scroll_to, top, bottom))

    def _scroll_to(self, top: int, bottom: int) -> None:
        bar, height = self._scroll.verticalScrollBar(), self._scroll.viewport().height()
        if bottom > bar.value() + height:
            bar.setValue(bottom - height)
        elif top < bar.value() + self.chart.header_px:
            bar.setValue(top - self.chart.header_px)


def _carried(project: Project, strip: JointStrip, job: Job) -> dict[UUID, StationLine]:
    return carry_to_strip(project, strip, job.progress)


def span_words(span: Evidence) -> str:
    """Return what a span of footage is called in a menu."""
    start, end = (time_code(each or 0)[2:7] for each in (span.start_ms, span.end_ms))
    until = f" to {end}" if span.end_ms is not None else ""
    return ": ".join(part for part in (f"{start}{until}", span.note) if part)
