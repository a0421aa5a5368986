"""Make and change the marks of the photo in hand: one undoable step per gesture."""

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from typing import Any
from uuid import UUID

from PySide6.QtCore import QObject, Signal

from leaktrack.gui.pages.photo_contents import PhotoContents, is_wet
from leaktrack.gui.pages.step_words import step_words
from leaktrack.gui.photo_view import (
    EditMarkTool,
    FreehandTool,
    GrowTool,
    MarkShape,
    PhotoView,
    PlacePointTool,
    PolygonTool,
    Tool,
)
from leaktrack.gui.session import Session
from leaktrack.model.errors import BadInput, LeakTrackError
from leaktrack.model.leak import Leak, LeakMark, SeepageGrade
from leaktrack.model.record import Edit
from leaktrack.model.shapes import Outline, PointPx
from leaktrack.model.wet_search import WetRegion
from leaktrack.model.words import grade_words, word
from leaktrack.workflows.dismiss_regions import dismiss_region, take_back_dismissal
from leaktrack.workflows.grow_outline import grow_outline
from leaktrack.workflows.mark_leaks import (
    add_leak,
    amend_leak,
    change_mark,
    reassign_mark,
    remove_mark,
)
from leaktrack.workflows.match_wet_regions import as_new_leak
from leaktrack.workflows.propose_marks import MarkProposal, accept_proposal

FIRST_GRADE = SeepageGrade.SEEP
"""Given to a new mark until the person has graded one; the last grade given repeats after that."""


