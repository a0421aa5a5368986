"""Carry the leaks of a zone from its last photos to a new one, as proposals that a person grades.

A proposal says where a known leak should be, or where something seems to have changed; only a
person says how wet it is there.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from uuid import UUID, uuid5

from leaktrack.model.inspection import Inspection
from leaktrack.model.leak import Leak, LeakMark, SeepageGrade
from leaktrack.model.photo import Photo
from leaktrack.model.place import PlaceState
from leaktrack.model.record import Edit, removed
from leaktrack.model.shapes import Outline, PointPx
from leaktrack.model.wet_search import Dismissal, WetKind, WetRegion
from leaktrack.workflows.align_photos import CarriedPoint, carried_by
from leaktrack.workflows.carry_outline import carried_outline
from leaktrack.workflows.carry_through import photos_between
from leaktrack.workflows.find_engine import Reader
from leaktrack.workflows.learn_corrections import corrected_alignment
from leaktrack.workflows.mark_leaks import MarkFacts, add_leak
from leaktrack.workflows.project import Progress, Project, silent

_MORE_PHOTOS_MAY_TELL = (PlaceState.UNCERTAIN, PlaceState.HIDDEN)
_NOTHING_WET = (SeepageGrade.DRY, SeepageGrade.NOT_SEEN)
_MOST_SOURCES = 4
"""So many photos are tried where one cannot be laid over the new one; each takes half a second."""

_LONG_AGO = datetime.min.replace(tzinfo=UTC)


@dataclass(frozen=True, slots=True)
class MarkProposal:
    """A leak, and where it should be in a photo that has no mark of it yet.

    Attributes:
        photo_id: The photo it is proposed for.
        leak: The leak; None where something wet was found that is no leak known here.
        state: How far its place can be trusted.
        source_px: Where it should start; None where that is hidden, outside or not known.
        outline_px: The wet area as it was last time, carried along; empty where it was dry.
        sigma_px: One standard deviation of the place, where there is one.
        carried_from: The mark it was carried from, if it had a place.
        found: The change in the picture that speaks for it, where one was searched and found.
        dismissal: The person's word that this is no leak, where there is one.
        may_move: Two photos alone say this; others of the zone, not asked yet, may know better.
    """

    photo_id: UUID
    leak: Leak | None
    state: PlaceState
    source_px: PointPx | None = None
    outline_px: Outline = ()
    sigma_px: float | None = None
    carried_from: LeakMark | None = None
    found: WetRegion | None = None
    dismissal: Dismissal | None = None
    may_move: bool = False

    @property
    def key(self) -> UUID:
        """What tells it from all other proposals; the same whenever it is made again."""
        if self.dismissal is not None:
            return self.dismissal.id
        if self.found is not None:
            return key_of_region(self.photo_id, self.found)
        assert self.leak is not None
        return self.leak.id

    @property
    def seems_dry(self) -> bool:
        """Whether the picture speaks for a leak that has dried up."""
        return self.found is not None and self.found.kind is WetKind.DRIED

    @property
    def can_be_accepted(self) -> bool:
        """Whether the picture says how wet it is; a dry place is of a known leak only."""
        return self.found is not None and (self.leak is not None or not self.seems_dry)

    @property
    def can_be_new(self) -> bool:
        """Whether it is a wet area that is thought to be a known leak."""
        return self.leak is not None and self.can_be_accepted and not self.seems_dry


def propose_at_first(
    project: Project, photo_id: UUID, progress: Progress = silent
) -> tuple[MarkProposal, ...]:
    """Return what ``propose_marks`` does, by two photos alone: in a few seconds.

    Where other photos of the zone may tell a place better, the proposal may still move.

    Args:
        project: The open project.
        photo_id: The photo to be marked.
        progress: Called between the steps; may raise Cancelled to stop.

    Raises:
        Cancelled: Stopped by ``progress``.
        MissingRecord: There is no such photo.
        UnreadablePhoto: A photo's file is missing or damaged.
    """
    return _proposed(project, photo_id, progress, is_thorough=False)


def propose_marks(
    project: Project, photo_id: UUID, progress: Progress = silent
) -> tuple[MarkProposal, ...]:
    """Return the zone's leaks that a photo has no mark of, at their places in it, by number.

    Each is carried from its latest mark with a place: of the same inspection if there is one, else
    of the one before; where the two photos cannot be laid over each other, from an earlier one.
    Other photos of the zone help where a place is not sure by the two alone.
    Leaks that were dry last time are proposed too: they should be looked at. Where a person put
    marks or lines of the two photos right, the leaks around them are taken along.

    Args:
        project: The open project.
        photo_id: The photo to be marked.
        progress: Called between the steps; may raise Cancelled to stop.

    Returns:
        Nothing where the photo has no zone.

    Raises:
        Cancelled: Stopped by ``progress``.
        MissingRecord: There is no such photo.
        UnreadablePhoto: A photo's file is missing or damaged.
    """
    return _proposed(project, photo_id, progress, is_thorough=True)


def _proposed(
    project: Project, photo_id: UUID, progress: Progress, *, is_thorough: bool
) -> tuple[MarkProposal, ...]:
    with project.read() as records:
        photo = records.get(Photo, photo_id)
        waiting = _unmarked_leaks(records, photo)
        sources = _placed_marks(records, photo)
    proposals = {leak.id: MarkProposal(photo_id, leak, PlaceState.UNKNOWN) for leak in waiting}
    for from_id, marks in list(sources.items())[:_MOST_SOURCES]:
        pairs = [
            (leak, marks[leak.id])
            for leak in waiting
            if leak.id in marks and proposals[leak.id].state is PlaceState.UNKNOWN
        ]
        for proposal in _carried(project, from_id, photo, pairs, progress, is_thorough=is_thorough):
            assert proposal.leak is not None
            proposals[proposal.leak.id] = proposal
    numbers = {leak.id: leak.number for leak in waiting}
    return tuple(proposals[leak_id] for leak_id in sorted(numbers, key=numbers.__getitem__))


def key_of_region(photo_id: UUID, region: WetRegion) -> UUID:
    """Return what tells a region from others; the same whenever the same is found again."""
    corners = [(corner.x, corner.y) for corner in region.outline]
    return uuid5(photo_id, f"{region.kind.value} {corners}")


def accept_proposal(
    project: Project, proposal: MarkProposal, grade: SeepageGrade
) -> tuple[LeakMark, Edit]:
    """Return the mark of a proposed leak, with a person's grade, and the edit that adds it.

    The outline is kept only where something is wet. Where no leak is known, it is a new one. Who
    marks what was dismissed before takes that word back.

    Raises:
        BadInput: The photo has a mark of that leak by now.
    """
    is_wet = grade not in _NOTHING_WET
    facts = MarkFacts(
        source_px=proposal.source_px, outline_px=proposal.outline_px if is_wet else ()
    )
    leak_id = proposal.leak.id if proposal.leak is not None else None
    mark, edit = add_leak(project, proposal.photo_id, grade, leak_id=leak_id, **facts)
    taken_back = () if proposal.dismissal is None else (proposal.dismissal,)
    return mark, edit.then(removed(*taken_back))


def _unmarked_leaks(reader: Reader, photo: Photo) -> tuple[Leak, ...]:
    """Return the leaks of the photo's zone that have no mark in the photo itself."""
    if photo.zone_id is None:
        return ()
    photo_ids = [other.id for other in reader.all(Photo, zone_id=photo.zone_id)]
    ids = {mark.leak_id for mark in reader.all(LeakMark, photo_id=photo_ids)}
    ids |= {leak.id for leak in reader.all(Leak, zone_id=photo.zone_id)}
    here = {mark.leak_id for mark in reader.all(LeakMark, photo_id=photo.id)}
    return reader.all(Leak, id=list(ids - here))


