"""Disks that fail, as real as one program can make them."""

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from leaktrack.store import migrating

resource = pytest.importorskip("resource", reason="only Unix limits the size of files")
NOBODY = 65534


@contextmanager
def almost_full_disk(room_bytes: int) -> Iterator[None]:
    """Let no file grow beyond this size, as on a disk that runs full."""
    usual, most = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (room_bytes, most))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (usual, most))


@contextmanager
def write_protected(folder: Path) -> Iterator[None]:
    """Take away the right to write into a folder tree, also from the administrator."""
    everything = [folder, *folder.rglob("*")]
    modes = [path.stat().st_mode for path in everything]
    for path in everything:
        path.chmod(0o555 if path.is_dir() else 0o444)
    is_root = os.geteuid() == 0
    if is_root:
        os.seteuid(NOBODY)
    try:
        if not os.access(migrating.MIGRATIONS, os.R_OK, effective_ids=True):
            pytest.skip("the program's own files are not readable for others")
        yield
    finally:
        if is_root:
            os.seteuid(0)
        for path, mode in zip(everything, modes, strict=True):
            path.chmod(mode)
