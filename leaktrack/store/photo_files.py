"""Photo files by the hash of their content: written whole or not at all, never changed."""

import hashlib
from collections.abc import Iterator
from pathlib import Path
from uuid import uuid4

from leaktrack.model.errors import ProjectError
from leaktrack.store.durable import HALF_WRITTEN, sync_file, sync_folder

_CHUNK_BYTES = 1 << 20


def sha256_of(source: Path | bytes) -> str:
    """Return the hash of a file or of bytes, as 64 hex digits.

    Raises:
        OSError: The file cannot be read.
    """
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

        A file that is there but damaged is replaced by this good one.

        Raises:
            ProjectError: The disk is full or cannot be written to; nothing half-written stays.
        """
        try:
            sha256 = sha256_of(source)
            if self.is_whole(sha256, file_type):
                return sha256
            return self._write(source, file_type)
        except OSError as error:
            raise ProjectError(
                f"A file could not be kept in {self.folder.name}: {error.strerror}. What was there "
                "before is unchanged. Make room on the disk, then add the file again."
            ) from error

    def is_whole(self, sha256: str, file_type: str) -> bool:
        """Return whether a file with this content is there and has not changed.

        Raises:
            OSError: It is there but cannot be read.
        """
        try:
            return sha256_of(self.path(sha256, file_type)) == sha256
        except FileNotFoundError:
            return False

    def remove_half_written(self) -> None:
        """Delete what a killed program left in the middle of writing."""
        for path in self.folder.glob(f"*{HALF_WRITTEN}"):
            path.unlink(missing_ok=True)

    def all_paths(self) -> Iterator[Path]:
        """Yield every file that is kept."""
        for path in sorted(self.folder.glob("*/*")):
            if path.is_file():
                yield path

    def _write(self, source: Path | bytes, file_type: str) -> str:
        """Write to another name, make sure it is on the disk, then name it by what was written."""
        self.folder.mkdir(exist_ok=True)
        half = self.folder / f"{uuid4().hex}{HALF_WRITTEN}"
        digest = hashlib.sha256()
        try:
            with half.open("xb") as file:
                for chunk in _chunks(source):
                    digest.update(chunk)
                    file.write(chunk)
                sync_file(file)
            target = self.path(digest.hexdigest(), file_type)
            target.parent.mkdir(exist_ok=True)
            half.replace(target)
        finally:
            half.unlink(missing_ok=True)
        sync_folder(target.parent)
        sync_folder(self.folder)
        return digest.hexdigest()


def _chunks(source: Path | bytes) -> Iterator[bytes]:
    if isinstance(source, bytes):
        yield source
        return
    with source.open("rb") as file:
        while chunk := file.read(_CHUNK_BYTES):
            yield chunk
