"""A project folder with a leaking engine's whole story, copied for each test."""

import io
import json
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from leaktrack import bootstrap
from leaktrack.cli.main import main
from tests.leaking_engine import tell


@pytest.fixture(scope="session")
def told_folder(tmp_path_factory, empty_project_folder):
    folder = tmp_path_factory.mktemp("told") / "bench"
    shutil.copytree(empty_project_folder, folder)
    with bootstrap.open_project(folder) as project:
        tell(project)
    return folder


@pytest.fixture
def bench(tmp_path, told_folder) -> Path:
    """Return the folder of a project that nobody has open."""
    return Path(shutil.copytree(told_folder, tmp_path / "bench"))


@pytest.fixture
def empty_bench(tmp_path, empty_project_folder) -> Path:
    """Return the folder of a project without an engine."""
    return Path(shutil.copytree(empty_project_folder, tmp_path / "empty"))


@pytest.fixture
def json_of(capsys) -> Callable[..., Any]:
    """Run a command with --json and return its document; there must be nothing else."""

    def run(*arguments: str) -> Any:
        capsys.readouterr()  # drop what earlier commands printed
        main([*arguments, "--json"])
        return json.loads(capsys.readouterr().out)

    return run


@pytest.fixture
def photo_folder(tmp_path) -> Path:
    """Return a folder with two photos, one of them twice, and a file that is none."""
    folder = tmp_path / "camera"
    folder.mkdir()
    for name, color in (("a.jpg", "red"), ("b.jpg", "blue"), ("b again.jpg", "blue")):
        file = io.BytesIO()
        Image.new("RGB", (64, 48), color).save(file, "JPEG")
        (folder / name).write_bytes(file.getvalue())
    (folder / "notes.jpg").write_text("not a photo")
    return folder
