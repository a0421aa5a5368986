import errno
import os
import subprocess
from pathlib import Path

import pytest

from leaktrack.model.errors import ProjectError
from leaktrack.store.photo_files import PhotoFiles, sha256_of

# NIST, "Secure Hash Standard: example values", SHA-256 of the three bytes "abc".
ABC = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"

OPEN_FILES = Path("/proc/self/fd")


@pytest.fixture
def files(tmp_path: Path) -> PhotoFiles:
    return PhotoFiles(tmp_path / "photos")


def _names(files: PhotoFiles) -> list[str]:
    return sorted(path.name for path in files.folder.rglob("*") if path.is_file())


def test_a_file_is_kept_under_its_hash(files):
    sha256 = files.put(b"abc", "jpg")

    assert sha256 == ABC
    assert (files.folder / "ba" / f"{ABC}.jpg").read_bytes() == b"abc"


@pytest.mark.parametrize("size", [0, 1, 1 << 20, (1 << 20) + 1, 5_000_000])
def test_the_hash_is_what_sha256sum_says(files, tmp_path, size):
    """Source: sha256sum of GNU coreutils."""
    source = tmp_path / "photo.jpg"
    source.write_bytes(os.urandom(size))
    told = subprocess.run(["sha256sum", source], capture_output=True, text=True, check=True)

    assert files.put(source, "jpg") == told.stdout.split()[0]


def test_a_file_given_as_bytes_and_one_given_by_path_are_the_same(files, tmp_path):
    (tmp_path / "photo.jpg").write_bytes(b"abc")

    assert sha256_of(tmp_path / "photo.jpg") == sha256_of(b"abc")


def test_a_file_that_is_there_already_is_not_written_again(files):
    files.put(b"abc", "jpg")
    before = files.path(ABC, "jpg").stat()

    files.put(b"abc", "jpg")

    after = files.path(ABC, "jpg").stat()
    assert (after.st_ino, after.st_mtime_ns) == (before.st_ino, before.st_mtime_ns)


def test_a_damaged_file_is_mended_by_adding_the_good_one_again(files):
    files.put(b"abc", "jpg")
    files.path(ABC, "jpg").write_bytes(b"ab")

    files.put(b"abc", "jpg")

    assert files.is_whole(ABC, "jpg")


def test_the_original_is_left_where_it_is(files, tmp_path):
    source = tmp_path / "photo.jpg"
    source.write_bytes(b"abc")

    files.put(source, "jpg")

    assert source.read_bytes() == b"abc"


def test_a_file_that_is_not_there_is_not_whole(files):
    assert not files.is_whole(ABC, "jpg")


def test_half_written_files_are_swept_and_others_stay(files):
    files.put(b"abc", "jpg")
    (files.folder / "0123.part").write_bytes(b"a")

    files.remove_half_written()

    assert _names(files) == [f"{ABC}.jpg"]


def test_all_files_are_listed_by_name(files):
    kept = sorted(files.put(content, "jpg") for content in (b"a", b"b", b"c"))

    assert [path.stem for path in files.all_paths()] == kept


def test_a_full_disk_is_told_in_one_sentence_and_leaves_nothing_behind(files, monkeypatch):
    def full(_handle: int) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)

    with pytest.raises(ProjectError, match=r"No space left on device\. What was there before"):
        files.put(b"abc", "jpg")

    assert _names(files) == []


def test_a_source_that_vanishes_is_told_in_one_sentence(files, tmp_path):
    with pytest.raises(ProjectError, match="No such file"):
        files.put(tmp_path / "gone.jpg", "jpg")


def test_a_file_that_changes_while_it_is_copied_is_kept_under_what_was_copied(
    files, tmp_path, monkeypatch
):
    source = tmp_path / "growing.jpg"
    source.write_bytes(b"ab")

    def meanwhile(_sha256: str, _file_type: str) -> bool:
        source.write_bytes(b"abc")
        return False

    monkeypatch.setattr(files, "is_whole", meanwhile)

    assert files.put(source, "jpg") == ABC
    assert sha256_of(files.path(ABC, "jpg")) == ABC


@pytest.mark.skipif(not OPEN_FILES.is_dir(), reason="nobody tells which file is meant")
def test_file_and_folders_are_on_the_disk_before_the_hash_is_given_out(files, monkeypatch):
    synced: list[str] = []

    def note(handle: int) -> None:
        synced.append((OPEN_FILES / str(handle)).readlink().name)

    monkeypatch.setattr(os, "fsync", note)

    files.put(b"abc", "jpg")

    assert synced[0].endswith(".part")
    assert synced[1:] == ["ba", "photos"]
