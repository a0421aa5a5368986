"""The photo in hand with its marks: drawing, list and details kept in step."""

from collections.abc import Sequence
from functools import partial
from uuid import UUID

from PySide6.QtCore import QObject, QTimer
from PySide6.QtWidgets import QWidget

from leaktrack.gui.pages.answer_bar import AnswerBar
from leaktrack.gui.pages.bolt_measuring import BoltMeasuring
from leaktrack.gui.pages.carried_lines import carried_lines, carried_words, keep_lines
from leaktrack.gui.pages.carried_note import CarriedNote
from leaktrack.gui.pages.direction_drawing import DirectionDrawing
from leaktrack.gui.pages.length_measuring import LengthMeasuring
from leaktrack.gui.pages.mark_commands import MarkCommands
from leaktrack.gui.pages.mark_editor import MarkEditor
from leaktrack.gui.pages.mark_pane import MarkPane
from leaktrack.gui.pages.open_proposals import OpenProposals
from leaktrack.gui.pages.photo_answers import PhotoAnswers
from leaktrack.gui.pages.photo_contents import (
    PhotoContents,
    dismissed_proposals,
    drawn_proposals,
    mark_rows,
    photo_contents,
)
from leaktrack.gui.pages.photo_pane import PhotoPane
from leaktrack.gui.pages.places import joint_names, leak_names
from leaktrack.gui.pages.proposal_commands import ProposalCommands
from leaktrack.gui.pages.search_note import SearchNote
from leaktrack.gui.pages.wet_finder import WetFinder
from leaktrack.gui.photo_view import PhotoView
from leaktrack.gui.session import Session
from leaktrack.model.errors import LeakTrackError
from leaktrack.model.leak import Leak, LeakMark
from leaktrack.model.words import word
from leaktrack.workflows.carry_joint_lines import LineProposal
from leaktrack.workflows.derive_scale import find_scale
from leaktrack.workflows.list_shots import photo_warnings
from leaktrack.workflows.propose_marks import MarkProposal

_CLOSE_ZOOM = 3.0
"""Zoom at which a mark chosen in the list is shown; 1 fits the photo."""


