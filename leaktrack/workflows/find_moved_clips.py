"""Find video files that were moved or renamed, by their content."""

import os
from collections.abc import Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from pathlib import Path
from uuid import UUID

from leaktrack.model.photo import Clip
from leaktrack.model.record import Edit
from leaktrack.workflows.clips import amend_clip, sha256_of
from leaktrack.workflows.project import Progress, Project, silent


@dataclass(frozen=True, slots=True)
class MovedClips:
    """What a search for missing files came to.

    Attributes:
        edit: Puts the new places into the records; empty where nothing was found.
        found: Where each file is now.
        missing: Clips whose file was not found.
    """

    edit: Edit
    found: dict[UUID, Path]
    missing: tuple[Clip, ...]


def missing_clips(project: Project) -> tuple[Clip, ...]:
    """Return the clips whose file is not where the records say."""
    return tuple(clip for clip in project.all(Clip) if not project.clip_path(clip).is_file())


def find_moved_clips(
    project: Project, folder: Path | None = None, progress: Progress = silent
) -> MovedClips:
    """Look for missing files: first by size, then by the hash of all bytes.

    Args:
        project: The open project.
        folder: Where to look, with all folders below; None: in the folder of each old place.
        progress: Called often; may raise Cancelled, which changes nothing.

    Raises:
        Cancelled: Stopped by ``progress``.
        ReadOnlyProject: It is open for looking only.
    """
    project.refuse_read_only()
    wanted = missing_clips(project)
    found: dict[UUID, Path] = {}
    for path in _candidates(project, wanted, folder, progress):
        found |= _same_content(path, [clip for clip in wanted if clip.id not in found], progress)
        if len(found) == len(wanted):
            break
    edit = Edit(())
    for clip in wanted:
        if clip.id in found:
            after = replace(clip, path=_kept_path(project, found[clip.id]))
            edit = edit.then(amend_clip(clip, after))
    return MovedClips(edit, found, tuple(clip for clip in wanted if clip.id not in found))


def _same_content(path: Path, clips: Sequence[Clip], progress: Progress) -> dict[UUID, Path]:
    size_bytes = _size(path)
    as_long = [clip for clip in clips if clip.size_bytes == size_bytes]
    sha256 = _hash(path, progress) if as_long else ""
    return {clip.id: path for clip in as_long if clip.sha256 == sha256}


def _candidates(
    project: Project, clips: Sequence[Clip], folder: Path | None, progress: Progress
) -> Iterator[Path]:
    if folder is not None:
        for top, folders, names in os.walk(folder):
            progress(0, 0, Path(top).name)
            folders.sort()
            yield from (Path(top, name) for name in sorted(names))
        return
    for parent in dict.fromkeys(project.clip_path(clip).parent for clip in clips):
        progress(0, 0, parent.name)
        with suppress(OSError):
            yield from sorted(parent.iterdir())


def _size(path: Path) -> int:
    try:
        return path.stat().st_size if path.is_file() else -1
    except OSError:
        return -1


def _hash(path: Path, progress: Progress) -> str:
    try:
        return sha256_of(path, progress)
    except OSError:
        return ""  # another file may be the one


def _kept_path(project: Project, path: Path) -> str:
    whole = path.absolute()
    folder = project.folder.absolute()
    return (whole.relative_to(folder) if whole.is_relative_to(folder) else whole).as_posix()
