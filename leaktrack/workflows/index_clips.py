"""Index all clips of a project, and say how far they are."""

from dataclasses import dataclass
from uuid import UUID

from leaktrack.model.errors import UnreadableVideo
from leaktrack.model.footage_sequence import FootageSequence
from leaktrack.model.photo import Clip
from leaktrack.workflows.index_footage import index_video, indexed_so_far
from leaktrack.workflows.order_footage import footage_days
from leaktrack.workflows.project import Progress, Project, silent


@dataclass(frozen=True, slots=True)
class ClipState:
    """What is known of a clip's file.

    Attributes:
        share: How much of it can be searched at once, 0 to 1.
        note: Why not all of it, in words.
    """

    is_missing: bool
    share: float = 0.0
    note: str = ""


@dataclass(frozen=True, slots=True)
class FootageState:
    """All footage of a project."""

    days: tuple[FootageSequence, ...]
    states: dict[UUID, ClipState]


def footage_state(project: Project) -> FootageState:
    """Look at all clips and their files; slow where these lie on a slow drive."""
    days = footage_days(project)
    clips = [clip for day in days for clip in day.clips]
    return FootageState(days, {clip.id: _state(project, clip) for clip in clips})


def index_clips(project: Project, progress: Progress = silent) -> tuple[str, ...]:
    """Index what is not indexed yet; return what is wrong with some of the clips.

    Raises:
        Cancelled: Stopped by ``progress``; what is indexed is kept.
    """
    notes: list[str] = []
    for clip in project.all(Clip):
        try:
            found = index_video(project.clip_path(clip), progress, project.cache_folder)
        except UnreadableVideo as error:
            notes.append(str(error))
            continue
        if found.note:
            notes.append(found.note)
    return tuple(notes)


def _state(project: Project, clip: Clip) -> ClipState:
    path = project.clip_path(clip)
    found = indexed_so_far(path, clip.sha256, project.cache_folder)
    is_missing = not path.is_file()
    if found is None:
        return ClipState(is_missing)
    share = 1.0 if found.is_whole else found.indexed_ms / max(1, found.duration_ms)
    return ClipState(is_missing, min(1.0, share), found.note)
