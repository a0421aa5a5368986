"""A project for each test, copied from one that is made once: making one takes half a second."""

import shutil
from pathlib import Path

import pytest

from leaktrack.workflows.project import create_project, open_project
from tests.filled_project import fill

RESOURCES = Path(__file__).parents[3] / "resources"


@pytest.fixture(scope="session")
def empty_project_folder(tmp_path_factory):
    folder = tmp_path_factory.mktemp("template") / "bench"
    create_project(folder, folder.parent / "cache", RESOURCES).close()
    return folder


@pytest.fixture
def project(tmp_path, empty_project_folder):
    shutil.copytree(empty_project_folder, tmp_path / "bench")
    with open_project(tmp_path / "bench", tmp_path / "cache", RESOURCES) as opened:
        yield opened


@pytest.fixture(scope="session")
def features_folder(tmp_path_factory):
    return tmp_path_factory.mktemp("features")


@pytest.fixture
def shared_features(project, features_folder):
    """Let tests share what the networks find in the demo's photos: a second for each photo."""
    project.cache_folder.mkdir(exist_ok=True)
    (project.cache_folder / "features").symlink_to(features_folder)


@pytest.fixture
def filled(project):
    return fill(project)
