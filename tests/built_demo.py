"""The demo engine's project, built once for a whole test run: copy it, do not open it."""

import shutil
from pathlib import Path

import pytest

from leaktrack.bootstrap import create_project
from leaktrack.places import demo_source
from leaktrack.workflows.run_demo import build_demo
from tests.brought_demo import brought_demo
from tests.built_once import built_once
from tests.shared_cache import shared_cache


def built_demo(factory: pytest.TempPathFactory) -> Path:
    """Return the folder of the demo engine's project, built by the first process to ask."""

    def build(place: Path) -> None:
        made = place / "demo engine"
        if brought := brought_demo():  # as it was before its report was written
            shutil.copytree(brought.folder, made, ignore=shutil.ignore_patterns("report"))
            return
        with pytest.MonkeyPatch.context() as patch:
            patch.setenv("LEAKTRACK_CACHE", str(shared_cache(factory, place / "cache")))
            with create_project(made) as project:
                build_demo(project, demo_source())

    return built_once(factory, "demo", build) / "demo engine"
