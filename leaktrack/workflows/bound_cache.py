"""Keep the cache folder below a bound: what was not used for longest goes first.

What took minutes to compute counts as used later than it was, so it outlives what takes a moment.
A file that was used just now stays, whatever the bound. Who reads a file meanwhile gets the whole
of it, or finds none and computes it again; a file that cannot be removed stays.
"""

import os
import time
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

USUAL_BYTES = 2_000_000_000
"""About four thousand photos with their points; own judgement."""

_DAY_S = 86_400.0
_LONGER_S = {
    "thumbs": 0.0,
    "features": 7 * _DAY_S,
    "same_points": 30 * _DAY_S,
    "alignments": 30 * _DAY_S,
}
"""By folder, how much longer its files are kept than what takes a tenth of a second: points take a
second a photo, laying two photos over each other several. Own judgement."""

_DEAR_S = 180 * _DAY_S
"""The same of any other folder: what is not known here may have cost minutes, as footage."""

_IN_USE_S = 600.0
"""What was used within this time stays: somebody may be about to use it again."""

_HALF_WRITTEN_S = _DAY_S
"""A temporary file so old was left behind by a program that was killed."""

_LOWER = 0.9
"""Down to this share of the bound, so that not every new file starts the search again."""

_AGAIN_S = 600.0
_MARK = ".bounded"
_KEPT_FOLDERS = ("icons",)  # a few kB, and the window may be drawing with them
_TEMPORARY = ".new-"


@dataclass(frozen=True, slots=True)
class _CacheFile:
    path: str
    size: int
    used_at: float
    kind: str

    @property
    def kept_as_of(self) -> float:
        return self.used_at + _LONGER_S.get(self.kind, _DEAR_S)


def cache_bytes(folder: Path) -> int:
    """Return the size of all that can be computed again; 0 where there is no such folder."""
    return sum(file.size for file in _files(folder))


def bound_cache(folder: Path, most_bytes: int = USUAL_BYTES, now: float | None = None) -> int:
    """Remove what was not used for longest until the rest is well below the bound.

    Args:
        folder: The cache folder.
        most_bytes: The bound.
        now: Seconds since 1970; None: by the clock.

    Returns:
        How many bytes were removed.
    """
    now = time.time() if now is None else now
    files = list(_files(folder))
    left = [one for one in files if not (_is_left_behind(one, now) and _removed(one))]
    gone = sum(one.size for one in files) - sum(one.size for one in left)
    size = sum(one.size for one in left)
    if size <= most_bytes:
        return gone
    for file in sorted(left, key=lambda one: one.kept_as_of):
        if size <= most_bytes * _LOWER:
            break
        if now - file.used_at > _IN_USE_S and _removed(file):
            size -= file.size
            gone += file.size
    return gone


def bound_cache_if_due(folder: Path, most_bytes: int = USUAL_BYTES) -> int:
    """Bound the cache unless that was done a few minutes ago, by this program or another one."""
    mark = folder / _MARK
    with suppress(OSError):
        if 0 <= time.time() - mark.stat().st_mtime < _AGAIN_S:
            return 0
    with suppress(OSError):
        if not folder.is_dir():
            return 0
        mark.touch()
    return bound_cache(folder, most_bytes)


def clear_cache(folder: Path) -> int:
    """Remove all that can be computed again; what is being written this moment stays.

    Returns:
        How many bytes were removed.
    """
    now = time.time()
    return sum(
        file.size
        for file in list(_files(folder))
        if (_is_left_behind(file, now) or not _is_temporary(file)) and _removed(file)
    )


def _files(folder: Path) -> Iterator[_CacheFile]:
    """Return the files below the cache's folders; what lies beside them, as the log, is none."""
    for kind in _entries(folder):
        if kind.name not in _KEPT_FOLDERS and kind.is_dir(follow_symlinks=False):
            yield from _below(kind.path, kind.name)


def _below(folder: str | Path, kind: str) -> Iterator[_CacheFile]:
    for entry in _entries(folder):
        if entry.is_dir(follow_symlinks=False):
            yield from _below(entry.path, kind)
            continue
        with suppress(OSError):  # gone meanwhile
            facts = entry.stat(follow_symlinks=False)
            yield _CacheFile(entry.path, facts.st_size, facts.st_mtime, kind)


def _entries(folder: str | Path) -> list["os.DirEntry[str]"]:
    with suppress(OSError), os.scandir(folder) as entries:
        return list(entries)
    return []


def _is_temporary(file: _CacheFile) -> bool:
    return Path(file.path).name.startswith(_TEMPORARY)


def _is_left_behind(file: _CacheFile, now: float) -> bool:
    return _is_temporary(file) and now - file.used_at > _HALF_WRITTEN_S


def _removed(file: _CacheFile) -> bool:
    """Remove a file; whether it is gone now. One that is held open elsewhere may stay."""
    try:
        Path(file.path).unlink()
    except FileNotFoundError:
        return True
    except OSError:
        return False
    return True
