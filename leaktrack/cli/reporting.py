"""The command that writes the report."""

from argparse import Namespace
from pathlib import Path

from leaktrack import places
from leaktrack.cli import choosing
from leaktrack.cli.printing import ProgressLine, note, say_json
from leaktrack.settings import read_settings
from leaktrack.workflows.write_report import write_report


def report(args: Namespace) -> int:
    """Write page and PDF, and print where they are."""
    settings, complaints = read_settings(places.settings_file())
    for complaint in complaints:
        note(complaint)
    with choosing.opened(args.project) as project:
        engine = choosing.engine(project, args.engine)
        with ProgressLine("Writing the report") as progress:
            written = write_report(
                project,
                engine.id,
                Path(args.out) if args.out else None,
                args.paper or settings.paper,
                progress,
                limits=settings.grade_limits,
                units=settings.units,
            )
    if written.not_shown:
        note(
            f"{written.not_shown} photos or stills could not be opened; the report names them. "
            f"leaktrack check {args.project} says which files are missing or damaged."
        )
    if args.json:
        say_json({"html": str(written.html), "pdf": str(written.pdf)})
    else:
        # Paths stand alone on their lines, unwrapped: they are there to be copied.
        print(f"Report: {written.html}")
        print(f"        {written.pdf}")
    return 0
