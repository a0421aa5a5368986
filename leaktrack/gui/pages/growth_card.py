"""How the leak in hand grew over running hours: a chart, and in words what can be told."""

from collections.abc import Mapping
from functools import partial
from uuid import UUID

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout

from leaktrack.gui.background import Job
from leaktrack.gui.forms.choice_fields import CalmComboBox
from leaktrack.gui.look.panels import Card, Heading, TonedLabel, row_with
from leaktrack.gui.look.theme import Tone
from leaktrack.gui.pages.growth_chart import GrowthChartView
from leaktrack.gui.session import Session
from leaktrack.model.errors import Cancelled
from leaktrack.model.growth import Growth, Measure
from leaktrack.model.growth_words import GROWTH_ASSUMES, growth_sentences
from leaktrack.model.words import word
from leaktrack.workflows.follow_growth import growth_of, measured_growth


class GrowthCard(Card):
    """Shown by the scales that are written down at once, and once more when all is measured."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self._names: Mapping[UUID, str] = {}
        self._wanted: tuple[UUID, UUID | None] | None = None
        self._growth: Growth | None = None
        self._running: Job | None = None
        self.heading = Heading("", 3)
        self.measure_box = CalmComboBox()
        self.measure_box.setAccessibleName(self.tr("What is drawn"))
        for measure in Measure:
            self.measure_box.addItem(word(measure), measure)
        self.chart = GrowthChartView()
        self.look = TonedLabel()
        self.words = TonedLabel("", Tone.TEXT)
        self.assumes = TonedLabel(GROWTH_ASSUMES)
        head = QHBoxLayout()
        head.addWidget(self.heading, 1)
        head.addWidget(self.measure_box, 0, Qt.AlignmentFlag.AlignTop)
        self.rows.addLayout(head)
        for each in (self.chart, self.look, self.words, self.assumes):
            self.rows.addWidget(each)
        self.chart.look_told.connect(self._on_look_told)
        self.measure_box.activated.connect(lambda _row: self._draw())
        self.hide()

    def show_leak(
        self, leak_id: UUID | None, until_id: UUID | None, names: Mapping[UUID, str]
    ) -> None:
        """Show a leak up to an inspection; None hides the card.

        Args:
            leak_id: The leak.
            until_id: The trend reaches up to this inspection.
            names: What each inspection is called.
        """
        self.drop()
        self.setVisible(leak_id is not None)
        if leak_id is None:
            return
        self._names = names
        wanted = (leak_id, until_id)
        self._wanted = wanted
        project, limits = self._session.project, self._session.settings.grade_limits
        self._show(growth_of(project, leak_id, until_id, limits))
        self._choose_measure()

        def work() -> Growth:
            return measured_growth(
                project, leak_id, until_id, lambda *_: self._go_on(wanted), limits
            )

        self._running = self._session.background.run(
            work, then=partial(self._on_measured, wanted), owner=self
        )

    def drop(self) -> None:
        """Stop measuring; nobody waits for it any more."""
        self._wanted = None
        if self._running is not None:
            self._running.cancel()
            self._running = None

    def _go_on(self, wanted: tuple[UUID, UUID | None]) -> None:
        if wanted != self._wanted:
            raise Cancelled("measuring")

    def _on_measured(self, wanted: tuple[UUID, UUID | None], growth: Growth) -> None:
        if wanted == self._wanted:
            self._running = None
            self._show(growth)

    def _show(self, growth: Growth) -> None:
        self._growth = growth
        self.heading.setText(self.tr("Leak %d over running hours") % growth.leak.number)
        self.words.setText("\n".join(growth_sentences(growth)))
        self._draw()

    def _choose_measure(self) -> None:
        """Draw the area where any look has one, else the grade."""
        points = () if self._growth is None else self._growth.points
        has_area = any(point.area_mm2 for point in points)
        measure = Measure.AREA if has_area else Measure.GRADE
        self.measure_box.setCurrentIndex(row_with(self.measure_box, measure))
        self._draw()

    def _draw(self) -> None:
        self.chart.show_growth(self._growth, self.measure_box.currentData(), self._names)
        has_chart = self.chart.chart is not None
        self.assumes.setVisible(has_chart and bool(self.chart.chart and self.chart.chart.line))

    def _on_look_told(self, words: str) -> None:
        self.look.setText(words)
        self.look.setVisible(bool(words))
