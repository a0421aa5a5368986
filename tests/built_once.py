"""Build what takes long once for a whole test run, also where several processes share the tests."""

from collections.abc import Callable
from pathlib import Path

import pytest
from filelock import FileLock


def built_once(factory: pytest.TempPathFactory, name: str, build: Callable[[Path], None]) -> Path:
    """Return a new folder that ``build`` has filled; the first process to ask fills it.

    Args:
        factory: Where the run keeps its folders; that of a process lies within that of the run.
        name: Of the folder.
        build: Fills the folder, which is empty.
    """
    own = factory.getbasetemp()
    shared = own.parent if own.name.startswith("popen-") else own
    folder, done = shared / name, shared / f"{name} is built"
    if done.exists():
        return folder
    with FileLock(shared / f"{name}.lock"):
        if not done.exists():
            folder.mkdir()
            build(folder)
            done.touch()
    return folder
