"""Compare inspections: how each leak fared, and which photos of a zone go together."""

from collections.abc import Sequence
from uuid import UUID

from leaktrack.analysis.comparing import change
from leaktrack.model.comparison import Comparison, LeakChange
from leaktrack.model.errors import BadInput
from leaktrack.model.inspection import Inspection
from leaktrack.model.photo import Photo
from leaktrack.workflows.find_engine import Reader
from leaktrack.workflows.gather_engine import EngineRecords
from leaktrack.workflows.project import Project


def compare(
    project: Project, before_id: UUID, after_id: UUID, zone_id: UUID | None = None
) -> Comparison:
    """Return how each leak fared from one inspection to another.

    The earlier inspection is taken as the one before, in whichever order they are given. Leaks that
    were first marked after the later one are left out.

    Args:
        project: The open project.
        before_id: One inspection.
        after_id: The other.
        zone_id: Only the leaks of this zone; None for the whole engine.

    Raises:
        BadInput: They are one and the same, or of two engines.
        MissingRecord: An inspection is not there.
    """
    with project.read() as reader:
        before, after = _in_order(reader, before_id, after_id)
        records = EngineRecords(reader, after.engine_id)
        table = records.table
        leaks = [
            leak
            for leak in records.leaks
            if zone_id in (None, leak.zone_id) and table.is_known_at(leak.id, after.id)
        ]
        changes = []
        for leak in leaks:
            was, now = table.sighting(leak, before.id), table.sighting(leak, after.id)
            changes.append(LeakChange(leak, was, now, change(was, now)))
    return Comparison(before.id, after.id, zone_id, tuple(changes))


def best_photo_pairs(
    project: Project, before_id: UUID, after_id: UUID, zone_id: UUID
) -> tuple[tuple[UUID, UUID], ...]:
    """Return pairs of photos of a zone from two inspections, those most alike in kind first.

    Every photo of the later inspection is paired with the one before that suits it best: taken in
    the same light, held the same way up, and at the same place in the row of photos. Both photos of
    a pair show the zone; whether they show the same part of it, only laying them over tells.

    Raises:
        BadInput: They are one and the same, or of two engines.
        MissingRecord: An inspection is not there.
    """
    with project.read() as reader:
        before, after = _in_order(reader, before_id, after_id)
        earlier = reader.all(Photo, inspection_id=before.id, zone_id=zone_id)
        later = reader.all(Photo, inspection_id=after.id, zone_id=zone_id)
    pairs = [_best_pair(earlier, photo, place) for place, photo in enumerate(later) if earlier]
    return tuple((was, now) for _, was, now in sorted(pairs, key=lambda pair: pair[0]))


def _best_pair(
    earlier: Sequence[Photo], photo: Photo, place: int
) -> tuple[tuple[bool, bool, int], UUID, UUID]:
    rated = (
        (
            (
                other.light is not photo.light,
                (other.width_px >= other.height_px) != (photo.width_px >= photo.height_px),
                abs(index - place),
            ),
            other.id,
            photo.id,
        )
        for index, other in enumerate(earlier)
    )
    return min(rated, key=lambda pair: pair[0])


def _in_order(reader: Reader, one_id: UUID, other_id: UUID) -> tuple[Inspection, Inspection]:
    one, other = reader.get(Inspection, one_id), reader.get(Inspection, other_id)
    if one.id == other.id:
        raise BadInput("This is one inspection twice. Choose two of them to compare.")
    if one.engine_id != other.engine_id:
        raise BadInput("These inspections are of two engines. Choose two of the same engine.")
    earlier, later = sorted((one, other), key=lambda inspection: inspection.looked_at)
    return earlier, later
