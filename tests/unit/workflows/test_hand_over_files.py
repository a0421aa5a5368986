"""Files that are handed over stand whole, or what was there stays."""

import errno
import os
from pathlib import Path

import pytest

from leaktrack.model.errors import BadInput
from leaktrack.model.wet_search import WetSearch
from leaktrack.workflows.keep_cache import write_for_others
from leaktrack.workflows.write_wet_mask import write_wet_mask


class FullFile:
    """An open file on a disk that has just become full."""

    def __init__(self, file):
        self._file = file

    def __enter__(self):
        return self

    def __exit__(self, *_why):
        self._file.close()

    def write(self, _content):
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))


def test_a_full_disk_leaves_the_file_that_was_there(tmp_path, monkeypatch):
    file = tmp_path / "tasks.csv"
    file.write_text("of last week")
    really_open = os.fdopen
    monkeypatch.setattr(os, "fdopen", lambda *how: FullFile(really_open(*how)))

    with pytest.raises(OSError, match="No space"):
        write_for_others(file, b"of today")

    assert file.read_text() == "of last week"
    assert list(tmp_path.iterdir()) == [file]


def test_what_is_handed_over_may_be_read_by_others(tmp_path):
    file = tmp_path / "tasks.csv"

    write_for_others(file, b"of today")

    assert file.read_bytes() == b"of today"
    assert file.stat().st_mode & 0o444 == 0o444


def test_no_half_mask_is_left_where_the_disk_is_full(tmp_path, monkeypatch):
    really_open = Path.open
    monkeypatch.setattr(Path, "open", lambda *how: FullFile(really_open(*how)))

    with pytest.raises(BadInput, match=r"No space left on device\. Nothing was kept of it"):
        write_wet_mask(tmp_path / "wet.png", WetSearch("aligned", (), (), None), (64, 48))

    assert list(tmp_path.iterdir()) == []


def test_a_write_protected_place_for_a_mask_is_told(tmp_path, monkeypatch):
    def refuse(*_how):
        raise OSError(errno.EROFS, os.strerror(errno.EROFS))

    monkeypatch.setattr(Path, "open", refuse)

    with pytest.raises(BadInput, match="Read-only file system"):
        write_wet_mask(tmp_path / "wet.png", WetSearch("aligned", (), (), None), (64, 48))
