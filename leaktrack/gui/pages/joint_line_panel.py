"""Draw a joint's line into photos of its zone, and look at the lines that are there."""

from collections.abc import Sequence
from functools import partial
from uuid import UUID

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QVBoxLayout, QWidget

from leaktrack.gui.background import Job
from leaktrack.gui.forms.choice_fields import FlagField
from leaktrack.gui.forms.field_grid import FieldGrid
from leaktrack.gui.forms.fields import NumberField
from leaktrack.gui.look.panels import Heading, TonedLabel, push_button
from leaktrack.gui.look.theme import GAP
from leaktrack.gui.pages.line_words import drawing_words, line_state_words, photo_words
from leaktrack.gui.pages.photo_strip import PhotoStrip
from leaktrack.gui.photo_view import JointLineTool, PhotoView
from leaktrack.gui.photo_view.joint_line_tool import TakeAlong
from leaktrack.gui.session import Session
from leaktrack.model.engine import Joint, JointLine, LinePoint, Zone
from leaktrack.model.errors import LeakTrackError
from leaktrack.model.photo import Photo
from leaktrack.workflows.add_photos import AddedPhotos, Source, add_photos
from leaktrack.workflows.carry_joint_lines import LineProposal, carry_joint_line
from leaktrack.workflows.draw_joint_line import draw_joint_line, remove_joint_line
from leaktrack.workflows.project import Progress, Project

_VIEW_LINES = 22


