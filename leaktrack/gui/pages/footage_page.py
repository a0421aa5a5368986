"""Footage: all clips day by day, the player, and finding in them what a photo shows."""

from collections.abc import Mapping
from functools import partial
from pathlib import Path
from uuid import UUID

from PySide6.QtWidgets import QMenu, QWidget

from leaktrack.gui.dialogs.photo_chooser import PhotoChooser
from leaktrack.gui.footage.evidence_keeper import EvidenceKeeper
from leaktrack.gui.footage.evidence_rows import evidence_rows, job_names
from leaktrack.gui.footage.player import Player
from leaktrack.gui.footage.timeline_rows import ClipSpan, RowKind, TimelineRow
from leaktrack.gui.forms.choice_fields import ChoiceField
from leaktrack.gui.look.panels import EmptyState, push_button
from leaktrack.gui.pages.clips_list import ClipsList
from leaktrack.gui.pages.footage_files import FootageFiles
from leaktrack.gui.pages.footage_frame import FootageFrame
from leaktrack.gui.pages.footage_search import Asking, FootageSearch, in_seconds
from leaktrack.gui.pages.lazy_page import LazyPage
from leaktrack.gui.pages.video_sources import ask_for_video
from leaktrack.gui.session import Session
from leaktrack.model.errors import UnreadableVideo
from leaktrack.model.footage import FoundSpan
from leaktrack.model.logbook import EntryKind
from leaktrack.model.photo import Clip
from leaktrack.model.sealing_job import Evidence, SealingJob
from leaktrack.workflows.ask_footage import ask_for_photo
from leaktrack.workflows.index_clips import FootageState, footage_state, index_clips


