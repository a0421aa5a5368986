"""The command that plans a teardown: what to redo, in which order, and why."""

from argparse import Namespace
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from functools import partial
from typing import TypeVar
from uuid import UUID

from leaktrack.cli import choosing
from leaktrack.cli.printing import say, say_json
from leaktrack.cli.quieting import libraries_on_stderr
from leaktrack.cli.telling import tell_redo
from leaktrack.cli.telling_sheets import sheet_document, tell_sheet
from leaktrack.cli.telling_worth import tell_factors, tell_since, tell_worth, worth_document
from leaktrack.model.errors import BadInput
from leaktrack.model.record import Edit
from leaktrack.model.redo_plan import AccessStep, RedoDecision, RedoTask
from leaktrack.model.redo_problem import WorkKind
from leaktrack.model.redo_terms import RedoTerms
from leaktrack.workflows import plan_redo, show_project
from leaktrack.workflows.project import Project
from leaktrack.workflows.replan import keep_choice, replan
from leaktrack.workflows.settle_redo import check_terms, decide, settle_terms, terms_of, tick_off
from leaktrack.workflows.write_work_sheet import work_sheet

T = TypeVar("T", RedoTask, AccessStep)

_DECISIONS = {
    "must": RedoDecision.MUST,
    "never": RedoDecision.NEVER,
    "decide": RedoDecision.DECIDE,
}


def plan(args: Namespace) -> int:
    """Tell what to redo, and what it costs; keep what was settled and ticked off.

    Raises:
        BadInput: A number of the terms cannot be right, or no step or task is called so.
    """
    with choosing.opened(args.project) as project:
        engine = choosing.engine(project, args.engine)
        terms = _terms(args, terms_of(project, engine.id))
        _change(project, engine.id, args, terms)
        redo = plan_redo.redo_list(project, engine.id)
        with libraries_on_stderr():
            again = replan(project, engine.id, terms)
            weighed = again.weighed
            sheet = work_sheet(project, weighed) if args.sheet else None
        if args.keep is not None:
            project.apply(keep_choice(weighed, args.keep))
        if args.json:
            say_json(
                {
                    "format": "leaktrack-plan",
                    "version": 1,
                    "engine": engine.name,
                    **show_project.redo_document(redo),
                    "weighed": worth_document(again),
                    "sheet": None if sheet is None else sheet_document(sheet),
                }
            )
            return 0
        if sheet is not None:
            tell_sheet(sheet, weighed)
            return 0
        tell_redo(project, redo)
        tell_worth(weighed)
        if args.factors:
            tell_factors(weighed)
        tell_since(again)
        if args.keep is not None:
            say("What is worth it was kept as a plan.")
    return 0


def _change(project: Project, engine_id: UUID, args: Namespace, terms: RedoTerms) -> None:
    """Keep what was settled and ticked off; nothing of it where something is called by no name."""
    tasks = project.all(RedoTask, engine_id=engine_id)
    steps = project.all(AccessStep, engine_id=engine_id)
    changes: list[Callable[[], Edit]] = []
    if args.settle:
        changes.append(partial(settle_terms, project, terms))
    for option, decision in _DECISIONS.items():
        for name in getattr(args, option):
            task = _named(tasks, name, f"--{option}")
            changes.append(partial(decide, project, task.id, decision))
    for name, hours in _timed(args.done, "--done"):
        work: RedoTask | AccessStep
        if _fitting(tasks, name):
            work, kind = _named(tasks, name, "--done"), WorkKind.TASK
        else:
            work, kind = _named(steps, name, "--done"), WorkKind.TAKE_OFF
        changes.append(partial(tick_off, project, work.id, kind, hours))
    for name, hours in _timed(args.refitted, "--refitted"):
        step = _named(steps, name, "--refitted")
        changes.append(partial(tick_off, project, step.id, WorkKind.REFIT, hours))
    for change in changes:  # one after the other: two may be about the same task
        project.apply(change())


def _timed(told: Sequence[str], option: str) -> Iterator[tuple[str, float | None]]:
    """Yield names with their hours, as in "Seal the cover again=2.5"."""
    for one in told:
        name, sign, hours = one.rpartition("=")
        if not sign:
            yield one, None
            continue
        try:
            yield name, float(hours.replace(",", "."))
        except ValueError as error:
            raise BadInput(
                f"{option} {one}: {hours!r} are no hours. Write NAME=2.5. Nothing was ticked off."
            ) from error


def _named(records: Sequence[T], name: str, option: str) -> T:
    """Return the record of that name, else the only one whose name begins so.

    Raises:
        BadInput: None fits, or several do.
    """
    fitting = _fitting(records, name)
    if len(fitting) != 1:
        problem = "Several are" if fitting else "Nothing is"
        known = ", ".join(one.name for one in records) or "none"
        raise BadInput(f"{option}: {problem} called '{name}'. There are: {known}.")
    return fitting[0]


def _fitting(records: Sequence[T], name: str) -> list[T]:
    wanted = name.strip().casefold()
    exact = [one for one in records if one.name.casefold() == wanted]
    return exact or [one for one in records if wanted and one.name.casefold().startswith(wanted)]


def _terms(args: Namespace, settled: RedoTerms) -> RedoTerms:
    """Return on what terms work is weighed: those settled for the engine, but for what was asked.

    Raises:
        BadInput: A number cannot be right.
    """
    terms = settled
    for name in ("hour_rate", "mess", "workers", "day_hours", "hours_budget", "money_budget"):
        number = getattr(args, name)
        if number is None:
            continue
        terms = replace(terms, **{name: number})
        try:
            check_terms(terms)
        except BadInput as error:
            raise BadInput(f"--{name.replace('_', '-')}: {error}") from error
    return terms
