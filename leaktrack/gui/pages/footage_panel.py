"""Footage that shows a sealing job: clips, spans of them, and the player to find both."""

from pathlib import Path
from uuid import UUID

from PySide6.QtWidgets import QVBoxLayout, QWidget

from leaktrack.gui.footage.evidence_keeper import EvidenceKeeper
from leaktrack.gui.footage.evidence_rows import evidence_rows
from leaktrack.gui.footage.player import Player
from leaktrack.gui.forms.choice_fields import ChoiceField
from leaktrack.gui.forms.field_grid import FieldGrid
from leaktrack.gui.forms.fields import TextField
from leaktrack.gui.look.panels import Heading, TonedLabel, push_button
from leaktrack.gui.look.theme import GAP
from leaktrack.gui.pages.span_list import SpanList
from leaktrack.gui.pages.video_sources import ask_for_video
from leaktrack.gui.session import Session
from leaktrack.model.photo import Clip
from leaktrack.model.sealing_job import Evidence
from leaktrack.workflows.ask_footage import ask_for_joint
from leaktrack.workflows.record_sealing_job import amend_evidence, remove_evidence
from leaktrack.workflows.view_sealing_job import JobView


class FootagePanel(QWidget):
    """The spans of one job, the project's clips, and the player."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self._job_id: UUID | None = None
        self._joint_id: UUID | None = None
        self.keeper = EvidenceKeeper(session, self)
        self.clip_field = ChoiceField(self.tr("Clip"), {}, absent=self.tr("no clip open"))
        self.open_button = push_button(
            self.tr("Open vide&o…"), self.choose_video, icon_name="video"
        )
        self.find_button = push_button(
            self.tr("Find this joint in the footage"), self.find_joint, icon_name="propose"
        )
        self.spans = SpanList()
        self.span_note = TextField(self.tr("What the span shows"))
        self.remove_button = push_button(
            self.tr("Take span away"), self._remove_current, icon_name="unlink", is_quiet=True
        )
        self.empty = TonedLabel(
            self.tr("Open a video of the assembly, mark the span that shows this job, keep it.")
        )
        self.player = Player(session)
        self._build()

    def show_job(self, view: JobView) -> None:
        """Show a job's footage; with another job, its first span is opened."""
        is_other = view.job.id != self._job_id
        self._job_id, self._joint_id = view.job.id, view.job.joint_id
        clips = {clip.id: clip for clip in self._session.project.all(Clip)}
        self.clip_field.set_choices({key: clip.name for key, clip in clips.items()})
        spans = [each for each in view.evidence if each.clip_id is not None]
        self.spans.show_spans(spans, clips)
        self.player.show_rows(evidence_rows(self._session.project))
        self.find_button.setVisible(bool(clips))
        if is_other:
            self._open_first(spans)
        elif self.player.clip_id is not None and self.player.clip_id not in clips:
            self.open_clip(None)  # its addition was taken back
        self._show_current()
        self.empty.setVisible(not spans)

    def open_clip(
        self,
        clip_id: UUID | None,
        at_ms: int = 0,
        span: tuple[int | None, int | None] = (None, None),
    ) -> None:
        """Show a clip at a time in the player, or none."""
        self.clip_field.set_value(clip_id)
        self.player.open_clip(clip_id, at_ms, span)
        self.player.setVisible(clip_id is not None)

    def choose_video(self) -> None:
        """Let the person choose a video to add."""
        path = ask_for_video(self)
        if path is not None:
            self.add_video(path)

    def add_video(self, path: Path) -> None:
        """Take a video into the project, in the background, and open it."""
        self.keeper.add_video(path)

    def keep_span(self, start_ms: int, end_ms: int) -> None:
        """Keep a span of the open clip as evidence of the job."""
        if self._job_id is not None and self.player.clip_id is not None:
            self.keeper.keep_span(self._job_id, self.player.clip_id, start_ms, end_ms)

    def grab_still(self, at_ms: int) -> None:
        """Make a photo of a frame of the open clip, as evidence of the job."""
        if self.player.clip_id is not None:
            self.keeper.grab_still(self._job_id, self.player.clip_id, at_ms)

    def find_joint(self) -> None:
        """Look in all footage for the job's joint."""
        joint_id = self._joint_id
        if joint_id is not None:
            self._session.footage_asked.emit(lambda project: ask_for_joint(project, joint_id))

    def _open_first(self, spans: list[Evidence]) -> None:
        if spans:
            self.spans.setCurrentRow(0)
            self._show_span(spans[0])
        else:
            self.open_clip(None)

    def _show_span(self, span: Evidence) -> None:
        self.open_clip(span.clip_id, span.start_ms or 0, (span.start_ms, span.end_ms))
        self._show_current()

    def _show_current(self) -> None:
        span = self.spans.current
        can_change = span is not None and not self._session.project.is_read_only
        self.span_note.setVisible(span is not None)
        self.span_note.set_value(span.note if span is not None else "")
        self.span_note.lock(not can_change)
        self.remove_button.setVisible(can_change)

    def _on_clip_chosen(self, clip_id: UUID | None) -> None:
        self.open_clip(clip_id)
        if clip_id is not None:
            self.player.view.setFocus()

    def _on_note(self, note: str) -> None:
        span = self.spans.current
        if span is not None:
            after = Evidence(
                id=span.id,
                sealing_job_id=span.sealing_job_id,
                clip_id=span.clip_id,
                start_ms=span.start_ms,
                end_ms=span.end_ms,
                note=note,
            )
            edit = amend_evidence(self._session.project, span, after)
            self._session.do(self.tr("Change what the span shows"), edit)

    def _remove_current(self) -> None:
        if self.spans.current is not None:
            self._remove(self.spans.current)

    def _remove(self, span: Evidence) -> None:
        self._session.do(self.tr("Take span away"), remove_evidence(self._session.project, span.id))

    def _build(self) -> None:
        self.clip_field.answered.connect(self._on_clip_chosen)
        self.spans.opened.connect(self._show_span)
        self.spans.currentRowChanged.connect(lambda _row: self._show_current())
        self.spans.removal_wanted.connect(self._remove)
        self.span_note.answered.connect(self._on_note)
        self.player.span_kept.connect(self.keep_span)
        self.player.still_wanted.connect(self.grab_still)
        self.keeper.clip_added.connect(self.open_clip)
        self.player.clip_changed.connect(self.clip_field.set_value)
        self.open_button.setEnabled(not self._session.project.is_read_only)
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(GAP)
        rows.addWidget(Heading(self.tr("Footage"), 3))
        rows.addWidget(self.empty)
        rows.addWidget(self.spans)
        rows.addWidget(self.span_note)
        rows.addWidget(self.remove_button)
        fields = (self.clip_field, self.open_button, self.find_button)
        rows.addWidget(FieldGrid(fields, cell_characters=24))
        rows.addWidget(self.player)
