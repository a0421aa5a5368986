"""What all tests share: no screen, folders of their own, no unexpected warnings in the log."""

import logging
import os
import random
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from tempfile import mkdtemp

import numpy as np
import pytest

from leaktrack.model.units import METRIC, told_in
from leaktrack.places import resource
from leaktrack.workflows import check_input
from leaktrack.workflows.project import create_project
from tests.shared_cache import shared_cache

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

GUI_FOLDERS = {"gui"}


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    for item in items:
        if GUI_FOLDERS & set(item.path.parts):
            item.add_marker(pytest.mark.gui)


@pytest.fixture(autouse=True)
def own_folders(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Keep settings, cache and log out of the user's folders."""
    # pytest's own way counts the folders that are there, of which there are thousands.
    folder = Path(mkdtemp(prefix="own", dir=tmp_path_factory.getbasetemp()))
    cache = shared_cache(tmp_path_factory, folder / "cache")
    monkeypatch.setenv("LEAKTRACK_CACHE", str(cache))
    monkeypatch.setenv("LEAKTRACK_CONFIG", str(folder / "config"))
    return folder


@pytest.fixture(scope="session")
def empty_project_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An empty project to be copied: making one takes a quarter of a second."""
    folder = tmp_path_factory.mktemp("template") / "bench"
    create_project(folder, folder.parent / "cache", resource()).close()
    return folder


@pytest.fixture(autouse=True)
def same_start() -> Iterator[None]:
    """One seed; sentences in metric units, whatever a window of an earlier test chose."""
    random.seed(20260307)
    np.random.seed(20260307)
    with told_in(METRIC):
        yield


@pytest.fixture(autouse=True)
def stories_have_happened(monkeypatch: pytest.MonkeyPatch) -> None:
    """Tests tell of 2026: on a computer whose clock is behind, that would still be to come."""
    told = max(datetime.now(UTC), datetime(2026, 12, 31, tzinfo=UTC))
    monkeypatch.setattr(check_input, "this_moment", lambda: told)


@pytest.fixture(autouse=True)
def fail_on_log_warnings(caplog: pytest.LogCaptureFixture) -> Iterator[None]:
    """Fail a test that lets leaktrack log a warning; one that means to clears ``caplog``."""
    yield
    said = [
        record.getMessage()
        for record in caplog.get_records("call")
        if record.levelno >= logging.WARNING and record.name.startswith("leaktrack")
    ]
    assert said == []
