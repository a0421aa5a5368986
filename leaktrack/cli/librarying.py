"""The command that takes access steps and tasks from the library."""

from argparse import Namespace
from collections.abc import Sequence
from typing import Any

from leaktrack.cli import choosing
from leaktrack.cli.printing import say, say_json, say_table
from leaktrack.model.redo_library import LibraryTask, Offer
from leaktrack.model.redo_plan import AccessStep, RedoTask
from leaktrack.model.redo_sentences import estimate_words
from leaktrack.workflows.use_redo_library import add_from_library, offers


def library(args: Namespace) -> int:
    """Tell what the library has for an engine; add what was asked for.

    Raises:
        BadInput: A library cannot be used, or has no such step or task.
    """
    with choosing.opened(args.project) as project:
        engine = choosing.engine(project, args.engine)
        ids = list(args.add)
        if args.fitting:
            ids += [one.item.id for one in offers(project, engine.id) if one.joint_ids]
        added: list[str] = []
        if ids:
            edit = add_from_library(project, engine.id, ids)
            project.apply(edit)
            made = (change.after for change in edit.changes)
            added = [one.name for one in made if isinstance(one, RedoTask | AccessStep)]
        found = offers(project, engine.id)
    if args.json:
        say_json(
            {
                "format": "leaktrack-library",
                "version": 1,
                "engine": engine.name,
                "added": added,
                "offers": [_document(one) for one in found],
            }
        )
    else:
        _tell(found, added, is_asked=bool(ids))
    return 0


def _tell(found: Sequence[Offer], added: Sequence[str], *, is_asked: bool) -> None:
    if is_asked:
        say(f"Added: {'; '.join(added)}." if added else "The engine has all of these already.")
        return
    say_table(
        ("Id", "What", "Hours", "Refit", "Fits"),
        [
            (
                one.item.id,
                one.item.name,
                estimate_words(one.estimate),
                "" if one.refit is None else estimate_words(one.refit),
                "taken" if one.is_taken else ", ".join(one.joint_names),
            )
            for one in found
        ],
    )


def _document(one: Offer) -> dict[str, Any]:
    return {
        "id": one.item.id,
        "name": one.item.name,
        "kind": "task" if isinstance(one.item, LibraryTask) else "step",
        "hours": one.estimate.hours,
        "written_hours": one.estimate.written_hours,
        "recorded": one.estimate.count,
        "spread_h": one.estimate.spread_h,
        "refit_hours": None if one.refit is None else one.refit.hours,
        "joints": list(one.joint_names),
        "taken": one.is_taken,
    }
