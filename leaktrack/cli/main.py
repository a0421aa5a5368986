"""Run one command: parse, carry out, tell how it went by the exit status."""

import errno
import os
import sys
from collections.abc import Callable, Sequence
from importlib import import_module
from pathlib import Path
from typing import cast

from leaktrack.cli.arguments import parser
from leaktrack.cli.display import NoWindow, check_window_can_open, has_display
from leaktrack.cli.printing import make_output_safe, note
from leaktrack.model.errors import Cancelled, LeakTrackError
from leaktrack.model.units import told_in

DONE = 0
FAILED = 1
WRONG_USAGE = 2
STOPPED = 130  # what shells report for a program that was stopped with Ctrl+C


ShowWindow = Callable[[Path | None], int]
"""Shows the window, on a project if one is given, until it is closed; returns the exit status."""


def main(argv: Sequence[str] | None = None, show_window: ShowWindow | None = None) -> int:
    """Run one command and return its exit status.

    Foreseen failures are told in one message without a traceback; all else is a bug and is raised.

    Args:
        argv: The arguments without the program's name; None: those of the process.
        show_window: Called for ``open``, after a look at whether it could work; None where there
            is no window.
    """
    make_output_safe()
    try:
        status = _run(argv, show_window)
        sys.stdout.flush()
    except LeakTrackError as error:
        note(f"leaktrack: {error}")
        return STOPPED if isinstance(error, Cancelled) else FAILED
    except KeyboardInterrupt:
        note("\nleaktrack: stopped. What was finished until now is kept.")
        return STOPPED
    except BrokenPipeError:
        _drop_output()
        return DONE  # the reader has what it wanted, as in ``leaktrack show | head``
    except OSError as error:
        if error.errno != errno.ENOSPC:
            raise
        _drop_output()
        note(
            "leaktrack: There is no room where this was to be written. What the project holds is "
            "kept. Make room on the disk, then repeat the command."
        )
        return FAILED
    return status


def _run(argv: Sequence[str] | None, show_window: ShowWindow | None) -> int:
    arguments = parser()
    try:
        chosen = arguments.parse_args(argv)
    except SystemExit as leaving:  # argparse has said what it had to say
        return leaving.code if isinstance(leaving.code, int) else WRONG_USAGE
    command = getattr(chosen, "run", None)
    if command is None and not (show_window and has_display()):
        print(arguments.format_help(), end="")
        return DONE
    if command in (None, "window"):
        folder = getattr(chosen, "project", None)
        return _open_window(Path(folder) if folder else None, show_window)
    module, _, function = str(command).partition(":")
    # Each command loads only what it needs: "--version" and usage errors answer at once.
    carry_out = getattr(import_module(f"leaktrack.cli.{module}"), function)
    try:
        with told_in(_users_units()):
            return cast(Callable[[object], int], carry_out)(chosen)
    finally:
        _bound_cache()


def _users_units() -> str:
    """Return the units in which sentences are told; JSON stays metric."""
    from leaktrack import places
    from leaktrack.settings import read_settings

    return read_settings(places.settings_file())[0].units


def _bound_cache() -> None:
    """Keep the cache folder below its bound; a moment's work, and only every few minutes."""
    from leaktrack import places
    from leaktrack.settings import read_settings
    from leaktrack.workflows.bound_cache import bound_cache_if_due

    settings, _ = read_settings(places.settings_file())
    bound_cache_if_due(places.cache_folder(), settings.cache_mb * 1_000_000)


def _open_window(project: Path | None, show_window: ShowWindow | None) -> int:
    check_window_can_open()
    if show_window is None:
        raise NoWindow("The window is not part of this program here. See leaktrack --help.")
    return show_window(project)


def _drop_output() -> None:
    """Send what is still to be flushed nowhere, or Python complains about it when it ends."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, sys.stdout.fileno())
    os.close(nowhere)
