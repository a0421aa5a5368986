"""The command that plans a teardown: what to redo, in which order, and why."""

from argparse import Namespace
from dataclasses import replace

from leaktrack.cli import choosing
from leaktrack.cli.printing import say_json
from leaktrack.cli.quieting import libraries_on_stderr
from leaktrack.cli.telling import tell_redo
from leaktrack.cli.telling_worth import tell_worth, worth_document
from leaktrack.model.errors import BadInput
from leaktrack.model.redo_terms import RedoTerms
from leaktrack.workflows import plan_redo, show_project
from leaktrack.workflows.settle_redo import check_terms, terms_of
from leaktrack.workflows.weigh_redo import weighed_redo


def plan(args: Namespace) -> int:
    """Tell what to redo, and what it costs."""
    with choosing.opened(args.project) as project:
        engine = choosing.engine(project, args.engine)
        redo = plan_redo.redo_list(project, engine.id)
        with libraries_on_stderr():
            weighed = weighed_redo(project, engine.id, _terms(args, terms_of(project, engine.id)))
        if args.json:
            say_json(
                {
                    "format": "leaktrack-plan",
                    "version": 1,
                    "engine": engine.name,
                    **show_project.redo_document(redo),
                    "weighed": worth_document(weighed),
                }
            )
        else:
            tell_redo(project, redo)
            tell_worth(weighed)
    return 0


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
