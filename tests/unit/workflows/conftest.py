"""A project for each test."""

import shutil
from pathlib import Path

import pytest

from leaktrack.workflows.project import open_project
from tests.filled_project import fill
from tests.shared_cache import shared_cache

RESOURCES = Path(__file__).parents[3] / "resources"


@pytest.fixture
def project(tmp_path, empty_project_folder):
    shutil.copytree(empty_project_folder, tmp_path / "bench")
    with open_project(tmp_path / "bench", tmp_path / "cache", RESOURCES) as opened:
        yield opened


@pytest.fixture
def shared_features(project, tmp_path_factory):
    """Let tests share what is found in the demo's photos: a second for each, four for a pair."""
    shared_cache(tmp_path_factory, project.cache_folder)


@pytest.fixture
def filled(project):
    return fill(project)
