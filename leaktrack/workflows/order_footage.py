"""Put the project's clips into order: those of one day as one sequence, by time of recording."""

from collections import defaultdict
from datetime import date
from uuid import UUID

from leaktrack.model.footage_sequence import FootageSequence
from leaktrack.model.photo import Clip
from leaktrack.workflows.project import Project


def footage_days(project: Project) -> tuple[FootageSequence, ...]:
    """Return the footage day by day, oldest first; each clip without a date by itself at the end.

    Who knows when a clip was recorded knows what came before it; of others nobody does, so they are
    not put in a row.
    """
    by_day: defaultdict[date, list[Clip]] = defaultdict(list)
    undated: list[Clip] = []
    for clip in project.all(Clip):
        if clip.recorded is None:
            undated.append(clip)
        else:
            by_day[clip.recorded.local.date()].append(clip)
    return (
        *(FootageSequence(tuple(sorted(by_day[day], key=_began)), day) for day in sorted(by_day)),
        *(FootageSequence((clip,)) for clip in sorted(undated, key=lambda each: each.name)),
    )


def sequence_with(project: Project, clip_id: UUID | None) -> FootageSequence:
    """Return the sequence that a clip belongs to; an empty one where there is no such clip."""
    for sequence in footage_days(project):
        if sequence.start_of(clip_id) is not None:
            return sequence
    return FootageSequence()


def _began(clip: Clip) -> tuple[str, str]:
    assert clip.recorded is not None
    # Cameras that number their files tell the order where two begin in the same second.
    return clip.recorded.local.isoformat(), clip.name
