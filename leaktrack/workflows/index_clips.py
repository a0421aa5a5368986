"""Index all clips of a project, and say how far they are."""

from collections.abc import Sequence
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


def named_progress(project: Project, clips: Sequence[Clip], progress: Progress) -> Progress:
    """Return a progress that calls clips as people do: copied files are named by their hash."""

    def named(done: int, total: int, what: str) -> None:
        progress(done, total, named_words(project, clips, what))

    return named


def named_words(project: Project, clips: Sequence[Clip], words: str) -> str:
    """Return words with the names of clips in place of those of their files."""
    for clip in clips:
        words = words.replace(project.clip_path(clip).name, clip.name)
    return words


def index_clips(project: Project, progress: Progress = silent) -> tuple[str, ...]:
    """Index what is not indexed yet; return what is wrong with some of the clips.

    Raises:
        Cancelled: Stopped by ``progress``; what is indexed is kept.
    """
    notes: list[str] = []
    clips = project.all(Clip)
    progress = named_progress(project, clips, progress)
    for clip in clips:
        try:
            found = index_video(project.clip_path(clip), progress, project.cache_folder)
        except UnreadableVideo as error:
            notes.append(str(error))
            continue
        if found.note:
            notes.append(found.note)
    return tuple(named_words(project, clips, note) for note in notes)


def _state(project: Project, clip: Clip) -> ClipState:
    path = project.clip_path(clip)
    found = indexed_so_far(path, clip.sha256, project.cache_folder)
    is_missing = not path.is_file()
    if found is None:
        return ClipState(is_missing)
    share = 1.0 if found.is_whole else found.indexed_ms / max(1, found.duration_ms)
    return ClipState(is_missing, min(1.0, share), found.note)
