"""The command that makes a new project."""

from argparse import Namespace
from pathlib import Path

from leaktrack import bootstrap
from leaktrack.cli.printing import say
from leaktrack.workflows.set_up_engine import new_engine


def new(args: Namespace) -> int:
    """Make a new project, with an engine in it if one is named."""
    bootstrap.configure_logging()
    with bootstrap.create_project(Path(args.folder)) as project:
        if args.engine:
            _, edit = new_engine(args.engine)
            project.apply(edit)
    say(f"Made a new project in {args.folder}.")
    say(f"Set up its zones and joints in the window: leaktrack open {args.folder}")
    return 0
