"""Make sure that what was written is on the disk, not only on its way there."""

import os
from pathlib import Path
from typing import IO

HALF_WRITTEN = ".part"
"""Ending of files that are being written; they get their name when they are whole."""


def sync_file(file: IO[bytes]) -> None:
    """Wait until what was written to an open file is on the disk."""
    file.flush()
    os.fsync(file.fileno())


def sync_folder(folder: Path) -> None:
    """Wait until the names in a folder are on the disk."""
    if os.name != "posix":  # elsewhere a folder cannot be opened, and renaming is journalled
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