class JointLinePanel(QWidget):
    """Photos of a zone, one of them large; the line of one joint can be drawn there.

    With a zone alone it only shows the lines.
    """

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self._zone: Zone | None = None
        self._joint: Joint | None = None
        self._photo_id: UUID | None = None
        self._tool: JointLineTool | None = None
        self._proposal: LineProposal | None = None
        self.view = PhotoView(session)
        self.photos = PhotoStrip(
            session,
            self.tr("Photos of the zone"),
            self._add_photos,
            self.tr("A&dd photos…"),
            empty_text=self.tr("No photo of this zone yet. Drop a clear, dry one here."),
        )
        self.state = TonedLabel("")
        self.first_field = NumberField(self.tr("First bolt you will click"), is_whole=True)
        self.falls_field = FlagField(self.tr("Bolt numbers fall along the way"))
        self.draw_button = push_button("", self.draw, icon_name="draw_joint_line")
        self.carry_button = push_button(
            self.tr("Carr&y line over from another photo"), self.carry, icon_name="propose"
        )
        self.done_button = push_button(self.tr("Line is d&one"), self._finish, icon_name="confirm")
        self.cancel_button = push_button(self.tr("Cancel"), self._put_tool_away)
        self.remove_button = push_button(
            self.tr("Remove line"), self.remove_line, icon_name="remove", is_quiet=True
        )
        self._build()

    @property
    def photo_id(self) -> UUID | None:
        """The photo shown large."""
        return self._photo_id

    @property
    def is_drawing(self) -> bool:
        """Whether a line is being drawn now."""
        return self._tool is not None

    def show_zone(self, zone: Zone, joint: Joint | None = None) -> None:
        """Show a zone's photos; the line of the joint can be drawn."""
        is_other = (zone.id, joint and joint.id) != (
            self._zone and self._zone.id,
            self._joint and self._joint.id,
        )
        self._zone, self._joint = zone, joint
        photos = self._session.project.all(Photo, zone_id=zone.id)
        lines = self._session.project.all(JointLine, photo_id=[photo.id for photo in photos])
        self.photos.show_photos(photos, [self._photo_words(photo, lines) for photo in photos])
        if is_other:
            self._put_tool_away()
            self._photo_id = None
        if self._photo_id not in {photo.id for photo in photos}:
            self._photo_id = self._best_photo(photos)
        self._show_photo()

    def show_photo(self, photo_id: UUID | None) -> None:
        """Show a photo large."""
        if photo_id is not None and photo_id != self._photo_id:
            self._put_tool_away()
            self._photo_id = photo_id
            self._show_photo()

    def draw(self) -> None:
        """Begin the joint's line in the photo shown, or go on with the one that is there."""
        line = self._line()
        self._proposal = None
        self._begin_with(line.points if line is not None else ())

    def carry(self) -> None:
        """Propose the line that the reference photo has, carried over by what both photos show."""
        if self._joint is None or self._photo_id is None:
            return
        self._session.background.run_job(
            self.tr("Carry the line of %s") % self._joint.name,
            partial(_carried, self._session.project, self._joint.id, self._photo_id),
            then=partial(self._on_carried, self._joint.id, self._photo_id),
            failed=self._session.report,
            owner=self,
        )

    def remove_line(self) -> None:
        """Take the joint's line off the photo shown."""
        line = self._line()
        if line is not None:
            edit = remove_joint_line(self._session.project, line.id)
            self._session.do(self.tr("Remove joint line"), edit)

    def _on_carried(self, joint_id: UUID, photo_id: UUID, proposal: LineProposal | None) -> None:
        is_here = self._joint is not None and self._joint.id == joint_id
        if not is_here or self._photo_id != photo_id or self.is_drawing:
            return
        self._proposal = proposal
        if proposal is None:
            self.state.setText(
                self.tr(
                    "The photos do not show enough of the same to carry the line. Draw it here."
                )
            )
        else:
            self._begin_with(proposal.line.points)

    def _begin_with(self, points: tuple[LinePoint, ...]) -> None:
        numbers = [point.bolt_number for point in points if point.bolt_number is not None]
        self.first_field.set_value(numbers[0] if numbers else 1)
        self.falls_field.set_value(False)
        self._take_tool(points)

    def _take_tool(self, points: tuple[LinePoint, ...]) -> None:
        first = self.first_field.stored or 1
        falls = bool(self.falls_field.stored)
        self._tool = JointLineTool(
            points, first, counts_up=not falls, take_along=self._take_along(points), parent=self
        )
        self._tool.finished.connect(self._on_drawn)
        self._show_lines()
        self.view.set_tool(self._tool)
        self.view.setFocus(Qt.FocusReason.OtherFocusReason)
        self._show_state()

    def _take_along(self, points: tuple[LinePoint, ...]) -> TakeAlong | None:
        """Return what moves the rest of a carried line along; None for one drawn by hand."""
        proposal = self._proposal
        if proposal is None or self._photo_id is None or points != proposal.line.points:
            return None
        photo = self._session.project.get(Photo, self._photo_id)
        return partial(proposal.taken_along, longest_px=max(photo.width_px, photo.height_px))

    def _put_tool_away(self) -> None:
        self._tool, self._proposal = None, None
        self.view.set_tool(None)
        self._show_lines()
        self._show_state()

    def _finish(self) -> None:
        if self._tool is not None and not self._tool.complete():
            self.state.setText(self.tr("A line needs two points. Click the joint at its bolts."))

    def _on_drawn(self, points: tuple[LinePoint, ...]) -> None:
        if self._joint is None or self._photo_id is None:
            return
        try:
            edit = draw_joint_line(self._session.project, self._joint.id, self._photo_id, points)
        except LeakTrackError as error:
            self._session.report(error)
            self._tool = None
            self._take_tool(points)  # nothing that was drawn is lost
            return
        self._tool = None
        self._session.do(self.tr("Draw joint line"), edit)
        self._show_state()

    def _on_tool_changed(self, tool: object) -> None:
        if tool is None and self._tool is not None:  # Escape, or the tool has finished
            self._tool = None
            self._show_lines()
            self._show_state()

    def _renumber(self, first: int | None, falls: bool) -> None:
        self.first_field.set_value(first or 1)
        self.falls_field.set_value(falls)
        if self._tool is not None:
            self._tool.set_numbering(first or 1, counts_up=not falls)

    def _line(self) -> JointLine | None:
        if self._joint is None or self._photo_id is None:
            return None
        lines = self._session.project.all(
            JointLine, joint_id=self._joint.id, photo_id=self._photo_id
        )
        return lines[0] if lines else None

    def _show_photo(self) -> None:
        self.view.show_photo(self._photo_id)
        self.view.setVisible(self._photo_id is not None)
        self._show_lines()
        self._show_state()

    def _show_lines(self) -> None:
        lines: Sequence[JointLine] = ()
        if self._photo_id is not None:
            lines = self._session.project.all(JointLine, photo_id=self._photo_id)
        if self._joint is not None and self.is_drawing:  # the tool shows this one
            lines = [line for line in lines if line.joint_id != self._joint.id]
        self.view.set_overlays((), lines)

    def _show_state(self) -> None:
        has_photo = self._joint is not None and self._photo_id is not None
        is_locked = self._session.project.is_read_only
        line = self._line()
        self.draw_button.setText(
            self.tr("Dra&w joint line") if line is None else self.tr("Correct joint &line")
        )
        self.draw_button.setAccessibleName(self.draw_button.text().replace("&", ""))
        self.draw_button.setVisible(has_photo and not self.is_drawing and not is_locked)
        can_carry = line is None and self._has_line_elsewhere()
        self.carry_button.setVisible(self.draw_button.isVisibleTo(self) and can_carry)
        self.remove_button.setVisible(line is not None and not self.is_drawing and not is_locked)
        for widget in (self.first_field, self.falls_field, self.done_button, self.cancel_button):
            widget.setVisible(self.is_drawing)
        words = drawing_words(self._proposal) if self.is_drawing else line_state_words(line)
        self.state.setText(words if has_photo else "")
        self.state.setVisible(bool(self.state.text()))

    def _has_line_elsewhere(self) -> bool:
        joint = self._joint
        lines = self._session.project.all(JointLine, joint_id=joint.id) if joint else ()
        return any(line.photo_id != self._photo_id for line in lines)

    def _photo_words(self, photo: Photo, lines: Sequence[JointLine]) -> str:
        joint_id = self._joint.id if self._joint is not None else None
        return photo_words(
            is_reference=self._zone is not None and self._zone.reference_photo_id == photo.id,
            has_line=any((each.photo_id, each.joint_id) == (photo.id, joint_id) for each in lines),
        )

    def _best_photo(self, photos: Sequence[Photo]) -> UUID | None:
        here = [photo.id for photo in photos]
        with_line = self._session.project.all(
            JointLine, joint_id=self._joint.id if self._joint is not None else None
        )
        wanted = [line.photo_id for line in with_line]
        reference = self._zone.reference_photo_id if self._zone is not None else None
        return next((each for each in (reference, *wanted, *here) if each in here), None)

    def _add_photos(self, sources: tuple[Source, ...], progress: Progress) -> AddedPhotos:
        zone_id = None if self._zone is None else self._zone.id
        return add_photos(self._session.project, sources, zone_id=zone_id, progress=progress)

    def _build(self) -> None:
        self.view.setMinimumHeight(self.fontMetrics().height() * _VIEW_LINES)
        self.view.tool_changed.connect(self._on_tool_changed)
        self.photos.grid.photo_selected.connect(self.show_photo)
        self.first_field.answered.connect(
            lambda first: self._renumber(first, bool(self.falls_field.stored))
        )
        self.falls_field.answered.connect(
            lambda falls: self._renumber(self.first_field.stored, falls)
        )
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(GAP)
        rows.addWidget(Heading(self.tr("In photos"), 2))
        rows.addWidget(self.photos)
        rows.addWidget(self.state)
        rows.addWidget(
            FieldGrid(
                (self.first_field, self.falls_field, self.done_button, self.cancel_button),
                cell_characters=24,
            )
        )
        rows.addWidget(self.view)
        rows.addWidget(
            FieldGrid((self.draw_button, self.carry_button, self.remove_button), cell_characters=28)
        )


def _carried(project: Project, joint_id: UUID, photo_id: UUID, job: Job) -> LineProposal | None:
    return carry_joint_line(project, joint_id, photo_id, job.progress, is_thorough=True)
