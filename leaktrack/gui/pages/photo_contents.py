"""What the records say about one photo, gathered for the list and for the drawing."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from uuid import UUID

from PySide6.QtCore import QCoreApplication

from leaktrack.gui.forms.numbers import number_text
from leaktrack.gui.item_models.marks_model import MarkRow
from leaktrack.gui.photo_view import DrawnMark
from leaktrack.model.engine import JointLine
from leaktrack.model.leak import Leak, LeakMark, SeepageGrade
from leaktrack.model.photo import Photo
from leaktrack.model.shapes import area_px2
from leaktrack.model.words import word
from leaktrack.workflows.project import Project
from leaktrack.workflows.propose_marks import MarkProposal


@dataclass(frozen=True, slots=True)
class PhotoContents:
    """One photo with its marks, by leak number, and its joint lines."""

    photo: Photo
    marks: tuple[tuple[LeakMark, Leak], ...]
    lines: tuple[JointLine, ...]

    @property
    def numbered(self) -> tuple[tuple[LeakMark, int], ...]:
        """The marks with their leaks' numbers."""
        return tuple((mark, leak.number) for mark, leak in self.marks)

    @property
    def leak_ids(self) -> frozenset[UUID]:
        """The leaks that are marked here."""
        return frozenset(leak.id for _mark, leak in self.marks)

    def mark(self, mark_id: UUID | None) -> tuple[LeakMark, Leak] | None:
        """Return a mark with its leak."""
        return next((pair for pair in self.marks if pair[0].id == mark_id), None)

    def mark_of_leak(self, leak_id: UUID | None) -> LeakMark | None:
        """Return the mark of a leak."""
        return next((mark for mark, leak in self.marks if leak.id == leak_id), None)


def photo_contents(project: Project, photo_id: UUID) -> PhotoContents | None:
    """Return what the records say about a photo; None if it is not there any more."""
    photo = project.find(Photo, photo_id)
    if photo is None:
        return None
    marks = project.all(LeakMark, photo_id=photo_id)
    leaks = {leak.id: leak for leak in project.all(Leak, id=[mark.leak_id for mark in marks])}
    pairs = sorted(((mark, leaks[mark.leak_id]) for mark in marks), key=lambda pair: pair[1].number)
    return PhotoContents(photo, tuple(pairs), project.all(JointLine, photo_id=photo_id))


def mark_rows(contents: PhotoContents, proposals: Sequence[MarkProposal]) -> list[MarkRow]:
    """Return the lines of the marks list: marks first, then what waits for a word."""
    rows = [
        MarkRow(
            mark.id,
            leak.number,
            mark.grade,
            mark.fluid,
            area_words(mark, contents.photo),
            mark.note,
        )
        for mark, leak in contents.marks
    ]
    ask = QCoreApplication.translate("photo_contents", "from last time")
    rows += [
        MarkRow(each.leak.id, each.leak.number, None, note=f"{ask}: {word(each.state)}")
        for each in proposals
    ]
    return rows


def drawn_proposals(proposals: Sequence[MarkProposal]) -> list[DrawnMark]:
    """Return how proposals are drawn: hollow, with a word on the tag."""
    label = QCoreApplication.translate("photo_contents", "check")
    return [
        DrawnMark(
            each.leak.id, each.leak.number, None, each.source_px, each.outline_px, label=label
        )
        for each in proposals
    ]


def open_proposals(
    contents: PhotoContents,
    proposals: Sequence[MarkProposal],
    dismissed: Collection[UUID],
) -> list[MarkProposal]:
    """Return the proposals that nobody has answered yet, by leak number."""
    answered = contents.leak_ids | set(dismissed)
    waiting = [each for each in proposals if each.leak.id not in answered]
    return sorted(waiting, key=lambda each: each.leak.number)


def area_words(mark: LeakMark, photo: Photo) -> str:
    """Return a mark's wet area in mm2 where the photo has a scale, else in px."""
    if not mark.outline_px:
        return ""
    area = area_px2(mark.outline_px)
    if photo.mm_per_px is None:
        return f"{number_text(area, 0)} px²"
    return f"{number_text(area * photo.mm_per_px**2, 0)} mm²"


def is_wet(grade: SeepageGrade) -> bool:
    """Return whether there is something to draw round at this grade."""
    return grade not in (SeepageGrade.DRY, SeepageGrade.NOT_SEEN)
