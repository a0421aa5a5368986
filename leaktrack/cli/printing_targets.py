"""The command that makes a page of targets to print."""

from argparse import Namespace
from pathlib import Path

from leaktrack import bootstrap, places
from leaktrack.cli.printing import note, say, say_json
from leaktrack.settings import read_settings
from leaktrack.workflows.print_targets import print_targets


def targets(args: Namespace) -> int:
    """Write the page and print where it is.

    Raises:
        BadInput: The side cannot be, or there is a file already.
        ReportFailed: The page could not be made or written.
    """
    bootstrap.configure_logging()
    settings, complaints = read_settings(places.settings_file())
    for complaint in complaints:
        note(complaint)
    paper = args.paper or settings.paper
    path = Path(args.out)
    printed = print_targets(path, places.resource(), paper, args.side_mm, overwrite=args.overwrite)
    if args.json:
        say_json(
            {
                "format": "leaktrack-targets",
                "version": 1,
                "pdf": str(path),
                "paper": paper,
                "ruler_mm": 100,
                "targets": [
                    {"dictionary": "DICT_4X4_50", "id": one.marker, "side_mm": one.side_mm}
                    for one in printed
                ],
            }
        )
        return 0
    print(f"Targets: {path}")  # alone on its line, unwrapped: it is there to be copied
    say(
        f"Print it at 100 % on {paper} and measure the rulers: each must be 100 mm. If they are "
        "not, print again, or give the side that you measure."
    )
    return 0
