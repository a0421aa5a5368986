"""Photo files by the hash of their content: written whole or not at all, never changed."""

import hashlib
import os
from collections.abc import Iterator
from pathlib import Path
from uuid import uuid4

from leaktrack.model.errors import ProjectError

_CHUNK_BYTES = 1 << 20
_HALF_WRITTEN = ".part"


def sha256_of(source: Path | bytes) -> str:
    """Return the hash of a file or of bytes, as 64 hex digits."""
    digest = hashlib.sha256()
    for chunk in _chunks(source):
        digest.update(chunk)
    return digest.hexdigest()


class PhotoFiles:
    """The files below one folder, named by their content."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def path(self, sha256: str, file_type: str) -> Path:
        """Return where a file with this content is kept, whether it is there or not."""
        return self.folder / sha256[:2] / f"{sha256}.{file_type}"

    def put(self, source: Path | bytes, file_type: str) -> str:
        """Keep a file and return its hash. One that is there already is left alone.

        Raises:
            ProjectError: The disk is full or cannot be written to; nothing half-written stays.
        """
        sha256 = sha256_of(source)
        target = self.path(sha256, file_type)
        if target.exists():
            return sha256
        try:
            target.parent.mkdir(parents=True, exist_ok=True)
            _write_whole(source, target)
        except OSError as error:
            raise ProjectError(
                f"A file could not be kept in {self.folder.name}: {error.strerror}. What was there "
                "before is unchanged. Make room on the disk, then add the file again."
            ) from error
        return sha256

    def remove_half_written(self) -> None:
        """Delete what a killed program left in the middle of writing."""
        for path in self.folder.glob(f"*/*{_HALF_WRITTEN}"):
            path.unlink(missing_ok=True)

    def all_paths(self) -> Iterator[Path]:
        """Yield every file that is kept."""
        for path in sorted(self.folder.glob("*/*")):
            if path.is_file() and path.suffix != _HALF_WRITTEN:
                yield path


def _chunks(source: Path | bytes) -> Iterator[bytes]:
    if isinstance(source, bytes):
        yield source
        return
    with source.open("rb") as file:
        while chunk := file.read(_CHUNK_BYTES):
            yield chunk


def _write_whole(source: Path | bytes, target: Path) -> None:
    """Write to another name, make sure it is on the disk, then give it its name."""
    half = target.with_name(f"{uuid4().hex}{_HALF_WRITTEN}")
    try:
        with half.open("xb") as file:
            for chunk in _chunks(source):
                file.write(chunk)
            file.flush()
            os.fsync(file.fileno())
        half.replace(target)
    finally:
        half.unlink(missing_ok=True)
    _sync_folder(target.parent)


def _sync_folder(folder: Path) -> None:
    if os.name != "posix":  # elsewhere a folder cannot be opened, and renaming is journalled
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
