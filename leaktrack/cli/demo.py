"""The command that does the whole job on the demo engine."""

from argparse import Namespace
from pathlib import Path

from leaktrack import bootstrap, places
from leaktrack.cli.printing import ProgressLine, note, say
from leaktrack.cli.stopping import one_after_other, stoppable
from leaktrack.cli.telling import tell_comparison, tell_redo
from leaktrack.cli.telling_beads import tell_beads
from leaktrack.cli.telling_traces import tell_traces
from leaktrack.model.errors import ProjectExists
from leaktrack.settings import read_settings
from leaktrack.workflows.project import Project, silent
from leaktrack.workflows.run_demo import DemoFindings, build_demo, run_demo
from leaktrack.workflows.verify_redo import successes, verify


def demo(args: Namespace) -> int:
    """Copy the demo engine into a folder and do the whole job on it."""
    folder = Path(args.folder)
    if folder.exists():
        raise ProjectExists(
            f"{folder} is there already. Nothing was changed. Name another folder, as in: "
            "leaktrack demo ANOTHER-FOLDER"
        )
    bootstrap.configure_logging()
    settings, _ = read_settings(places.settings_file())
    note(f"Building the demo engine in {folder} ...")
    # Ctrl+C waits for the next step: raised anywhere, it can be lost in a library's clearing up.
    with stoppable(silent) as stop_if_asked, bootstrap.create_project(folder) as project:
        try:
            with ProgressLine("Adding photos") as progress:
                tell = one_after_other(stop_if_asked, progress)
                bead_s = build_demo(project, places.demo_source(), tell)
            with ProgressLine("Writing the report") as progress:
                found = run_demo(project, settings.paper, one_after_other(stop_if_asked, progress))
        except BaseException:
            note(f"{folder} is not finished: remove it before you run the demo again.")
            raise
        _tell(project, found, bead_s)
    say(f"Look at it in the window with: leaktrack open {folder}")
    return 0


def _tell(project: Project, found: DemoFindings, bead_s: float) -> None:
    tell_beads(project)
    say(f"Measuring these beads took {bead_s:.1f} s.")
    say()
    for comparison in found.comparisons:
        tell_comparison(project, comparison)
        say()
    verified = {one.leak.id: verify(project, one.leak.id) for one in found.traces}
    tell_traces(project, found.traces, verified, successes(project))
    tell_redo(project, found.redo)
    say()
    say("The photos of this demo are rendered by a computer; no real engine is in them.")
    # Paths stand alone on their lines, unwrapped: they are there to be copied.
    print(f"Report: {found.report.html}")
    print(f"        {found.report.pdf}")
