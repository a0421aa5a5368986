"""A project for each test."""

import shutil
from pathlib import Path

import pytest

from leaktrack.workflows.project import open_project
from tests.filled_project import fill
from tests.shared_cache import shared_cache

RESOURCES = Path(__file__).parents[3] / "resources"


@pytest.fixture(scope="session")
def filled_folder(tmp_path_factory, empty_project_folder):
    """A project with a record of each kind, to be copied, and these records."""
    folder = tmp_path_factory.mktemp("filled") / "bench"
    shutil.copytree(empty_project_folder, folder)
    with open_project(folder, folder.parent / "cache", RESOURCES) as project:
        return folder, fill(project)


@pytest.fixture
def project(request, tmp_path, empty_project_folder):
    is_filled = "filled" in request.fixturenames
    template = request.getfixturevalue("filled_folder")[0] if is_filled else empty_project_folder
    shutil.copytree(template, tmp_path / "bench")
    with open_project(tmp_path / "bench", tmp_path / "cache", RESOURCES) as opened:
        yield opened


@pytest.fixture
def shared_features(project, tmp_path_factory):
    """Let tests share what is found in the demo's photos: a second for each, four for a pair."""
    shared_cache(tmp_path_factory, project.cache_folder)


@pytest.fixture
def filled(project, filled_folder):
    """The records that the project holds then."""
    return filled_folder[1]
