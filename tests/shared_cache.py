"""Share what is found in photos between all tests of a run: it takes seconds for each photo."""

import shutil
from pathlib import Path

import pytest

from tests.brought_demo import brought_demo
from tests.built_once import built_once

_SHARED = ("features", "same_points", "alignments")


def shared_cache(factory: pytest.TempPathFactory, folder: Path) -> Path:
    """Make a cache folder of a test's own, but for what all tests of the run share; return it.

    Args:
        factory: Where the run keeps its folders.
        folder: To be made.
    """

    def build(place: Path) -> None:
        brought = brought_demo()
        for name in _SHARED:
            if brought and (brought.cache / name).is_dir():
                shutil.copytree(brought.cache / name, place / name)
            else:
                (place / name).mkdir()

    found = built_once(factory, "found in photos", build)
    folder.mkdir(parents=True)
    for name in _SHARED:
        (folder / name).symlink_to(found / name)
    return folder
