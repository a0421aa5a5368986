"""Run one command: parse, carry out, tell how it went by the exit status."""

import os
import sys
from collections.abc import Callable, Sequence
from importlib import import_module
from typing import cast

from leaktrack.cli.arguments import parser
from leaktrack.cli.printing import make_output_safe, note
from leaktrack.model.errors import LeakTrackError

DONE = 0
FAILED = 1
WRONG_USAGE = 2
STOPPED = 130  # what shells report for a program that was stopped with Ctrl+C


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command and return its exit status.

    Foreseen failures are told in one message without a traceback; all else is a bug and is raised.

    Args:
        argv: The arguments without the program's name; None: those of the process.
    """
    make_output_safe()
    try:
        status = _run(argv)
        sys.stdout.flush()
    except LeakTrackError as error:
        note(f"leaktrack: {error}")
        return FAILED
    except KeyboardInterrupt:
        note("\nleaktrack: stopped. What was finished until now is kept.")
        return STOPPED
    except BrokenPipeError:
        _drop_output()
        return DONE  # the reader has what it wanted, as in ``leaktrack show | head``
    return status


def _run(argv: Sequence[str] | None) -> int:
    arguments = parser()
    try:
        chosen = arguments.parse_args(argv)
    except SystemExit as leaving:  # argparse has said what it had to say
        return leaving.code if isinstance(leaving.code, int) else WRONG_USAGE
    run = getattr(chosen, "run", None)
    if run is None:
        return _without_command(arguments.format_help())
    module, _, function = run.partition(":")
    # Each command loads only what it needs: "--version" and usage errors answer at once.
    command = getattr(import_module(f"leaktrack.cli.{module}"), function)
    return cast(Callable[[object], int], command)(chosen)


def _without_command(usage: str) -> int:
    from leaktrack.cli.display import has_display
    from leaktrack.cli.window import show_window

    if has_display():
        return show_window(None)
    print(usage, end="")
    return DONE


def _drop_output() -> None:
    """Send what is still to be flushed nowhere, or Python complains about it when it ends."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, sys.stdout.fileno())
    os.close(nowhere)
