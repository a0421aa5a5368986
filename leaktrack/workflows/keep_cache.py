"""Keep what can be computed again in the cache folder; a bad cache only costs time."""

import os
import tempfile
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import TypeVar

T = TypeVar("T")


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
            return kept
    made = make()
    with suppress(OSError):
        write_whole(file, encode(made))
    return made


def write_whole(file: Path, content: bytes) -> None:
    """Write a file under a temporary name and rename it: nobody ever reads half of it."""
    file.parent.mkdir(parents=True, exist_ok=True)
    handle, temporary = tempfile.mkstemp(dir=file.parent, prefix=".new-")
    try:
        with os.fdopen(handle, "wb") as out:
            out.write(content)
        Path(temporary).replace(file)
    except OSError:
        Path(temporary).unlink(missing_ok=True)
        raise
