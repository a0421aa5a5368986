"""Keep standard output clean of what libraries print from beneath Python."""

import ctypes
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress


@contextmanager
def libraries_on_stderr() -> Iterator[None]:
    """Send what libraries print on standard output to standard error instead.

    The solver prints a line of its own now and then, past all its options: in the midst of a JSON
    document it would make that unreadable.
    """
    try:
        kept = os.dup(1)
    except OSError:  # closed before the program began
        yield
        return
    sys.stdout.flush()
    try:
        os.dup2(2, 1)
        yield
    finally:
        _flush_c()
        os.dup2(kept, 1)
        os.close(kept)


def _flush_c() -> None:
    """Have the C library write out now what it holds back; where it cannot be asked, let it be."""
    with suppress(OSError, AttributeError):
        library = "ucrtbase" if sys.platform == "win32" else None
        ctypes.CDLL(library).fflush(None)
