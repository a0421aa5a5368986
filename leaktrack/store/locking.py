"""One writer at a time: a lock that the operating system lets go when its program dies."""

import errno
import getpass
import json
import logging
import os
import platform
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import IO

_log = logging.getLogger(__name__)

LOCK_FILE = "leaktrack.lock"
# Windows locks bytes against reading too: lock one far behind the text.
_LOCKED_BYTE = 1 << 20
_TAKEN = (errno.EAGAIN, errno.EACCES, errno.EDEADLK)


@dataclass(frozen=True, slots=True)
class Holder:
    """Who has a project open for writing."""

    user: str
    host: str
    since: datetime

    def in_words(self, now: datetime) -> str:
        """Return who, where and since when, by the local clock; the day only if it is another."""
        since, today = self.since.astimezone(), now.astimezone().date()
        when = f"{since:%H:%M}" if since.date() == today else f"{since:%d %b %H:%M}"
        return f"{self.user} on {self.host}, since {when}"


class WriterLock:
    """The right to write into one project folder.

    Attributes:
        was_left_behind: The last holder died without letting go.
        holder: Who or what keeps us from writing, in words; empty if nothing does.
    """

    def __init__(self, folder: Path) -> None:
        self._path = folder / LOCK_FILE
        self._file: IO[bytes] | None = None
        self.was_left_behind = False
        self.holder = ""

    @property
    def is_held(self) -> bool:
        """Whether this program may write."""
        return self._file is not None

    def take(self) -> bool:
        """Take the lock; False if another program has it or the folder cannot be written to."""
        try:
            # Appending makes the file if need be, but never empties what another one wrote.
            file = self._path.open("a+b", buffering=0)  # what cannot be written must not wait
        except OSError:
            self.holder = self._holder_of_protected_folder()
            return False
        refusal = _lock(file)
        if refusal is not None:
            self.holder = self._in_words(refusal)
            file.close()
            return False
        file.seek(0)
        self.was_left_behind = bool(file.read().strip())
        try:
            _write(file, json.dumps(_own()).encode())
        except OSError as error:  # no room for our name: others cannot tell who it is, that is all
            _log.warning("the lock does not say who holds it: %s", error)
        self._file = file
        return True

    def release(self) -> None:
        """Let go of the lock, if it is held."""
        if self._file is not None:
            _write(self._file, b"")
            self._file.close()
            self._file = None

    def _holder_of_protected_folder(self) -> str:
        """Return who writes where we may not: what the file tells is stale unless it is locked."""
        try:
            with self._path.open("rb") as file:
                refusal = _lock(file)
                if refusal in _TAKEN:
                    return self._in_words(refusal)
        except OSError:
            pass  # no lock file that we may read: nobody to name
        return "the folder cannot be written to"

    def _in_words(self, refusal: int) -> str:
        if refusal not in _TAKEN:
            return "this disk cannot lock files"
        try:
            told = json.loads(self._path.read_bytes())
            holder = Holder(told["user"], told["host"], datetime.fromisoformat(told["since"]))
            return holder.in_words(datetime.now(UTC))
        except (OSError, ValueError, KeyError, TypeError):
            return "another program"  # it is writing its name at this moment


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


def _lock(file: IO[bytes]) -> int | None:
    """Lock an open file; return why not as an error number, or None if it is locked now."""
    try:
        if os.name == "nt":
            import msvcrt  # exists on Windows only

            file.seek(_LOCKED_BYTE)
            msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)  # type: ignore[attr-defined, unused-ignore]
        else:
            import fcntl  # exists on Unix only

            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError as error:
        return error.errno or errno.EACCES
    return None
