"""One writer at a time: a lock that the operating system lets go when its program dies."""

import getpass
import json
import os
import platform
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import IO

LOCK_FILE = "leaktrack.lock"
# Windows locks bytes against reading too: lock one far behind the text.
_LOCKED_BYTE = 1 << 20


@dataclass(frozen=True, slots=True)
class Holder:
    """Who has a project open for writing."""

    user: str
    host: str
    pid: int
    since: datetime

    def __str__(self) -> str:
        return f"{self.user} on {self.host}, since {self.since.astimezone():%d %b %H:%M}"


class WriterLock:
    """The right to write into one project folder."""

    def __init__(self, folder: Path) -> None:
        self._path = folder / LOCK_FILE
        self._file: IO[bytes] | None = None
        self.was_left_behind = False

    @property
    def is_held(self) -> bool:
        """Whether this program may write."""
        return self._file is not None

    def take(self) -> bool:
        """Take the lock; False if another program has it or the folder cannot be written to.

        Afterwards ``was_left_behind`` says whether the last holder died without letting go.
        """
        try:
            file = self._path.open("r+b" if self._path.exists() else "w+b")
        except OSError:
            return False
        if not _lock(file):
            file.close()
            return False
        self.was_left_behind = bool(file.read().strip())
        _write(file, json.dumps(_own()).encode())
        self._file = file
        return True

    def holder(self) -> Holder | None:
        """Return who has the lock, as far as the file tells."""
        try:
            told = json.loads(self._path.read_bytes())
            since = datetime.fromisoformat(told["since"])
            return Holder(told["user"], told["host"], told["pid"], since)
        except (OSError, ValueError, KeyError, TypeError):
            return None

    def release(self) -> None:
        """Let go of the lock, if it is held."""
        if self._file is not None:
            _write(self._file, b"")
            self._file.close()
            self._file = None


def _own() -> dict[str, str | int]:
    try:
        user = getpass.getuser()
    except (OSError, KeyError):  # no entry for this user, as in some containers
        user = "somebody"
    return {
        "user": user,
        "host": platform.node() or "this computer",
        "pid": os.getpid(),
        "since": datetime.now(UTC).isoformat(timespec="seconds"),
    }


def _write(file: IO[bytes], content: bytes) -> None:
    file.seek(0)
    file.truncate()
    file.write(content)
    file.flush()


def _lock(file: IO[bytes]) -> bool:
    try:
        if os.name == "nt":
            import msvcrt  # exists on Windows only

            file.seek(_LOCKED_BYTE)
            msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)  # type: ignore[attr-defined, unused-ignore]
            file.seek(0)
        else:
            import fcntl  # exists on Unix only

            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        return False
    return True