class FootagePage(LazyPage):
    """Clips at the left, the player in the middle, what was found at the right."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(session, parent)
        self._asked = 0
        self._is_to_open = False
        self._entry_seen: tuple[EntryKind, UUID] | None = None
        self.keeper = EvidenceKeeper(session, self)
        self.files = FootageFiles(session, self)
        self.clips = ClipsList()
        self.player = Player(session)
        self.search = FootageSearch(session)
        self.job_field = ChoiceField(self.tr("Evidence of"), {}, absent=self.tr("no job chosen"))
        can_change = not session.project.is_read_only
        self.open_button = push_button(
            self.tr("Open vide&o…"), self.choose_video, icon_name="video", is_primary=True
        )
        self.index_button = push_button(self.tr("&Index footage"), self.index, icon_name="propose")
        self.moved_button = push_button(
            self.tr("Look for missing files…"), self.files.look_for_missing, icon_name="folder"
        )
        self.write_button = push_button(
            self.tr("Write spans…"), self._write_spans, icon_name="report"
        )
        self.read_button = push_button(self.tr("Read spans…"), self._read_spans, icon_name="open")
        for button in (self.open_button, self.moved_button, self.read_button):
            button.setEnabled(can_change)
        self._build()
        self.listen()
        session.footage_asked.connect(self.look_for)

    @property
    def job_id(self) -> UUID | None:
        """The sealing job that spans are kept for."""
        value = self.job_field.stored
        return value if isinstance(value, UUID) else None

    def reload(self) -> None:
        """Read the clips again, and how far they are indexed."""
        project = self.session.project
        clips = self._clips()
        if not clips:
            self.player.open_clip(None)
            self.show_empty_state("none")
            return
        self.show_content()
        self.job_field.set_choices(job_names(project))
        self._suggest_job()
        if self.player.clip_id not in clips:
            self.player.open_clip(next(iter(clips)))
        self.player.show_rows(self._rows())
        self.search.show_found(clips, self._kept())
        self._asked += 1
        self.session.background.run(
            partial(footage_state, project),
            then=partial(self._show_state, self._asked),
            failed=self.session.report,
            owner=self,
        )

    def look_for(self, asking: Asking) -> None:
        """Look for something in all footage, and show where it is seen best."""
        self._is_to_open = True
        self.search.look_for(asking)

    def choose_video(self) -> None:
        """Let the person choose a video to add."""
        path = ask_for_video(self)
        if path is not None:
            self.add_video(path)

    def add_video(self, path: Path) -> None:
        """Take a video into the project, in the background, and open it."""
        self.keeper.add_video(path)

    def choose_photo(self) -> None:
        """Let the person choose a photo of the project to look for."""
        chosen = PhotoChooser.ask(self.session, self.tr("Find in the footage"), (), None, self)
        if chosen:
            photo_id = chosen[0]
            self.look_for(lambda project: ask_for_photo(project, photo_id))

    def index(self) -> None:
        """Index all clips, so that finding takes no time later."""
        self.session.background.run_job(
            self.tr("Index footage"),
            lambda job: index_clips(self.session.project, in_seconds(job)),
            then=self._on_indexed,
            failed=self.session.report,
            owner=self,
        )

    def keep_found(self, span: FoundSpan) -> None:
        """Keep a span that was found as evidence of the job in hand, or of one that is chosen."""
        job_id = self.job_id or self._ask_job()
        ask = self.search.ask
        if job_id is None or span.clip_id is None or self.session.project.is_read_only:
            return
        self.job_field.set_value(job_id)
        note = "" if ask is None else self.tr("shows %s") % ask.words
        self.keeper.keep_span(job_id, span.clip_id, span.start_ms, span.end_ms, note)

    def keep_span(self, start_ms: int, end_ms: int) -> None:
        """Keep a marked span as evidence of the job in hand, or of one that is chosen."""
        job_id = self.job_id or self._ask_job()
        if job_id is not None and self.player.clip_id is not None:
            self.job_field.set_value(job_id)
            self.keeper.keep_span(job_id, self.player.clip_id, start_ms, end_ms)

    def grab_still(self, at_ms: int) -> None:
        """Make a photo of the frame shown, as evidence of the job in hand if there is one."""
        if self.player.clip_id is not None:
            self.keeper.grab_still(self.job_id, self.player.clip_id, at_ms)

    def show_found(self, span: FoundSpan) -> None:
        """Show the frame that shows best what was looked for, with a ring around its place."""
        if span.clip_id is not None:
            self.player.show_ring(span.clip_id, span.best_ms, span.place)
            self.player.open_clip(span.clip_id, span.best_ms, (span.start_ms, span.end_ms))

    def _set_least_height(self) -> None:
        """Leave it to the frame: its buttons stay, and what is between them scrolls."""

    def _clips(self) -> dict[UUID, Clip]:
        return {clip.id: clip for clip in self.session.project.all(Clip)}

    def _show_state(self, asked: int, state: FootageState) -> None:
        if asked != self._asked:
            return
        self.clips.show_footage(state, self.player.clip_id)
        states = state.states.values()
        self.moved_button.setVisible(any(each.is_missing for each in states))
        self.index_button.setVisible(any(each.share < 1 and not each.is_missing for each in states))

    def _rows(self) -> list[TimelineRow]:
        rows = evidence_rows(self.session.project)
        spans = tuple(
            ClipSpan(each.clip_id, each.start_ms, each.end_ms, each.score, each.best_ms)
            for each in self.search.spans
            if each.clip_id is not None
        )
        return [TimelineRow(self.tr("Found"), RowKind.FOUND, spans), *rows] if spans else rows

    def _write_spans(self) -> None:
        clip_id = self.player.clip_id
        self.files.write(clip_id, [each for each in self.search.spans if each.clip_id == clip_id])

    def _read_spans(self) -> None:
        self.files.read(self.player.clip_id, self.job_id)

    def _kept(self) -> Mapping[FoundSpan, str]:
        """Return as evidence of which job a found span is kept."""
        names = job_names(self.session.project)
        kept = {
            (each.clip_id, each.start_ms, each.end_ms): names[each.sealing_job_id]
            for each in self.session.project.all(Evidence)
        }
        keys = {each: (each.clip_id, each.start_ms, each.end_ms) for each in self.search.spans}
        return {span: kept[key] for span, key in keys.items() if key in kept}

    def _suggest_job(self) -> None:
        """Offer the job that was picked last; none of another joint than was asked for."""
        project, entry, ask = self.session.project, self.session.entry, self.search.ask
        if entry != self._entry_seen and entry is not None:
            self._entry_seen = entry
            if entry[0] is EntryKind.SEALING_JOB:
                self.job_field.set_value(entry[1])
        job = None if self.job_id is None else project.find(SealingJob, self.job_id)
        joint_id = None if ask is None else ask.joint_id
        if job is None or joint_id not in (None, job.joint_id):
            self.job_field.set_value(None)

    def _ask_job(self) -> UUID | None:
        """Let the person say which job a span shows; where only one can be meant, that one."""
        project, ask = self.session.project, self.search.ask
        names = job_names(project)
        if ask is not None and ask.joint_id is not None:
            own = {job.id for job in project.all(SealingJob, joint_id=ask.joint_id)}
            names = {job_id: name for job_id, name in names.items() if job_id in own} or names
        if len(names) == 1:
            return next(iter(names))
        menu = QMenu(self)
        entries = {menu.addAction(name): job_id for job_id, name in names.items()}
        corner = self.search.found.mapToGlobal(self.search.found.rect().topLeft())
        chosen = menu.exec(corner)
        return None if chosen is None else entries.get(chosen)

    def _on_answered(self) -> None:
        self.player.show_rows(self._rows())
        self.search.show_found(self._clips(), self._kept())
        if self._is_to_open and self.search.spans:
            self._is_to_open = False
            self._suggest_job()
            self.search.found.setCurrentRow(0)
            self.search.found.setFocus()
        if not self.search.is_busy:
            self.renew()

    def _on_indexed(self, notes: tuple[str, ...]) -> None:
        self.renew()
        if notes:
            self.session.report(UnreadableVideo(" ".join(notes)))

    def _on_clip_chosen(self, clip_id: UUID) -> None:
        if clip_id != self.player.clip_id:
            self.player.open_clip(clip_id)

    def _build(self) -> None:
        self.clips.clip_chosen.connect(self._on_clip_chosen)
        self.player.clip_changed.connect(self.clips.take)
        self.player.span_kept.connect(self.keep_span)
        self.player.still_wanted.connect(self.grab_still)
        self.keeper.clip_added.connect(self.player.open_clip)
        self.search.photo_wanted.connect(self.choose_photo)
        self.search.answered.connect(self._on_answered)
        self.search.found.opened.connect(self.show_found)
        self.search.found.keep_wanted.connect(self.keep_found)
        self.job_field.answered.connect(self.job_field.set_value)
        search = self.search
        buttons = (
            self.open_button, self.index_button, self.moved_button,
            search.choose_button, search.again_button, search.stop_button,
        )  # fmt: skip
        below_clips = (self.write_button, self.read_button)
        self.set_content(
            FootageFrame(buttons, self.clips, below_clips, self.player, self.job_field, search)
        )
        self.add_empty_state(
            "none",
            EmptyState(
                self.tr("No footage yet"),
                self.tr(
                    "Open the videos of the assembly. They stay as they are; then any photo, mark "
                    "or joint can be found in them."
                ),
                self.tr("Open a video…"),
                self.choose_video,
            ),
        )
