"""A field for a moment: typed, taken from the clock, or picked by its day; empty while unset."""

from collections.abc import Callable
from datetime import date, datetime
from typing import Any

from PySide6.QtCore import QDate, QEvent
from PySide6.QtWidgets import QCalendarWidget, QMenu, QWidgetAction

from leaktrack.gui.forms.fields import TextField, add_beside
from leaktrack.gui.forms.times import now, parse_time, time_text
from leaktrack.gui.look.panels import icon_button
from leaktrack.gui.look.theme import GAP, icon
from leaktrack.model.errors import BadInput
from leaktrack.workflows.check_input import check_has_been


class TimeField(TextField):
    """Day and time on this machine's clock.

    Args:
        label: What people call the moment.
        day: Which day a time without a day belongs to.
        is_required: Whether it may not be emptied.
    """

    def __init__(
        self,
        label: str,
        day: Callable[[], date] = lambda: now().date(),
        *,
        can_be_unknown: bool = False,
        has_label: bool = True,
        is_required: bool = False,
    ) -> None:
        self._day = day
        self._is_required = is_required
        super().__init__(label, can_be_unknown=can_be_unknown, has_label=has_label)
        self.line.setToolTip(self.tr("Type 2026-03-07 16:40, or 16:40 for the same day."))
        self.day_button = icon_button(
            "calendar", self.tr("Now, or another day: %s") % label, self.choose_day
        )
        add_beside(self, self.day_button)
        self._keep_room()

    def changeEvent(self, event: QEvent) -> None:
        """Keep room for a whole time when the text grows."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._keep_room()

    def _keep_room(self) -> None:
        widest = self.fontMetrics().horizontalAdvance("2026-08-28 20:28")
        self.line.setMinimumWidth(widest + 4 * GAP)

    def lock(self, is_locked: bool = True) -> None:
        """Let nobody change it."""
        super().lock(is_locked)
        self.day_button.setEnabled(not is_locked)

    def take_now(self) -> None:
        """Answer with this moment."""
        self._answer(now())

    def choose_day(self) -> None:
        """Offer this moment, and a calendar; the time of day stays, or is typed after it."""
        menu = QMenu(self)
        menu.addAction(icon("clock"), self.tr("&Now"), self.take_now)
        calendar = QCalendarWidget(menu)
        calendar.setVerticalHeaderFormat(QCalendarWidget.VerticalHeaderFormat.NoVerticalHeader)
        shown = self.stored.astimezone().date() if self.stored else self._day()
        today = QDate.currentDate()
        day = QDate(shown.year, shown.month, shown.day)
        calendar.setMaximumDate(max(today, day))
        calendar.setSelectedDate(day)
        action = QWidgetAction(menu)
        action.setDefaultWidget(calendar)
        menu.addAction(action)
        calendar.activated.connect(menu.close)
        calendar.activated.connect(self.take_day)
        calendar.clicked.connect(menu.close)
        calendar.clicked.connect(self.take_day)
        menu.popup(self.day_button.mapToGlobal(self.day_button.rect().bottomLeft()))

    def take_day(self, chosen: QDate) -> None:
        """Put a day into the field; where no time is set yet, it waits for one to be typed."""
        day = date(chosen.year(), chosen.month(), chosen.day())
        if isinstance(self.stored, datetime):
            local = self.stored.astimezone()
            picked = local.replace(year=day.year, month=day.month, day=day.day)
            try:
                check_has_been(picked)
            except BadInput as error:
                self.complain(str(error))
            else:
                self._answer(picked)
            return
        self.line.setText(f"{day.isoformat()} ")
        self.line.setFocus()

    def _read(self, text: str) -> Any:
        if text.strip():
            at = parse_time(text, self._day())
            check_has_been(at)
            return at
        if self._is_required:
            raise BadInput(self.tr("This needs a time. Type it like 2026-03-07 16:40."))
        return None

    def _write(self, value: Any) -> str:
        return time_text(value)
