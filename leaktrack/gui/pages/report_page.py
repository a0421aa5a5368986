"""The report page: what will be in the report, where it goes, and what was written last."""

from datetime import UTC, datetime
from functools import partial
from pathlib import Path

from PySide6.QtCore import QUrl
from PySide6.QtGui import QDesktopServices, QGuiApplication
from PySide6.QtWidgets import QFileDialog, QVBoxLayout, QWidget

from leaktrack.gui.background import Job
from leaktrack.gui.forms.choice_fields import ChoiceField
from leaktrack.gui.forms.field_grid import FieldGrid
from leaktrack.gui.forms.times import time_text
from leaktrack.gui.look.flow_layout import FlowLayout
from leaktrack.gui.look.panels import (
    Card,
    EmptyState,
    Heading,
    ScrolledPage,
    TonedLabel,
    push_button,
)
from leaktrack.gui.look.theme import GAP, GAP_L, Tone
from leaktrack.gui.pages.lazy_page import LazyPage
from leaktrack.gui.panels.status_area import JobRow
from leaktrack.gui.session import Session
from leaktrack.model.errors import LeakTrackError
from leaktrack.workflows.summarise_engine import ReportExtent, report_extent, short_summary
from leaktrack.workflows.write_report import WrittenReport, write_report


class ReportPage(LazyPage):
    """Writes the report of the engine in hand as a page for the browser and as a PDF."""

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self._folder: Path | None = None
        self._written: WrittenReport | None = None
        self._job: Job | None = None
        self._job_row: JobRow | None = None
        self.contents = TonedLabel("", Tone.TEXT)
        self.paper_field = ChoiceField(
            self.tr("Paper of the PDF"), {"A4": "A4", "Letter": "Letter"}, is_required=True
        )
        self.folder_label = TonedLabel()
        self.problem = TonedLabel("", Tone.PROBLEM)
        self.written_label = TonedLabel()
        self._make_buttons()
        self._build()
        self.paper_field.set_value(session.settings.paper)
        self.paper_field.answered.connect(self.paper_field.set_value)
        session.background.job_progressed.connect(self._on_progressed)
        session.background.job_ended.connect(self._on_ended)
        self.listen()

    @property
    def folder(self) -> Path | None:
        """Where the report goes; None while somebody still has to choose."""
        if self._folder is not None:
            return self._folder
        project = self.session.project
        return None if project.is_read_only else project.folder / "report"

    @property
    def written(self) -> WrittenReport | None:
        """What was written last."""
        return self._written

    def reload(self) -> None:
        """Say again what will be in the report."""
        engine_id = self.session.engine_id
        if engine_id is None:
            self.show_empty_state("no engine")
            return
        self.show_content()
        extent = report_extent(self.session.project, engine_id)
        self.contents.setText(self._extent_words(extent))
        self._show_state()

    def write(self) -> None:
        """Write the report in the background, asking for a folder where there is none."""
        engine_id = self.session.engine_id
        if engine_id is None or self._job is not None:
            return
        if self.folder is None:
            self.choose_folder()
        if self.folder is None:
            return
        self.problem.setText("")
        settings = self.session.settings
        work = partial(
            write_report,
            self.session.project,
            engine_id,
            self.folder,
            self.paper_field.stored,
            limits=settings.grade_limits,
            units=settings.units,
        )
        title = self.tr("Write the report")
        self._job = self.session.background.run_job(
            title,
            lambda job: work(progress=job.progress),
            then=self._on_written,
            failed=self._on_failed,
            owner=self,
        )
        self._job_row = JobRow(self._job)
        self._progress.addWidget(self._job_row)
        self._show_state()

    def choose_folder(self) -> None:
        """Let the person choose where the report goes."""
        start = str(self._folder or Path.home())
        name = QFileDialog.getExistingDirectory(self, self.tr("Folder for the report"), start)
        if name:
            self._folder = Path(name)
        self._show_state()

    def use_project_folder(self) -> None:
        """Write into the project's own folder again."""
        self._folder = None
        self._show_state()

    def copy_summary(self) -> None:
        """Put a few lines about the engine on the clipboard."""
        if self.session.engine_id is None:
            return
        try:
            text = short_summary(self.session.project, self.session.engine_id)
        except LeakTrackError as error:
            self.session.report(error)
            return
        QGuiApplication.clipboard().setText(text)
        self.copied_label.setText(self.tr("Copied:") + "\n" + text)
        self.copied_label.show()

    def _open(self, path: Path) -> None:
        if not QDesktopServices.openUrl(QUrl.fromLocalFile(str(path))):
            text = self.tr("No program opened %s. The file is there; open it by hand.")
            self.problem.setText(text % path)
            self._show_state()

    def _open_written(self, kind: str) -> None:
        if self._written is not None:
            paths = {"html": self._written.html, "pdf": self._written.pdf}
            self._open(paths.get(kind, self._written.html.parent))

    def _on_written(self, written: WrittenReport) -> None:
        self._written = written
        self._show_state()
        self.open_page_button.setFocus()

    def _on_failed(self, error: LeakTrackError) -> None:
        self.problem.setText(str(error))
        self._show_state()

    def _on_progressed(self, job: Job, what: str) -> None:
        if job is self._job and self._job_row is not None:
            self._job_row.show_progress(what)

    def _on_ended(self, job: Job) -> None:
        if job is not self._job:
            return
        self._job = None
        if self._job_row is not None:
            self._progress.removeWidget(self._job_row)
            self._job_row.hide()
            self._job_row.deleteLater()
            self._job_row = None
        if job.is_cancelled:
            text = self.tr("Stopped. Nothing was written; an earlier report is as it was.")
            self.problem.setText(text)
        self._show_state()

    def _show_state(self) -> None:
        folder, is_read_only = self.folder, self.session.project.is_read_only
        if folder is None:
            text = self.tr(
                "The project is open for looking only, so its own folder is not written to. "
                "Choose another folder."
            )
        else:
            text = self.tr("Goes to %s") % folder
        self.folder_label.setText(text)
        self.own_folder_button.setVisible(self._folder is not None and not is_read_only)
        self.write_button.setEnabled(self._job is None)
        self.problem.setVisible(bool(self.problem.text()))
        written = self._written or self._found_on_disk()
        self._written = written
        self._written_card.setVisible(written is not None)
        if written is not None:
            self.written_label.setText(
                f"{written.html.name}, {written.pdf.name}\n{_dated(written)}"
            )

    def _found_on_disk(self) -> WrittenReport | None:
        """Return the report that an earlier session left in the project's folder."""
        own = self.session.project.folder / "report"
        found = WrittenReport(own / "report.html", own / "report.pdf")
        return found if found.html.is_file() and found.pdf.is_file() else None

    def _extent_words(self, extent: ReportExtent) -> str:
        lines = (
            self.tr("%d inspections of %d zones, with %d photos and the marks drawn in them"),
            self.tr("%d leaks with their history, and %d verdicts on their causes with evidence"),
            self.tr("%d sealing jobs with where they depart from their rule, and %d checks"),
        )
        numbers = (
            (extent.inspections, extent.zones, extent.photos),
            (extent.leaks, extent.verdicts),
            (extent.jobs, extent.checks),
        )
        texts = [line % counts for line, counts in zip(lines, numbers, strict=True)]
        texts.append(self.tr("The redo list with hours and parts, and the usual cautions"))
        return "\n".join(f"• {text}" for text in texts)

    def _make_buttons(self) -> None:
        self.write_button = push_button(
            self.tr("&Write report"), self.write, icon_name="report", is_primary=True
        )
        self.folder_button = push_button(
            self.tr("Choose fol&der…"),
            self.choose_folder,
            icon_name="folder",
        )
        self.own_folder_button = push_button(
            self.tr("Use the project's own folder"), self.use_project_folder
        )
        self.copy_button = push_button(
            self.tr("&Copy a short summary"), self.copy_summary, icon_name="copy"
        )
        self.copied_label = TonedLabel()
        self.copied_label.hide()
        self.open_page_button = push_button(
            self.tr("Open the &page"), partial(self._open_written, "html"), icon_name="open"
        )
        self.open_pdf_button = push_button(
            self.tr("Open the PDF"), partial(self._open_written, "pdf"), icon_name="print"
        )
        self.open_folder_button = push_button(
            self.tr("Open the folder"), partial(self._open_written, "folder"), icon_name="folder"
        )

    def _build(self) -> None:
        content = QWidget()
        rows = QVBoxLayout(content)
        rows.setContentsMargins(GAP_L, GAP, GAP_L, GAP_L)
        rows.setSpacing(GAP_L)
        rows.addWidget(Heading(self.tr("Report")))
        holds = Card()
        holds.rows.addWidget(Heading(self.tr("What will be in it"), 2))
        holds.rows.addWidget(self.contents)
        rows.addWidget(holds)
        rows.addWidget(FieldGrid((self.paper_field,)))
        rows.addWidget(self.folder_label)
        rows.addWidget(_row(self.write_button, self.folder_button, self.own_folder_button))
        self._progress = QVBoxLayout()
        rows.addLayout(self._progress)
        rows.addWidget(self.problem)
        self._written_card = Card("news")
        self._written_card.rows.addWidget(Heading(self.tr("Written last"), 2))
        self._written_card.rows.addWidget(self.written_label)
        self._written_card.rows.addWidget(
            _row(self.open_page_button, self.open_pdf_button, self.open_folder_button)
        )
        rows.addWidget(self._written_card)
        rows.addWidget(_row(self.copy_button))
        rows.addWidget(self.copied_label)
        rows.addStretch(1)
        self.set_content(ScrolledPage(content))
        self.add_empty_state(
            "no engine",
            EmptyState(
                self.tr("No engine yet"),
                self.tr("A report is about one engine. Describe it on the page Engine first."),
            ),
        )


def _row(*buttons: QWidget) -> QWidget:
    row = QWidget()
    layout = FlowLayout(GAP, row)
    for button in buttons:
        layout.addWidget(button)
    return row


def _dated(written: WrittenReport) -> str:
    return time_text(datetime.fromtimestamp(written.html.stat().st_mtime, UTC))
