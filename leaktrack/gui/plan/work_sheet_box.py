"""The work sheet: day by day, person by person, what to do, with what; ticked off as it goes."""

from functools import partial
from uuid import UUID

from PySide6.QtWidgets import QVBoxLayout, QWidget

from leaktrack.gui.look.panels import CautionBox, Heading, TonedLabel
from leaktrack.gui.look.theme import GAP, Tone
from leaktrack.gui.plan.sheet_row import SheetRow
from leaktrack.gui.session import Session
from leaktrack.model.errors import BadInput, LeakTrackError
from leaktrack.model.redo_problem import WorkKind
from leaktrack.model.redo_sentences import curing_words, work_words
from leaktrack.model.work_sheet import WorkSheet
from leaktrack.workflows.settle_redo import tick_off


class WorkSheetBox(QWidget):
    """Each row is ticked off with the hours it took; what is done leaves the sheet."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self._sheet: WorkSheet | None = None
        self.rows: list[SheetRow] = []
        self.instead = TonedLabel("", Tone.QUIET)
        self.cautions = CautionBox()
        self.curing = TonedLabel("", Tone.ATTENTION)
        self._place = QVBoxLayout()
        self._place.setSpacing(GAP)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(GAP)
        whole.addWidget(self.instead)
        whole.addWidget(self.curing)
        whole.addLayout(self._place)
        whole.addWidget(self.cautions)
        self.say(self.tr("The work sheet is being written…"))

    def show_sheet(self, sheet: WorkSheet) -> None:
        """Show what is to be done; rows of the same sheet stay, with what was typed into them."""
        if sheet == self._sheet:
            return
        typed = {(row.line.record_id, row.line.kind): row.hours_field for row in self.rows}
        kept = {key: field.line.text() for key, field in typed.items() if field.line.text()}
        self._clear()
        self._sheet = sheet
        self.cautions.set_cautions(sheet.cautions)
        self.curing.setText("\n".join(map(curing_words, sheet.curing)))
        self.curing.setVisible(bool(sheet.curing))
        self.instead.setText(
            self.tr("Nothing is to be done: nothing is chosen, and nothing is off.")
        )
        self.instead.setVisible(not sheet.days)
        for day in sheet.days:
            self._place.addWidget(Heading(self.tr("Day %d") % day.number, 2))
            for line in day.lines:
                row = SheetRow(line, is_locked=self._session.project.is_read_only)
                row.hours_field.line.setText(kept.get((line.record_id, line.kind), ""))
                row.done.connect(partial(self._tick_off, row))
                self.rows.append(row)
                self._place.addWidget(row)

    def say(self, sentence: str) -> None:
        """Show a sentence in place of the sheet."""
        self._clear()
        self.instead.setText(sentence)
        self.instead.show()
        self.cautions.hide()
        self.curing.hide()

    def row(self, record_id: UUID, kind: WorkKind) -> SheetRow | None:
        """Return the row on which a piece of work ends."""
        fitting = (
            row for row in self.rows if (row.line.record_id, row.line.kind) == (record_id, kind)
        )
        return next((row for row in fitting if not row.line.goes_on), None)

    def _clear(self) -> None:
        self._sheet, self.rows = None, []
        while (item := self._place.takeAt(0)) is not None:
            if widget := item.widget():
                widget.hide()
                widget.deleteLater()

    def _tick_off(self, row: SheetRow, hours: float | None) -> None:
        line = row.line
        try:
            edit = tick_off(self._session.project, line.record_id, line.kind, hours)
        except BadInput as error:
            row.hours_field.complain(str(error))
            return
        except LeakTrackError as error:
            self._session.report(error)
            return
        row.hours_field.line.clear()
        self._session.do(self.tr("Done: %s") % work_words(line.kind, line.name), edit)
