"""Keep what can be computed again in the cache folder; a bad cache only costs time."""

import os
import tempfile
import time
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import TypeVar

T = TypeVar("T")

_NOTED_EVERY_S = 300.0  # writing to the disk at each use would cost more than it tells


def cached(
    file: Path,
    decode: Callable[[bytes], T | None],
    encode: Callable[[T], bytes],
    make: Callable[[], T],
) -> T:
    """Return what a cache file holds; make it, and keep it, where the file is missing or damaged.

    Args:
        file: The cache file; its name must change with everything that the content depends on.
        decode: From the file's bytes; None where they are damaged.
        encode: To the file's bytes.
        make: Computes the content.
    """
    with suppress(OSError):
        kept = decode(file.read_bytes())
        if kept is not None:
            note_use(file)
            return kept
    made = make()
    with suppress(OSError):
        write_whole(file, encode(made))
    return made


def note_use(file: Path) -> None:
    """Note that a cache file was used: what was not used for longest is removed first.

    By the time of its last change, for many disks do not note when a file is read.
    """
    with suppress(OSError):
        if time.time() - file.stat().st_mtime > _NOTED_EVERY_S:
            os.utime(file)


def write_whole(file: Path, content: bytes) -> None:
    """Write a file under a temporary name and rename it: nobody ever reads half of it."""
    file.parent.mkdir(parents=True, exist_ok=True)
    _replace(file, content)


def _replace(file: Path, content: bytes) -> None:
    handle, temporary = tempfile.mkstemp(dir=file.parent, prefix=".new-")
    try:
        with os.fdopen(handle, "wb") as out:
            out.write(content)
        Path(temporary).replace(file)
    except OSError:
        Path(temporary).unlink(missing_ok=True)
        raise


def write_for_others(file: Path, content: bytes) -> None:
    """Write a file that is handed over: whole, or what was there stays; others may read it.

    Raises:
        OSError: It cannot be written there, or there is no room.
    """
    _replace(file, content)
    file.chmod(0o644)  # a temporary file lets nobody else read it