class MarkEditor(QObject):
    """Turns gestures on the photo, keys and buttons into edits.

    The page tells it what is shown (``show``) and what is selected; it tells the page which mark
    should be selected once the records have changed.
    """

    mark_made = Signal(object)
    """A mark (UUID) was made: select it."""
    dismissed = Signal(object)
    """The proposal of this key (UUID) is not wanted."""

    def __init__(self, session: Session, view: PhotoView, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._view = view
        self._contents: PhotoContents | None = None
        self._proposals: dict[UUID, MarkProposal] = {}
        self._reshaping: EditMarkTool | None = None
        self.selected: UUID | None = None
        self.next_grade = FIRST_GRADE

    def show(self, contents: PhotoContents | None, proposals: list[MarkProposal]) -> None:
        """Note what the records and the proposals say now."""
        self._contents = contents
        self._proposals = {each.key: each for each in proposals}
        self._follow_records()

    @property
    def mark(self) -> tuple[LeakMark, Leak] | None:
        """The selected mark with its leak."""
        return self._contents.mark(self.selected) if self._contents else None

    @property
    def proposal(self) -> MarkProposal | None:
        """The selected proposal."""
        return self._proposals.get(self.selected) if self.selected else None

    @property
    def still_there(self) -> UUID | None:
        """What is selected, if it is still shown."""
        return self.selected if self.mark is not None or self.proposal is not None else None

    @property
    def can_edit(self) -> bool:
        """Whether there is a photo to mark, in a project that may be changed."""
        return self._contents is not None and not self._session.project.is_read_only

    def grade(self, grade: SeepageGrade) -> None:
        """Grade what is selected; a proposal becomes a mark. Otherwise grade what comes next."""
        self.next_grade = grade
        if (proposal := self.proposal) is not None:
            self._accept(proposal, grade)
        elif (pair := self.mark) is not None:
            mark, leak = pair
            label = self.tr("Grade leak %d %s") % (leak.number, word(grade))
            self._try(label, lambda: change_mark(self._session.project, mark.id, grade=grade))

    def accept(self) -> None:
        """Accept what was found as it is: dry where it looks dry, else with the next grade."""
        if (proposal := self.proposal) is not None and proposal.can_be_accepted:
            grade = SeepageGrade.DRY if proposal.seems_dry else self.wet_grade
            self._accept(proposal, grade)

    def accept_as_new(self) -> None:
        """Accept what was found as a new leak, whichever leak is thought to lie there."""
        if (proposal := self.proposal) is not None and proposal.can_be_new:
            self._accept(as_new_leak(proposal), self.wet_grade)

    def answer(self, field: str, value: object) -> None:
        """Change one field of the selected mark."""
        if (pair := self.mark) is None:
            return
        mark, leak = pair
        facts: dict[str, Any] = {field: value}
        label = step_words(field) % leak.number
        self._try(label, lambda: change_mark(self._session.project, mark.id, **facts))

    def set_leak(self, leak_id: UUID | None) -> None:
        """Say that the selected mark shows another leak; None: a new one."""
        if (pair := self.mark) is None or pair[1].id == leak_id:
            return
        mark = pair[0]
        label = self.tr("Say which leak this is")
        self._try(label, lambda: reassign_mark(self._session.project, mark.id, leak_id))

    def set_joint(self, joint_id: UUID | None) -> None:
        """Say which joint the selected mark's leak comes from."""
        if (pair := self.mark) is None:
            return
        leak = pair[1]
        after = replace(leak, joint_id=joint_id)
        label = self.tr("Set joint of leak %d") % leak.number
        self._try(label, lambda: amend_leak(self._session.project, leak, after))

    def dismiss(self) -> None:
        """Say that the selected proposal is no leak; a leak known already is asked for later."""
        if (proposal := self.proposal) is not None and proposal.dismissal is None:
            self.dismissed.emit(proposal.key)

    def say_no_leak(self, photo_id: UUID, region: WetRegion) -> None:
        """Keep a person's word that what was found in a photo is no leak."""
        label = self.tr("Say that it is no leak")
        self._try(label, lambda: dismiss_region(self._session.project, photo_id, region))

    def restore(self) -> None:
        """Let the selected region be proposed again that was dismissed."""
        if (proposal := self.proposal) is not None and proposal.dismissal is not None:
            dismissal_id = proposal.dismissal.id
            label = self.tr("Propose it again")
            self._try(label, lambda: take_back_dismissal(self._session.project, dismissal_id))

    def remove(self) -> None:
        """Remove the selected mark, or dismiss the selected proposal."""
        if self.proposal is not None:
            self.dismiss()
        elif (pair := self.mark) is not None:
            mark, leak = pair
            label = self.tr("Remove mark of leak %d") % leak.number
            self._try(label, lambda: remove_mark(self._session.project, mark.id))

    def mark_new_leak(self) -> None:
        """Let the person click where a new leak starts."""
        self.selected = None
        self._take(PlacePointTool(parent=self), self._on_source_placed)

    def place_source(self) -> None:
        """Let the person click where the selected leak starts."""
        self._take(PlacePointTool(parent=self), self._on_source_moved)

    def outline_freehand(self) -> None:
        """Let the person draw the outline with the button held."""
        self._take(FreehandTool(self), self._on_outlined)

    def outline_by_corners(self) -> None:
        """Let the person click the outline's corners."""
        self._take(PolygonTool(self), self._on_outlined)

    def outline_by_growing(self) -> None:
        """Let the person click into the wet area, and search its edge."""
        if self._contents is None:
            return
        photo_id = self._contents.photo.id
        tool = GrowTool(partial(self._grow, photo_id), self)
        self._take(tool, self._on_outlined)

    def reshape(self) -> None:
        """Let the person drag the selected mark's points."""
        if (pair := self.mark) is None:
            return
        mark = pair[0]
        if mark.source_px is None and not mark.outline_px:
            self.place_source()
            return
        tool = EditMarkTool(MarkShape(mark.source_px, mark.outline_px), self)
        self._take(tool, partial(self._on_reshaped, mark.id))
        self._reshaping = tool

    def _take(self, tool: Tool, on_finished: Callable[[Any], object]) -> None:
        if not self.can_edit:
            return
        self._reshaping = None
        tool.finished.connect(on_finished)
        self._view.set_tool(tool)
        self._view.setFocus()

    def _grow(self, photo_id: UUID, at: PointPx, then: Callable[[Outline], None]) -> None:
        def on_failed(error: LeakTrackError) -> None:
            then(())
            self._session.report(error)

        self._session.background.run(
            partial(grow_outline, self._session.project, photo_id, at),
            then=then,
            failed=on_failed,
            owner=self,
        )

    def _on_source_placed(self, at: PointPx) -> None:
        self._add({"source_px": at})

    def _on_source_moved(self, at: PointPx) -> None:
        if self.mark is None:
            self._add({"source_px": at})
        else:
            self.answer("source_px", at)

    def _on_outlined(self, outline: Outline) -> None:
        if self.mark is None:
            self._add({"outline_px": outline})
        else:
            self.answer("outline_px", outline)

    def _on_reshaped(self, mark_id: UUID, shape: MarkShape) -> None:
        if self._contents is None or (pair := self._contents.mark(mark_id)) is None:
            return
        label = self.tr("Move mark of leak %d") % pair[1].number
        self._try(
            label,
            lambda: change_mark(
                self._session.project,
                mark_id,
                source_px=shape.source_px,
                outline_px=shape.outline_px,
            ),
        )
        self._follow_records()

    def _add(self, facts: dict[str, Any]) -> None:
        if self._contents is not None:
            where, grade = (self._session.project, self._contents.photo.id), self.wet_grade
            label = self.tr("Mark new leak, %s") % grade_words(grade)
            self._make(label, lambda: add_leak(*where, grade, **facts))

    def _accept(self, proposal: MarkProposal, grade: SeepageGrade) -> None:
        if proposal.leak is not None:
            label = self.tr("Grade leak %d %s") % (proposal.leak.number, word(grade))
        elif not is_wet(grade):
            self.dismiss()  # a person sees nothing wet there: no leak is made
            return
        else:
            label = self.tr("Mark new leak, %s") % grade_words(grade)
        self._make(label, lambda: accept_proposal(self._session.project, proposal, grade))

    def _make(self, label: str, build: Callable[[], tuple[LeakMark, Edit]]) -> None:
        try:
            mark, edit = build()
        except LeakTrackError as error:
            self._session.report(error)
            return
        self.selected = mark.id
        self._session.do(label, edit)
        self.mark_made.emit(mark.id)

    @property
    def wet_grade(self) -> SeepageGrade:
        """The grade that the next new mark gets."""
        return self.next_grade if is_wet(self.next_grade) else FIRST_GRADE

    def _try(self, label: str, build: Callable[[], Edit]) -> None:
        try:
            edit = build()
        except LeakTrackError as error:
            self._session.report(error)
            if isinstance(error, BadInput):
                self._session.records_changed.emit()  # show again what is stored
            return
        self._session.do(label, edit)

    def _follow_records(self) -> None:
        """Let the reshaping tool show what is stored, as after undo."""
        if self._reshaping is None or self._view.tool is not self._reshaping:
            return
        if (pair := self.mark) is not None:
            self._reshaping.set_shape(MarkShape(pair[0].source_px, pair[0].outline_px))
