"""The command that takes photos into a project."""

from argparse import Namespace
from collections import Counter
from pathlib import Path
from uuid import UUID

from leaktrack.cli import choosing
from leaktrack.cli.printing import ProgressLine, note, say, say_json
from leaktrack.cli.stopping import stoppable
from leaktrack.model.errors import Cancelled
from leaktrack.workflows.add_photos import AddedPhoto, Outcome, add_photos
from leaktrack.workflows.project import Project


def add(args: Namespace) -> int:
    """Copy photos into the project; a bad one is told and does not stop the others.

    Raises:
        Cancelled: Ctrl+C was pressed; the photos until then are in the project.
    """
    with choosing.opened(args.project) as project:
        zone_id, inspection_id = _place(project, args)
        with ProgressLine("Adding photos") as line, stoppable(line) as progress:
            added = add_photos(
                project,
                [Path(file) for file in args.files],
                zone_id=zone_id,
                inspection_id=inspection_id,
                progress=progress,
            )
        project.apply(added.edit)
    if args.json:
        say_json({"photos": [_document(one) for one in added.results]})
    else:
        _tell(added.results)
    if added.was_cancelled:
        raise Cancelled("Stopped by hand. The photos added until now are kept.")
    counts = Counter(one.outcome for one in added.results)
    return 1 if counts[Outcome.REFUSED] and not counts[Outcome.ADDED] else 0


def _place(project: Project, args: Namespace) -> tuple[UUID | None, UUID | None]:
    """Return the zone and the inspection that were named."""
    # An empty name is no missing one: a script whose variable is empty must not lose the place.
    if args.zone is None and args.inspection is None and args.engine is None:
        return None, None
    engine = choosing.engine(project, args.engine)
    zone_id = None if args.zone is None else choosing.zone(project, engine, args.zone).id
    if args.inspection is None:
        return zone_id, None
    return zone_id, choosing.inspection(project, engine, args.inspection).id


def _tell(results: tuple[AddedPhoto, ...]) -> None:
    for one in results:
        if one.reason:
            name = " ".join(one.name.split())  # a name may hold line ends
            note(one.reason if name in one.reason else f"{name}: {one.reason}")
    counts = Counter(one.outcome for one in results)
    said = [f"{counts[outcome]} {word}" for outcome, word in _WORDS.items() if counts[outcome]]
    say(f"Photos: {', '.join(said) or 'none found'}.")


_WORDS = {
    Outcome.ADDED: "added",
    Outcome.DUPLICATE: "here already",
    Outcome.REFUSED: "refused",
}


def _document(one: AddedPhoto) -> dict[str, str | None]:
    return {
        "file": one.name,
        "outcome": one.outcome.value,
        "photo_id": str(one.photo.id) if one.photo else None,
        "reason": one.reason,
    }
