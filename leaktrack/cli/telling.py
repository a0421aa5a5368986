"""Tell results in sentences and tables."""

from uuid import UUID

from leaktrack.cli.printing import say, say_table
from leaktrack.model.comparison import Comparison, Sighting
from leaktrack.model.engine import Joint, Zone
from leaktrack.model.inspection import Check, Inspection
from leaktrack.model.leak import Leak
from leaktrack.model.redo_plan import RedoList
from leaktrack.model.units import in_units, with_sigma
from leaktrack.model.words import DEFER, grade_words, word
from leaktrack.workflows.project import Project


def tell_comparison(project: Project, comparison: Comparison) -> None:
    """Print how each leak fared between two inspections."""
    before = project.get(Inspection, comparison.before_id)
    after = project.get(Inspection, comparison.after_id)
    say(f"From {inspection_words(before)} to {inspection_words(after)}:")
    if not comparison.changes:
        say("No leak was known by then.", indent="  ")
        return
    zones = {zone.id: zone.name for zone in project.all(Zone)}
    say_table(
        ("Leak", "Zone", "Before", "After", "Change"),
        [
            (
                str(one.leak.number),
                zones[one.leak.zone_id],
                sighting_words(one.before),
                sighting_words(one.after),
                word(one.change),
            )
            for one in comparison.changes
        ],
    )


def tell_redo(project: Project, redo: RedoList) -> None:
    """Print what to redo, in which order things come off, and what can hurt somebody in it."""
    names = _names(project)
    if not redo.tasks:
        say("Nothing is on the redo list.")
    else:
        say("To redo:")
        say_table(
            ("Task", "Why", "Hours", "Adds"),
            [
                (
                    one.task.name,
                    "; ".join(f"{word(reason)}: {names[about]}" for reason, about in one.reasons),
                    f"{one.task.hours:.1f}",
                    f"{one.added_hours:.1f}",
                )
                for one in redo.tasks
            ],
        )
        _tell_costs(redo)
    for reason, about in redo.without_task:
        say(f"Not in these hours, as it has no task yet: {names[about]} ({word(reason)}).")
    if redo.cautions:
        say("Caution:")
        for caution in redo.cautions:
            say(word(caution), indent="  - ")
        say(DEFER, indent="  ")


def _tell_costs(redo: RedoList) -> None:
    if redo.steps:
        say("What comes off, in this order:")
        for number, step in enumerate(redo.steps, start=1):
            say(
                f"{number}. {step.name} ({step.hours:.1f} h, on again {step.refit_hours:.1f} h)",
                "  ",
            )
    alone = (
        f"; one task at a time {redo.alone_hours:.1f} h" if redo.alone_hours > redo.hours else ""
    )
    cure = f" Then {redo.cure_h:g} h of cure." if redo.cure_h else ""
    say(f"Labour {redo.hours:.1f} h{alone}; parts and fluids {redo.money:g}.{cure}")


def inspection_words(inspection: Inspection) -> str:
    """Return an inspection's date and title."""
    title = f" ({inspection.title})" if inspection.title else ""
    return f"{inspection.looked_at.astimezone():%Y-%m-%d}{title}"


def sighting_words(sighting: Sighting) -> str:
    """Return what an inspection saw of a leak."""
    if sighting.nothing_noticed:
        return "nothing noticed"
    words = [grade_words(sighting.grade)]
    if sighting.area_mm2 is not None:
        words.append(with_sigma(sighting.area_mm2, sighting.area_sigma_mm2, "mm2", "+-"))
    elif sighting.area_px is not None:
        words.append(f"- {in_units(0.0, 'mm2')[1]} (no scale)")
    if sighting.extent_mm is not None:
        length = with_sigma(sighting.extent_mm, sighting.extent_sigma_mm, "mm", "+-")
        words.append(f"{length} long")
    return ", ".join(words)


def _names(project: Project) -> dict[UUID, str]:
    """Return what a reason on the redo list can be about, by its id."""
    with project.read() as records:
        names = {joint.id: joint.name for joint in records.all(Joint)}
        names |= {check.id: check.name for check in records.all(Check)}
        names |= {leak.id: f"leak {leak.number}" for leak in records.all(Leak)}
    return names
