"""Lay a photo over another one with what people put right: marks and lines that both have."""

from collections.abc import Iterator
from typing import TYPE_CHECKING
from uuid import UUID

from leaktrack.model.engine import JointLine
from leaktrack.model.leak import LeakMark
from leaktrack.model.photo import Photo
from leaktrack.model.shapes import PointPx
from leaktrack.workflows.align_photos import alignment_of
from leaktrack.workflows.carry_through import alignment_through
from leaktrack.workflows.find_engine import Reader
from leaktrack.workflows.project import Progress, Project, silent

if TYPE_CHECKING:
    from leaktrack.imaging.matching.overlaying import Placing

_MOVED_SHARE = 0.0015
"""Of the longest side: what lies nearer than so to where it was carried was left as it was, and
tells nothing of how far off the places around it are; own judgement."""


def corrected_alignment(
    project: Project,
    from_photo_id: UUID,
    to_photo_id: UUID,
    progress: Progress = silent,
    *,
    is_thorough: bool = False,
) -> "Placing":
    """Return what tells where places of one photo lie in another, put right by known matches.

    Known are the sources of leaks that are marked in both photos, and the bolts and points beside
    them of joints whose lines are drawn in both. Where they lie elsewhere than carried, places
    around them are taken along.

    Args:
        project: The open project.
        from_photo_id: The photo that places are carried from.
        to_photo_id: The photo they are carried to.
        progress: Called between the steps; may raise Cancelled to stop.
        is_thorough: Also ask other photos of the zone where a place is not sure by the two alone,
            which takes some seconds more.

    Raises:
        Cancelled: Stopped by ``progress``.
        MissingRecord: There is no such photo.
        UnreadablePhoto: A photo's file is missing or damaged.
    """
    import numpy as np

    from leaktrack.imaging.carrying.correcting import Corrected
    from leaktrack.imaging.matching.aligning import AlignmentState

    align = alignment_through if is_thorough else alignment_of
    placing = align(project, from_photo_id, to_photo_id, progress)
    with project.read() as reader:
        photo = reader.get(Photo, from_photo_id)
        known = list(_known_matches(reader, from_photo_id, to_photo_id))
    if placing.state is AlignmentState.FAILED or not known:
        return placing
    here, there = (np.array([(at.x, at.y) for at in side]) for side in zip(*known, strict=True))
    off = np.linalg.norm(there - placing.places(here), axis=1)
    is_moved = off > _MOVED_SHARE * max(placing.size)
    if not is_moved.any():
        return placing
    longest = max(photo.width_px, photo.height_px)
    return Corrected(placing, here[is_moved], there[is_moved], longest)


def _known_matches(reader: Reader, from_id: UUID, to_id: UUID) -> Iterator[tuple[PointPx, PointPx]]:
    sources = {mark.leak_id: mark.source_px for mark in reader.all(LeakMark, photo_id=from_id)}
    for mark in reader.all(LeakMark, photo_id=to_id):
        source = sources.get(mark.leak_id)
        if source is not None and mark.source_px is not None:
            yield source, mark.source_px
    lines = {line.joint_id: line for line in reader.all(JointLine, photo_id=from_id)}
    for line in reader.all(JointLine, photo_id=to_id):
        if line.joint_id in lines:
            yield from _same_bolts(lines[line.joint_id], line)


def _same_bolts(one: JointLine, other: JointLine) -> Iterator[tuple[PointPx, PointPx]]:
    by_number = {point.bolt_number: point for point in one.points if point.bolt_number is not None}
    for point in other.points:
        match = by_number.get(point.bolt_number) if point.bolt_number is not None else None
        if match is None:
            continue
        yield match.at, point.at
        if match.head is not None and point.head is not None:
            yield match.head, point.head