def _placed_marks(reader: Reader, photo: Photo) -> dict[UUID, dict[UUID, LeakMark]]:
    """Return the marks with a place, by photo, latest first, and by leak."""
    found: dict[UUID, dict[UUID, LeakMark]] = {}
    for other in _earlier_photos(reader, photo):
        marks = reader.all(LeakMark, photo_id=other.id)
        placed = {mark.leak_id: mark for mark in marks if mark.source_px is not None}
        if placed:
            found[other.id] = placed
    return found


def _earlier_photos(reader: Reader, photo: Photo) -> list[Photo]:
    """Return the other photos of the zone up to this photo's inspection, latest first."""
    looked_at = {item.id: item.looked_at for item in reader.all(Inspection)}

    def at(other: Photo) -> datetime:
        return looked_at[other.inspection_id] if other.inspection_id else _LONG_AGO

    others = [other for other in reader.all(Photo, zone_id=photo.zone_id) if other.id != photo.id]
    if photo.inspection_id is not None:
        others = [other for other in others if at(other) <= at(photo)]
    return sorted(others, key=lambda other: (at(other), other.id), reverse=True)


def _carried(
    project: Project,
    from_id: UUID,
    photo: Photo,
    pairs: Sequence[tuple[Leak, LeakMark]],
    progress: Progress,
    *,
    is_thorough: bool,
) -> list[MarkProposal]:
    if not pairs:
        return []
    places = [mark.source_px for _, mark in pairs if mark.source_px]
    placing = corrected_alignment(project, from_id, photo.id, progress)
    sources = carried_by(placing, places)
    may_move = any(source.state in _MORE_PHOTOS_MAY_TELL for source in sources)
    if may_move and is_thorough:
        placing = corrected_alignment(project, from_id, photo.id, progress, is_thorough=True)
        sources, may_move = carried_by(placing, places), False
    may_move = may_move and bool(photos_between(project, from_id, photo.id))
    proposals = [
        _proposal(photo, leak, mark, source, carried_outline(placing, mark.outline_px))
        for (leak, mark), source in zip(pairs, sources, strict=True)
    ]
    # All of them: once others are asked, what all photos say counts for sure places too.
    return [replace(proposal, may_move=may_move) for proposal in proposals]


def _proposal(
    photo: Photo,
    leak: Leak,
    mark: LeakMark,
    source: CarriedPoint,
    outline: Sequence[CarriedPoint],
) -> MarkProposal:
    corners = tuple(_inside(corner.at, photo) for corner in outline if corner.at is not None)
    return MarkProposal(
        photo_id=photo.id,
        leak=leak,
        state=source.state,
        source_px=source.at,
        outline_px=corners if len(corners) > 2 else (),
        sigma_px=source.sigma_px,
        carried_from=mark,
    )


def _inside(point: PointPx, photo: Photo) -> PointPx:
    """Return the nearest place inside the photo: a wet area may run out of the picture."""
    return PointPx(
        min(max(point.x, 0.0), photo.width_px - 1.0), min(max(point.y, 0.0), photo.height_px - 1.0)
    )
