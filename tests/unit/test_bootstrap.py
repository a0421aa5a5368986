import logging
from collections.abc import Iterator

import pytest

from leaktrack import bootstrap, places


@pytest.fixture
def log() -> Iterator[logging.Logger]:
    """The program's log, put back as it was."""
    log = logging.getLogger("leaktrack")
    handlers, level = list(log.handlers), log.level
    yield log
    for handler in set(log.handlers) - set(handlers):
        log.removeHandler(handler)
        handler.close()
    log.setLevel(level)


def test_a_project_is_made_and_opened_with_the_program_s_own_folders(tmp_path):
    bootstrap.create_project(tmp_path / "bench").close()

    with bootstrap.open_project(tmp_path / "bench") as project:
        assert project.name == "bench"
        assert project.cache_folder == places.cache_folder()
        assert project.resources_folder == places.resource()


def test_what_is_logged_is_in_the_log_file(log):
    bootstrap.configure_logging()

    log.info("aligned photo %s", "a.jpg")

    assert "INFO leaktrack: aligned photo a.jpg" in places.log_file().read_text()


def test_configuring_twice_logs_each_line_once(log):
    bootstrap.configure_logging()
    bootstrap.configure_logging()

    log.info("once")

    assert places.log_file().read_text().count("once") == 1


def test_without_a_place_for_the_log_the_program_runs_all_the_same(log, tmp_path, monkeypatch):
    (tmp_path / "file").write_text("a file where a folder should be")
    monkeypatch.setenv("LEAKTRACK_CACHE", str(tmp_path / "file"))

    bootstrap.configure_logging()

    log.info("unheard")
    assert [type(handler) for handler in log.handlers] == [logging.NullHandler]
