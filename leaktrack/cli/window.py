"""The command that opens the window."""

from argparse import Namespace
from pathlib import Path

from leaktrack.cli.display import check_window_can_open


def open_window(args: Namespace) -> int:
    """Open the window."""
    return show_window(Path(args.project) if args.project else None)


def show_window(project: Path | None) -> int:
    """Open the window and return the exit status when it is closed.

    Raises:
        NoWindow: It cannot open on this machine.
    """
    check_window_can_open()
    # Only here: nothing else on the command line may need Qt, and Qt's libraries must be there.
    from leaktrack.gui.app import run

    return run(project)
