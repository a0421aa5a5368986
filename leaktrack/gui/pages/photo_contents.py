"""What the records say about one photo, gathered for the list and for the drawing."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from uuid import UUID

from PySide6.QtCore import QCoreApplication

from leaktrack.gui.forms.numbers import number_text
from leaktrack.gui.forms.times import day_text
from leaktrack.gui.item_models.marks_model import MarkRow
from leaktrack.gui.photo_view import DrawnMark
from leaktrack.model.chance import chance_words, percent_words
from leaktrack.model.engine import JointLine
from leaktrack.model.leak import Leak, LeakMark, SeepageGrade
from leaktrack.model.photo import Photo
from leaktrack.model.place import PlaceState
from leaktrack.model.shapes import area_px2
from leaktrack.model.units import rough, with_sigma
from leaktrack.model.wet_search import Dismissal, WetRegion
from leaktrack.model.words import word
from leaktrack.workflows.dismiss_regions import dismissed_region, is_dismissed
from leaktrack.workflows.match_wet_regions import highest, match_wet_regions
from leaktrack.workflows.project import Project
from leaktrack.workflows.propose_marks import MarkProposal

_FINE_MM2 = 10.0
"""Smaller areas are told with a decimal."""


@dataclass(frozen=True, slots=True)
class PhotoContents:
    """One photo with its marks, by leak number, its joint lines, and what in it is no leak."""

    photo: Photo
    marks: tuple[tuple[LeakMark, Leak], ...]
    lines: tuple[JointLine, ...]
    dismissals: tuple[Dismissal, ...] = ()

    @property
    def is_of_a_look(self) -> bool:
        """Whether there can be earlier photos of the same place."""
        return self.photo.inspection_id is not None and self.photo.zone_id is not None

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


def photo_contents(project: Project, photo_id: UUID) -> PhotoContents | None:
    """Return what the records say about a photo; None if it is not there any more."""
    photo = project.find(Photo, photo_id)
    if photo is None:
        return None
    marks = project.all(LeakMark, photo_id=photo_id)
    leaks = {leak.id: leak for leak in project.all(Leak, id=[mark.leak_id for mark in marks])}
    pairs = sorted(((mark, leaks[mark.leak_id]) for mark in marks), key=lambda pair: pair[1].number)
    lines = project.all(JointLine, photo_id=photo_id)
    return PhotoContents(photo, tuple(pairs), lines, project.all(Dismissal, photo_id=photo_id))


def mark_rows(contents: PhotoContents, proposals: Sequence[MarkProposal]) -> list[MarkRow]:
    """Return the lines of the marks list: marks first, then what waits for an answer."""
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
    rows += [
        MarkRow(
            each.key,
            each.leak.number if each.leak is not None else None,
            None,
            area=found_area_words(each.found) if each.found is not None else "",
            note=proposal_words(each),
            label=_label(each),
        )
        for each in proposals
    ]
    return rows


def drawn_proposals(proposals: Sequence[MarkProposal]) -> list[DrawnMark]:
    """Return how proposals are drawn: hollow, with a word on the tag."""
    return [
        DrawnMark(
            each.key,
            each.leak.number if each.leak is not None else None,
            None,
            each.source_px,
            each.found.outline if each.found is not None else each.outline_px,
            label=_label(each),
        )
        for each in proposals
    ]


def open_proposals(
    contents: PhotoContents,
    carried: Sequence[MarkProposal],
    found: Sequence[WetRegion],
    put_off: Collection[UUID],
) -> list[MarkProposal]:
    """Return the proposals that nobody has answered: what was found, likeliest first, then leaks.

    Args:
        contents: The photo they are for.
        carried: Leaks at the places that they were carried to.
        found: What was found to have changed in the photo.
        put_off: Known leaks that are not to be asked about.
    """
    photo_id = contents.photo.id
    waiting = [
        each
        for each in carried
        if each.leak is not None
        and each.leak.id not in contents.leak_ids
        and each.leak.id not in put_off
    ]
    regions = [each for each in found if not is_dismissed(each, contents.dismissals)]
    marks = [mark for mark, _leak in contents.marks]
    return list(match_wet_regions(photo_id, regions, marks, waiting))


def dismissed_proposals(contents: PhotoContents) -> list[MarkProposal]:
    """Return what a person said is no leak in a photo, in that order, to be taken back."""
    photo = contents.photo
    return [
        MarkProposal(
            photo.id,
            None,
            PlaceState.UNKNOWN,
            source_px=highest(each.outline_px),
            outline_px=each.outline_px,
            found=dismissed_region(each, photo.mm_per_px),
            dismissal=each,
        )
        for each in sorted(contents.dismissals, key=lambda each: each.decided_at)
    ]


def proposal_words(proposal: MarkProposal) -> str:
    """Return why something is proposed."""
    if proposal.found is None:
        so_far = QCoreApplication.translate("photo_contents", "so far, from last time")
        last_time = QCoreApplication.translate("photo_contents", "from last time")
        return f"{so_far if proposal.may_move else last_time}: {word(proposal.state)}"
    words = f"{word(proposal.found.kind)}: {chance_words(proposal.found.score)}"
    if proposal.dismissal is None:
        return words
    said: str = QCoreApplication.translate("photo_contents", "dismissed on %s; it was said: %s")
    return said % (day_text(proposal.dismissal.decided_at), words)


def found_area_words(region: WetRegion) -> str:
    """Return the area of a region, with its standard deviation where there is one."""
    if region.area_mm2 is None:
        return f"{number_text(region.area_px, 0)} px²"
    if region.area_sigma_mm2 is None and region.area_mm2 < _FINE_MM2:
        return rough(region.area_mm2, "mm²", 1)
    return with_sigma(region.area_mm2, region.area_sigma_mm2, "mm²")


def _label(proposal: MarkProposal) -> str:
    """Return the word on a proposal's tag and in its row."""
    if proposal.dismissal is not None:
        return QCoreApplication.translate("photo_contents", "no leak")
    if proposal.found is None:
        return QCoreApplication.translate("photo_contents", "check")
    wet = QCoreApplication.translate("photo_contents", "wet?")
    dry = QCoreApplication.translate("photo_contents", "dry now?")
    return f"{dry if proposal.seems_dry else wet} {percent_words(proposal.found.score)}"


def area_words(mark: LeakMark, photo: Photo) -> str:
    """Return a mark's wet area in mm2 where the photo has a scale, else in px."""
    if not mark.outline_px:
        return ""
    area = area_px2(mark.outline_px)
    if photo.mm_per_px is None:
        return f"{number_text(area, 0)} px²"
    return with_sigma(area * photo.mm_per_px**2, None, "mm²")


def is_wet(grade: SeepageGrade) -> bool:
    """Return whether there is something to draw round at this grade."""
    return grade not in (SeepageGrade.DRY, SeepageGrade.NOT_SEEN)
