"""Commands that look at a project and change nothing."""

from argparse import Namespace

from leaktrack import places
from leaktrack.cli import choosing
from leaktrack.cli.documents import comparison_document
from leaktrack.cli.printing import ProgressLine, say, say_json
from leaktrack.cli.telling import tell_comparison
from leaktrack.cli.telling_change import (
    growth_document,
    heat_document,
    tell_growth,
    tell_heat,
)
from leaktrack.cli.telling_summary import tell_summary
from leaktrack.cli.telling_traces import tell_traces
from leaktrack.cli.trace_documents import success_document, trace_document
from leaktrack.model.engine import Engine, Zone
from leaktrack.model.errors import BadInput
from leaktrack.model.inspection import Inspection
from leaktrack.model.words import size_words
from leaktrack.settings import read_settings
from leaktrack.workflows import (
    compare_inspections,
    follow_growth,
    measure_sightings,
    show_project,
    trace_leak,
    verify_redo,
    weigh_heat,
)
from leaktrack.workflows.bound_cache import cache_bytes
from leaktrack.workflows.check_project import CheckReport
from leaktrack.workflows.check_project import check as checked
from leaktrack.workflows.project import Project


def show(args: Namespace) -> int:
    """Tell what a project holds."""
    with choosing.opened(args.project) as project:
        summary = show_project.summary(project)
    if args.json:
        say_json(summary)
    else:
        tell_summary(summary)
    return 0


def compare(args: Namespace) -> int:
    """Tell how each leak fared between two inspections."""
    settings, _ = read_settings(places.settings_file())
    with choosing.opened(args.project) as project:
        engine = choosing.engine(project, args.engine)
        before, after = _two_inspections(project, engine, args)
        zone = None if args.zone is None else choosing.zone(project, engine, args.zone)
        compared = compare_inspections.compare(
            project, before.id, after.id, zone.id if zone else None
        )
        with ProgressLine("Measuring") as progress:
            comparison = measure_sightings.measured(project, compared, progress)
            ids = [one.leak.id for one in comparison.changes]
            grown = follow_growth.growths(
                project, engine.id, ids, comparison.after_id, progress, settings.grade_limits
            )
        heat = weigh_heat.heat_between(project, before.id, after.id)
        if args.json:
            inspections = {one.id: one for one in choosing.inspections(project, engine)}
            zones = {one.id: one for one in choosing.zones(project, engine)}
            say_json({
                **comparison_document(comparison, inspections, zones),
                "heat": heat_document(heat),
                "growth": [growth_document(one) for one in grown],
            })  # fmt: skip
        else:
            tell_comparison(project, comparison)
            tell_heat(heat, comparison)
            tell_growth(grown)
    return 0


def _two_inspections(
    project: Project, engine: Engine, args: Namespace
) -> tuple[Inspection, Inspection]:
    found = choosing.inspections(project, engine)
    if len(found) < 2:
        raise BadInput(
            f"{engine.name} has {len(found)} inspections; comparing needs two. "
            "Record another one first."
        )
    after = found[-1]
    if args.after is not None:
        after = choosing.inspection(project, engine, args.after)
    if args.before is not None:
        return choosing.inspection(project, engine, args.before), after
    earlier = [one for one in found if one.looked_at < after.looked_at]
    if not earlier:
        raise BadInput("There is no inspection before that one. Name both with --before, --after.")
    return earlier[-1], after


def trace(args: Namespace) -> int:
    """Tell which sealing jobs may have caused leaks."""
    with choosing.opened(args.project) as project:
        engine = choosing.engine(project, args.engine)
        leaks = choosing.leaks(project, engine, args.leak)
        traces = [trace_leak.trace(project, leak.id) for leak in leaks]
        verified = {leak.id: verify_redo.verify(project, leak.id) for leak in leaks}
        counts = verify_redo.successes(project)
        if args.json:
            zones = {zone.id: zone for zone in project.all(Zone)}
            say_json(
                {
                    "format": "leaktrack-trace",
                    "version": 1,
                    "leaks": [trace_document(one, zones, verified[one.leak.id]) for one in traces],
                    "success": success_document(counts),
                }
            )
        elif traces:
            tell_traces(project, traces, verified, counts)
        else:
            say("No leak has been marked.")
    return 0


def check(args: Namespace) -> int:
    """Compare the database and every photo file; status 1 where they do not agree."""
    with choosing.opened(args.project) as project, ProgressLine("Checking") as progress:
        found = checked(project, progress)
    settings, _ = read_settings(places.settings_file())
    most_bytes, size = settings.cache_mb * 1_000_000, cache_bytes(places.cache_folder())
    if args.json:
        say_json(
            {
                "format": "leaktrack-check",
                "version": 1,
                "state": "sound" if found.is_sound else "damaged",
                "database_ok": found.database_ok,
                "photos_checked": found.photos_checked,
                "clips_checked": found.clips_checked,
                "problems": [
                    {
                        "kind": one.kind.value,
                        "what": one.what,
                        "path": str(one.path) if one.path else None,
                    }
                    for one in found.problems
                ],
                "cache": {"bytes": size, "most_bytes": most_bytes},
            }
        )
    else:
        for one in found.problems:
            say(f"{one.kind.value}: {one.what}")
        say(_check_words(found))
        say(f"The cache takes {size_words(size)} of at most {size_words(most_bytes)}.")
    return 0 if found.is_sound else 1


def _check_words(found: CheckReport) -> str:
    read = f"{found.photos_checked} photos and {found.clips_checked} clips"
    if found.is_sound:
        return f"{read} were read: all are whole, and the records hold together."
    return (
        f"{read} were read, and something is wrong. Nothing was changed. "
        "Copy what is missing from a backup of the project folder, then check again."
    )
