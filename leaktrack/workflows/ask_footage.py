"""Ask the footage for what a photo, a mark, a joint, a place along it or a bead audit shows."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeVar
from uuid import UUID

from leaktrack.analysis.stationing import RuledLine, ruled_line
from leaktrack.model.bead_audit import BeadAudit
from leaktrack.model.engine import Bolt, Joint, JointLine
from leaktrack.model.errors import BadInput
from leaktrack.model.footage import FootageAnswer, FootageQuery, Searched
from leaktrack.model.leak import Leak, LeakMark
from leaktrack.model.photo import Clip, Photo
from leaktrack.model.sealing_job import Evidence, SealingJob
from leaktrack.model.shapes import BoxPx, PointPx, box_around
from leaktrack.model.words import station_words
from leaktrack.workflows.audit_bead import place_of
from leaktrack.workflows.find_footage import find_in_clips
from leaktrack.workflows.index_clips import named_progress, named_words
from leaktrack.workflows.project import Progress, Project, silent

T = TypeVar("T")

MOST_PHOTOS = 3
"""So many photos of a joint are tried, one after the other, until one is found. Own judgement."""

_MARGIN = 0.05
"""Room around a joint's line, as a share of the photo's longer side."""

_LEAST_BOX = 0.3
"""Least side of a box around one place, as a share of the photo's longer side: a smaller one holds
too little to be known again. Own judgement."""

_SPACINGS = 3.0
"""A box around a place along a joint shows so many bolt spacings."""


@dataclass(frozen=True, slots=True)
class FootageAsk:
    """Something to be looked for in the footage.

    Attributes:
        queries: The best first; the next is tried where one is not found.
        words: What is looked for, for people.
        photo_id: The photo of the first query.
        joint_id: The joint that it is about, where that is known.
    """

    queries: tuple[FootageQuery, ...]
    words: str
    photo_id: UUID
    joint_id: UUID | None = None


def ask_for_photo(project: Project, photo_id: UUID) -> FootageAsk:
    """Ask for all that a photo shows.

    Raises:
        MissingRecord: There is no such photo.
    """
    photo = project.get(Photo, photo_id)
    return FootageAsk(
        (FootageQuery(photo=project.photo_path(photo)),), photo.original_name, photo_id
    )


def ask_for_mark(project: Project, mark_id: UUID) -> FootageAsk:
    """Ask for the place of a mark, with what is around it.

    Raises:
        BadInput: The mark has no place in the photo.
        MissingRecord: There is no such mark.
    """
    mark = project.get(LeakMark, mark_id)
    photo, leak = project.get(Photo, mark.photo_id), project.get(Leak, mark.leak_id)
    corners = [*mark.outline_px, *([mark.source_px] if mark.source_px is not None else [])]
    if not corners:
        raise BadInput(
            f"Leak {leak.number} has no place in {photo.original_name}, so nothing can be looked "
            "for. Place its source first, or ask with the whole photo."
        )
    place = mark.source_px or _middle(box_around(corners))
    query = FootageQuery(
        photo=project.photo_path(photo), box=_roomy(corners, photo, _LEAST_BOX), place=place
    )
    return FootageAsk((query,), f"the place of leak {leak.number}", photo.id, leak.joint_id)


def ask_for_joint(project: Project, joint_id: UUID) -> FootageAsk:
    """Ask for a joint, by its line in the photos that show it best.

    Raises:
        BadInput: No photo has its line.
        MissingRecord: There is no such joint.
    """
    joint = project.get(Joint, joint_id)
    found = [
        (photo, line, _roomy(line.path, photo, _LEAST_BOX))
        for photo, line in _lines(project, joint)
    ]
    if not found:
        raise BadInput(_no_line(joint))
    best = _best(project, joint, [(photo, box, _share(line, photo)) for photo, line, box in found])
    queries = tuple(FootageQuery(photo=project.photo_path(photo), box=box) for photo, box in best)
    return FootageAsk(queries, joint.name, best[0][0].id, joint_id)


def ask_for_station(project: Project, joint_id: UUID, station: float) -> FootageAsk:
    """Ask for a place along a joint, by the photos whose line shows it.

    Those taken while the joint was sealed come first, then those that show it largest.

    Raises:
        BadInput: No photo has the joint's line there, or the joint ends before.
        MissingRecord: There is no such joint.
    """
    joint = project.get(Joint, joint_id)
    places: list[tuple[Photo, tuple[BoxPx, PointPx], float]] = []
    lines = _lines(project, joint)
    if any(not line.ruler.has(station) for _, line in lines):
        raise BadInput(
            f"'{joint.name}' has no place at {station_words(station)}: it runs back into its start "
            f"after bolt {lines[0][1].ruler.count}. Nothing was looked for."
        )
    for photo, line in lines:
        at = line.point_at(station)
        if at is None or not (0 <= at.x < photo.width_px and 0 <= at.y < photo.height_px):
            continue
        longest = max(photo.width_px, photo.height_px)
        side = max(_SPACINGS * (line.spacing_px or 0.0), _LEAST_BOX * longest)
        size = (line.spacing_px or line.total_px) / longest
        places.append((photo, (_square(at, side, photo), at), size))
    if not places:
        raise BadInput(_no_line(joint, station))
    best = _best(project, joint, places)
    queries = tuple(
        FootageQuery(photo=project.photo_path(photo), box=box, place=at)
        for photo, (box, at) in best
    )
    words = f"{joint.name}, {station_words(station)}"
    return FootageAsk(queries, words, best[0][0].id, joint_id)


def ask_for_bead(project: Project, audit: BeadAudit, along: float | None = None) -> FootageAsk:
    """Ask for a measured bead, or for one place of it.

    Args:
        project: The open project.
        audit: What was measured.
        along: A place along its path, in the audit's unit; None: all of it.

    Raises:
        BadInput: Nothing was measured.
        MissingRecord: Its photo or job is not there.
    """
    photo = project.get(Photo, audit.photo_id)
    job = project.get(SealingJob, audit.sealing_job_id)
    if not audit.points:
        raise BadInput(
            f"Nothing was measured in {photo.original_name}, so there is no place to look for."
        )
    place = None if along is None else place_of(audit, along)
    corners = [place] if place is not None else [point.at_px for point in audit.points]
    query = FootageQuery(
        photo=project.photo_path(photo), box=_roomy(corners, photo, _LEAST_BOX), place=place
    )
    return FootageAsk((query,), f"the bead in {photo.original_name}", photo.id, job.joint_id)


def find_asked(
    project: Project, ask: FootageAsk, clips: Sequence[Clip], progress: Progress = silent
) -> FootageAnswer:
    """Return when clips show what was asked for; what is not indexed yet is indexed first.

    Raises:
        As ``find_in_clips``.
    """
    notes: list[str] = []
    progress = named_progress(project, clips, progress)
    searched = Searched.ALL
    for query in ask.queries:
        answer = find_in_clips(project, query, clips, progress)
        searched = answer.searched
        told = [named_words(project, clips, note) for note in answer.notes]
        notes += [note for note in told if note not in notes]
        if answer.spans:
            return FootageAnswer(spans=answer.spans, notes=tuple(notes), searched=searched)
    return FootageAnswer(spans=(), notes=tuple(notes), searched=searched)


def _lines(project: Project, joint: Joint) -> list[tuple[Photo, RuledLine]]:
    with project.read() as records:
        bolts = records.all(Bolt, joint_id=joint.id)
        lines = records.all(JointLine, joint_id=joint.id)
        photos = {line.photo_id: records.get(Photo, line.photo_id) for line in lines}
    return [
        (
            photos[line.photo_id],
            ruled_line(line, bolts, is_closed=joint.is_closed, length_mm=joint.length_mm),
        )
        for line in lines
    ]


def _best(
    project: Project, joint: Joint, found: Sequence[tuple[Photo, T, float]]
) -> list[tuple[Photo, T]]:
    """Return photos of sealing jobs first, since people film while they seal; then the largest."""
    job_ids = [job.id for job in project.all(SealingJob, joint_id=joint.id)]
    shown = {each.photo_id for each in project.all(Evidence, sealing_job_id=job_ids)}
    ordered = sorted(found, key=lambda each: (each[0].id not in shown, -each[2]))
    return [(photo, what) for photo, what, _ in ordered[:MOST_PHOTOS]]


def _share(line: RuledLine, photo: Photo) -> float:
    return line.total_px / max(photo.width_px, photo.height_px)


def _roomy(corners: Sequence[PointPx], photo: Photo, least_share: float) -> BoxPx:
    """Return a box around places with room around it, within the photo."""
    longest = max(photo.width_px, photo.height_px)
    box = box_around(corners)
    middle, margin = _middle(box), 2 * _MARGIN * longest
    width = max(box.width + margin, least_share * longest)
    height = max(box.height + margin, least_share * longest)
    return _within(middle, width, height, photo)


def _square(at: PointPx, side: float, photo: Photo) -> BoxPx:
    return _within(at, side, side, photo)


def _within(middle: PointPx, width: float, height: float, photo: Photo) -> BoxPx:
    left, top = max(0.0, middle.x - width / 2), max(0.0, middle.y - height / 2)
    right = min(photo.width_px - 1.0, middle.x + width / 2)
    bottom = min(photo.height_px - 1.0, middle.y + height / 2)
    return BoxPx(left, top, right - left, bottom - top)


def _middle(box: BoxPx) -> PointPx:
    return PointPx(box.left + box.width / 2, box.top + box.height / 2)


def _no_line(joint: Joint, station: float | None = None) -> str:
    where = "" if station is None else f" at {station_words(station)}"
    return (
        f"No photo has the line of '{joint.name}'{where}, so nobody knows what to look for. Draw "
        "it in a photo on the page Engine, or ask with a photo."
    )
