"""The first thing to see: open the demo engine, begin a project, or go on with one."""

from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from leaktrack.gui.look.flow_layout import FlowLayout
from leaktrack.gui.look.grade_badge import GradeBadge
from leaktrack.gui.look.panels import Card, Heading, Rule, ScrolledPage, TonedLabel, push_button
from leaktrack.gui.look.theme import GAP, GAP_L, GAP_S
from leaktrack.gui.pages.welcome_picture import WelcomePicture
from leaktrack.gui.recent_projects import RecentProject
from leaktrack.model.leak import SeepageGrade

_WIDEST_PX = 760


class WelcomePage(QWidget):
    """Three ways in, and the projects opened lately."""

    demo_wanted = Signal()
    new_wanted = Signal()
    open_wanted = Signal()
    project_wanted = Signal(Path)

    def __init__(self, recent: Sequence[RecentProject], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        column = QWidget()
        column.setMaximumWidth(_WIDEST_PX)
        rows = QVBoxLayout(column)
        rows.setSpacing(GAP_L)
        rows.addStretch(1)
        rows.addLayout(self._opening())
        rows.addWidget(WelcomePicture())
        rows.addLayout(self._grade_key())
        rows.addWidget(self._ways_in())
        rows.addWidget(self._recent_card(recent))
        rows.addStretch(2)
        content = QWidget()
        centre = QHBoxLayout(content)
        centre.addStretch(1)
        centre.addWidget(column, 6)
        centre.addStretch(1)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(ScrolledPage(content))

    def _opening(self) -> QVBoxLayout:
        rows = QVBoxLayout()
        rows.setSpacing(GAP_S)
        rows.addWidget(Heading(self.tr("Where does it leak, since when, and why?"), 1))
        rows.addWidget(
            TonedLabel(
                self.tr(
                    "leaktrack keeps the photos of your engine, follows each leak over time, "
                    "and leads it back to the sealing job that let it through."
                )
            )
        )
        return rows

    def _ways_in(self) -> Card:
        card = Card()
        card.rows.setContentsMargins(GAP_L, GAP_L, GAP_L, GAP_L)
        self.demo_button = push_button(
            self.tr("Open the &demo engine"),
            self.demo_wanted.emit,
            icon_name="demo",
            is_primary=True,
        )
        self.new_button = push_button(
            self.tr("&New project…"), self.new_wanted.emit, icon_name="new"
        )
        self.open_button = push_button(self.tr("&Open…"), self.open_wanted.emit, icon_name="open")
        ways = (
            (
                self.demo_button,
                self.tr("An engine with leaks to find. You get a copy: try anything."),
            ),
            (self.new_button, self.tr("An empty folder for your own engine.")),
            (self.open_button, self.tr("A project folder that is there already.")),
        )
        width = max(button.sizeHint().width() for button, _text in ways)
        for place, (button, text) in enumerate(ways):
            button.setMinimumWidth(width)
            if place:
                card.rows.addWidget(Rule())
            card.rows.addLayout(_way(button, text))
        return card

    def _recent_card(self, recent: Sequence[RecentProject]) -> QWidget:
        card = Card()
        card.rows.addWidget(Heading(self.tr("Opened lately"), 3))
        if not recent:
            card.rows.addWidget(TonedLabel(self.tr("Projects that you open are listed here.")))
        for each in recent:
            card.rows.addLayout(self._recent_row(each))
        return card

    def _grade_key(self) -> FlowLayout:
        flow = FlowLayout(gap_px=GAP_L)
        question = TonedLabel(self.tr("How wet is it?"))
        question.setWordWrap(False)
        flow.addWidget(question)
        for grade in SeepageGrade:
            flow.addWidget(GradeBadge(grade))
        return flow

    def _recent_row(self, recent: RecentProject) -> QHBoxLayout:
        button = push_button(
            recent.name,
            lambda: self.project_wanted.emit(recent.path),
            icon_name="folder",
            is_quiet=True,
        )
        button.setEnabled(recent.is_there)
        place = TonedLabel(str(recent.path) if recent.is_there else self.tr("not there now"))
        place.setWordWrap(False)
        place.setMinimumWidth(60)
        place.setToolTip(str(recent.path))
        row = QHBoxLayout()
        row.setSpacing(GAP)
        row.addWidget(button)
        row.addWidget(place, 1)
        return row


def _way(button: QPushButton, text: str) -> QHBoxLayout:
    row = QHBoxLayout()
    row.setSpacing(GAP_L)
    label = QLabel(text)
    label.setWordWrap(True)
    row.addWidget(button, 0, Qt.AlignmentFlag.AlignVCenter)
    row.addWidget(label, 1)
    return row
