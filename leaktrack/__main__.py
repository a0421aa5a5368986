"""Start the command line, and hand it the window: neither knows the other."""

import os
import sys
from pathlib import Path

from leaktrack.cli.main import main as run_command


def main() -> int:
    """Run the command that the process was started with; return its exit status."""
    # NumPy's threads gain nothing on tables as small as ours, and on a busy machine they wait for
    # each other: measured thirteen times slower. Must be said before NumPy loads.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    return run_command(None, _show_window)


def _show_window(project: Path | None) -> int:
    # Only here: no other command may load Qt, whose system libraries may be missing.
    from leaktrack.gui.app import run

    return run(project)


if __name__ == "__main__":
    sys.exit(main())
