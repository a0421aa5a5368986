"""Build the demo engine's project from its story, and do the whole job on it.

Nothing is written past the other workflows: what they refuse, the demo cannot hold either.
"""

from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path
from time import perf_counter

from leaktrack.model.comparison import Comparison
from leaktrack.model.inspection import Inspection
from leaktrack.model.leak import Leak
from leaktrack.model.redo_plan import RedoList
from leaktrack.model.trace import Trace
from leaktrack.report.as_pdf import Paper
from leaktrack.workflows import tell_demo_story as telling
from leaktrack.workflows import tell_demo_work as work
from leaktrack.workflows.compare_inspections import compare
from leaktrack.workflows.plan_redo import redo_list
from leaktrack.workflows.project import Progress, Project, silent
from leaktrack.workflows.tell_demo_story import DemoStory
from leaktrack.workflows.trace_leak import trace
from leaktrack.workflows.write_report import WrittenReport, write_report


@dataclass(frozen=True, slots=True)
class DemoFindings:
    """What the whole job found on the demo engine.

    Attributes:
        comparisons: Each inspection against the one before it.
        traces: One for each leak.
    """

    comparisons: tuple[Comparison, ...]
    traces: tuple[Trace, ...]
    redo: RedoList
    report: WrittenReport


def build_demo(project: Project, source: Path, progress: Progress = silent) -> float:
    """Fill an empty project with the demo engine.

    Returns:
        How many seconds were spent on measuring the beads in its photos.

    Args:
        project: The empty project.
        source: The folder with the story, its photos and its video.
        progress: Called before each photo; may raise Cancelled to stop.

    Raises:
        BadInput: The story, a photo or the video is missing or damaged.
        Cancelled: Stopped by ``progress``.
    """
    told = telling.read_story(source / telling.STORY_FILE)
    story = DemoStory(project, source, told)
    telling.tell_engine(story)
    telling.tell_zones(story)
    telling.tell_materials(story)
    telling.tell_runs(story)
    telling.tell_inspections(story)
    telling.tell_checks(story)
    work.add_story_photos(story, progress)
    work.measure_scales(story)
    work.draw_lines(story, progress)
    work.tell_jobs(story)
    began = perf_counter()
    work.measure_beads(story, progress)
    seconds = perf_counter() - began
    work.tell_marks(story)
    work.tell_verdicts(story)
    work.tell_plan(story)
    return seconds


def run_demo(project: Project, paper: Paper = "A4", progress: Progress = silent) -> DemoFindings:
    """Do the whole job on the demo engine: compare, trace, plan, report.

    Raises:
        Cancelled: Stopped by ``progress``.
        ReportFailed: The report cannot be written.
    """
    inspections = project.all(Inspection)
    comparisons = tuple(
        compare(project, before.id, after.id) for before, after in pairwise(inspections)
    )
    traces = tuple(trace(project, leak.id) for leak in project.all(Leak))
    engine_id = inspections[0].engine_id
    report = write_report(project, engine_id, None, paper, progress)
    return DemoFindings(comparisons, traces, redo_list(project, engine_id), report)