class Marking(QObject):
    """Builds the photo's pane and the marks' pane and connects them.

    Selecting a mark in either selects it in the other.
    """

    def __init__(self, session: Session, page: QWidget) -> None:
        super().__init__(page)
        self._session = session
        view = PhotoView(session)
        self.editor = MarkEditor(session, view, self)
        self.commands = MarkCommands(self.editor, self)
        self.lengths = LengthMeasuring(session, view, self)
        self.bolts = BoltMeasuring(session, view, self)
        self.directions = DirectionDrawing(session, view, self)
        self.finder = WetFinder(session, self)
        self.answers = ProposalCommands(
            self.editor, self.find_wet, self.step, self._show_contents, self
        )
        self.search_note = SearchNote(self.finder)
        self.photo_pane = PhotoPane(
            session, view, [*self.commands.actions, self.answers.find], self.search_note, page
        )
        self.proposals = OpenProposals(session, self.finder, self)
        answer_bar, note = AnswerBar(session, self.answers), CarriedNote(self.proposals)
        self.mark_pane = MarkPane(session, self.editor, answer_bar, note, page)
        for commands in (self.commands, self.answers):
            commands.attach_to(view, self.mark_pane.list)
        for widget in (view, self.mark_pane.list):
            widget.addAction(self.mark_pane.card.take)
        self._warnings = PhotoAnswers(session, photo_warnings, self)
        self._lines = PhotoAnswers(session, carried_lines, self)
        self._has_news = False
        self._contents: PhotoContents | None = None
        self._open_keys: list[UUID] = []
        self._taken: Leak | None = None
        self._connect()

    def _connect(self) -> None:
        view, marks_list = self.photo_pane.view, self.mark_pane.list
        view.mark_selected.connect(self.select)
        view.proposal_selected.connect(self.select)
        view.tool_changed.connect(self._on_tool_changed)
        self.photo_pane.scale_wanted.connect(self.measure_scale)
        self.photo_pane.length_wanted.connect(self.lengths.start)
        self.photo_pane.lines_wanted.connect(self.keep_lines)
        marks_list.mark_chosen.connect(self.select)
        marks_list.shown.connect(self._on_shown)
        self.editor.mark_made.connect(self._on_mark_made)
        self.editor.dismissed.connect(self._on_dismissed)
        for answered in (self._warnings.ready, self._lines.ready, self.proposals.changed):
            answered.connect(self._on_answered)
        self.mark_pane.seen.connect(self._on_seen)
        self._session.records_changed.connect(self._on_records_changed)

    @property
    def marks(self) -> tuple[LeakMark, ...]:
        """The marks of the photo shown."""
        return tuple(mark for mark, _leak in self._contents.marks) if self._contents else ()

    def show(self, photo_id: UUID, caption: str) -> None:
        """Show a photo to be marked, or show anew what is stored of it."""
        if self.photo_pane.view.photo_id != photo_id:
            self._forget_stale()
            self.mark_pane.note.start_anew()
            self.editor.selected = None
        self._contents = photo_contents(self._session.project, photo_id)
        self.photo_pane.set_caption(caption)
        self.photo_pane.view.show_photo(photo_id)
        self._show_contents()

    def show_reference(self, photo_id: UUID, text: str) -> None:
        """Show the last photo of a zone to frame the next one by; it is not to be marked."""
        self._show_unmarked(photo_id, text)
        contents = photo_contents(self._session.project, photo_id)
        if contents is not None:
            self.photo_pane.view.set_overlays(contents.numbered, contents.lines)

    def show_none(self, text: str) -> None:
        """Show that there is no photo, and why."""
        self._show_unmarked(None, "")
        self.photo_pane.view.set_notice(text)

    def _show_unmarked(self, photo_id: UUID | None, caption: str) -> None:
        self._contents = None
        self.photo_pane.set_caption(caption)
        self.photo_pane.view.show_photo(photo_id)
        self._show_contents()

    def select(self, key: UUID | None) -> None:
        """Take a mark in hand, or the proposal for a leak; None takes none."""
        self._show_selected(key)
        self._take_leak_in_hand(is_asked=True)
        if self.proposals.held not in (None, key):
            # Not at once: the list may be in the middle of going from one row to another.
            QTimer.singleShot(0, self._show_contents)

    def _show_selected(self, key: UUID | None) -> None:
        self.editor.selected = key
        self.photo_pane.view.selected_mark_id = key
        self.mark_pane.list.select_key(key)
        self.mark_pane.show_selection()
        self.commands.refresh()
        self.answers.refresh(
            can_find=self._contents is not None and self._contents.is_of_a_look,
            has_proposals=bool(self._open_keys),
            has_dismissed=self._contents is not None and bool(self._contents.dismissals),
        )
        for action in (*self.photo_pane.scale_actions, self.bolts.action):
            action.setEnabled(self.editor.can_edit)
        self.directions.set_enabled(self.editor.can_edit)

    def _take_leak_in_hand(self, *, is_asked: bool) -> None:
        """Take the selected mark's leak, if somebody asks for it or it is another one by now."""
        was, leak = self._taken, self.editor.mark and self.editor.mark[1]
        self._taken = leak
        if leak is not None and (is_asked or leak != was) and self._session.leak_id != leak.id:
            self._session.pick(leak_id=leak.id, joint_id=leak.joint_id)

    def measure_scale(self) -> None:
        """Give the photo a scale, from the target in it or from what else is known, as one step."""
        if self._contents is None:
            return
        self._session.background.run(
            partial(find_scale, self._session.project, self._contents.photo.id),
            then=lambda edit: self._session.do(self.tr("Measure scale"), edit),
            failed=self._session.report,
            owner=self,
        )

    def _show_contents(self) -> None:
        contents, view = self._contents, self.photo_pane.view
        proposals = self.proposals.of(contents, in_hand=self.editor.proposal)
        found = sum(each.found is not None for each in proposals)
        if contents is not None and self.answers.show_dismissed.isChecked():
            proposals += dismissed_proposals(contents)
        self._open_keys = [each.key for each in proposals]
        self.editor.show(contents, proposals)
        self.mark_pane.answers.setVisible(bool(proposals))
        self.mark_pane.set_dismissed(len(contents.dismissals) if contents else 0)
        self.search_note.show_photo(contents.photo.id if contents else None, found)
        self.mark_pane.note.renew(has_any=any(each.leak is not None for each in proposals))
        if contents is None:
            view.set_overlays(())
            self.mark_pane.list.set_rows([], None)
            self.photo_pane.set_warnings(())
            self.photo_pane.set_carried("")
        else:
            self._draw(contents, proposals)
            names = (self._session.project, self._session.engine_id)
            self.mark_pane.details.set_choices(leak_names(*names), joint_names(*names))
            self.mark_pane.list.set_rows(mark_rows(contents, proposals), self.editor.selected)
            self.photo_pane.set_warnings(self._warning_words(contents.photo.id))
        self._show_selected(self.editor.still_there)
        self._take_leak_in_hand(is_asked=False)

    def _draw(self, contents: PhotoContents, proposals: Sequence[MarkProposal]) -> None:
        carried = self._carried(contents)
        lines = [proposal.line for proposal in carried]
        search = self.finder.found(contents.photo.id)
        self.photo_pane.view.set_overlays(
            contents.numbered,
            contents.lines,
            drawn_proposals(proposals),
            lines,
            search.unassessed if search is not None else (),
        )
        self.photo_pane.set_carried(carried_words(carried) if self.editor.can_edit else "")

    def _carried(self, contents: PhotoContents) -> list[LineProposal]:
        drawn = {line.joint_id for line in contents.lines}
        # One slow question at a time leaves a thread for pictures.
        if self.proposals.is_waiting(contents.photo.id):
            return []
        found = self._lines.get(contents.photo.id) or ()
        return [proposal for proposal in found if proposal.line.joint_id not in drawn]

    def keep_lines(self) -> None:
        """Draw the carried joint lines into this photo for good, as one step."""
        if self._contents is None:
            return
        try:
            edit = keep_lines(self._session.project, self._carried(self._contents))
        except LeakTrackError as error:
            self._session.report(error)
            return
        self._session.do(self.tr("Keep joint line"), edit)

    def _warning_words(self, photo_id: UUID) -> list[str]:
        if self.proposals.is_waiting(photo_id) or self._lines.is_waiting(photo_id):
            return []
        return [word(warning) for warning in self._warnings.get(photo_id) or ()]

    def find_wet(self) -> None:
        """Search the photo in hand for what changed since the look before."""
        if self._contents is not None:
            self._forget_stale()
            self.finder.search(self._contents.photo.id)

    def step(self, places: int) -> None:
        """Select the proposal so many places on, and show it; after the last comes the first."""
        keys = self._open_keys
        if not keys:
            return
        at = self.editor.selected
        place = keys.index(at) + places if at in keys else min(places, 0)
        self.select(keys[place % len(keys)])
        self._on_shown(keys[place % len(keys)])

    def _on_records_changed(self) -> None:
        self._has_news = True

    def _forget_stale(self) -> None:
        """Carry anew what rests on marks and lines that have changed since."""
        if self._has_news:
            self._has_news = False
            self.proposals.forget()
            self._lines.forget()

    def _on_mark_made(self, mark_id: UUID) -> None:
        self.select(mark_id)
        self.photo_pane.view.setFocus()

    def _on_dismissed(self, key: UUID) -> None:
        proposal = self.editor.proposal
        if self._contents is None or proposal is None or proposal.key != key:
            return
        keys, photo_id = self._open_keys, self._contents.photo.id
        place = keys.index(key)
        if proposal.found is None:
            self.proposals.put_off(photo_id, key)
            self._show_contents()
        else:
            self.editor.say_no_leak(photo_id, proposal.found)
        left = [each for each in keys[place + 1 :] if each in self._open_keys]
        self.select(next(iter(left), None))

    def _on_answered(self, photo_id: UUID) -> None:
        if self._contents is not None and self._contents.photo.id == photo_id:
            self._show_contents()

    def _on_seen(self, is_seen: bool) -> None:
        self.proposals.set_seen(is_seen)
        if is_seen and self._contents is not None:
            self._contents = photo_contents(self._session.project, self._contents.photo.id)
            self._show_contents()

    def _on_tool_changed(self, _tool: object) -> None:
        self.select(self.editor.still_there)

    def _on_shown(self, key: UUID) -> None:
        drawn = {each.key: each.anchor_px for each in self.photo_pane.view.drawn_marks}
        if (at := drawn.get(key)) is not None:
            self.photo_pane.view.center_on_point(at, _CLOSE_ZOOM)
