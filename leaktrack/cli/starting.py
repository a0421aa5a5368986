"""The command that makes a new project."""

from argparse import Namespace
from pathlib import Path

from leaktrack import bootstrap
from leaktrack.cli.printing import say
from leaktrack.model.record import Edit
from leaktrack.workflows.set_up_engine import new_engine


def new(args: Namespace) -> int:
    """Make a new project, with an engine in it if one is named."""
    bootstrap.configure_logging()
    # First, so that a name that cannot be leaves no project without an engine behind.
    edit = Edit(()) if args.engine is None else new_engine(args.engine)[1]
    with bootstrap.create_project(Path(args.folder)) as project:
        project.apply(edit)
    say(f"Made a new project: {args.folder}")
    say(f"Set up its zones and joints in the window: leaktrack open {args.folder}")
    return 0
