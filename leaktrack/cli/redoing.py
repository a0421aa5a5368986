"""The command that solves a redo problem which stands in a file."""

from argparse import Namespace
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from leaktrack import bootstrap
from leaktrack.cli.printing import ProgressLine, note, say, say_json, say_table
from leaktrack.cli.quieting import libraries_on_stderr
from leaktrack.model.redo_problem import RedoAnswer, Schedule, SolvedState, TaskWhy
from leaktrack.model.words import word
from leaktrack.workflows.read_redo_problem import read_redo_problem
from leaktrack.workflows.solve_redo import solved

Document = dict[str, Any]


def redo(args: Namespace) -> int:
    """Tell what to do in one teardown, in which order, and why.

    Raises:
        BadInput: The file cannot be read, or something in it cannot be right.
    """
    bootstrap.configure_logging()
    named = read_redo_problem(Path(args.problem))
    with ProgressLine("Planning") as progress, libraries_on_stderr():
        answer = solved(named.problem, progress)
    if args.json:
        say_json(_document(answer, named.names))
        if answer.conflict:
            note(f"leaktrack: {answer.conflict}")
    else:
        _tell(answer, named.names)
    return 0


def _document(answer: RedoAnswer, names: Mapping[str, str]) -> Document:
    schedule = answer.schedule
    return {
        "format": "leaktrack-redo",
        "version": 1,
        "state": answer.state.value,
        "tasks": [names[key] for key in answer.tasks],
        "steps": [names[key] for key in answer.steps],
        "value": answer.value,
        "most_value": answer.most_value,
        "labour_hours": answer.labour_hours,
        "money": answer.money,
        "ready_h": schedule.ready_h if schedule else None,
        "least_ready_h": schedule.least_h if schedule else None,
        "schedule": [] if schedule is None else _slots(schedule, names),
        "why": [_why(one, names) for one in answer.why],
        "conflict": answer.conflict,
    }


def _slots(schedule: Schedule, names: Mapping[str, str]) -> list[Document]:
    return [
        {
            "id": names[slot.id],
            "kind": slot.kind.value,
            "worker": slot.worker,
            "start_h": slot.start_h,
            "end_h": slot.end_h,
        }
        for slot in schedule.slots
    ]


def _why(one: TaskWhy, names: Mapping[str, str]) -> Document:
    return {
        "task": names[one.task],
        "chosen": one.is_chosen,
        "alone_hours": one.alone_hours,
        "marginal_hours": one.marginal_hours,
        "worth_it_from": one.worth_it_from,
        "rate_from": one.rates.low if one.rates else None,
        "rate_to": one.rates.high if one.rates else None,
        "reason": one.reason,
    }


def _tell(answer: RedoAnswer, names: Mapping[str, str]) -> None:
    if answer.state is SolvedState.INFEASIBLE:
        say(f"{word(answer.state).capitalize()}. {answer.conflict}")
        return
    say_table(
        ("Task", "Do it", "Hours now", "Alone", "Why"),
        [
            (
                names[one.task],
                "yes" if one.is_chosen else "no",
                _hours(one.marginal_hours),
                _hours(one.alone_hours),
                one.reason,
            )
            for one in answer.why
        ],
    )
    say(
        f"Worth {answer.value:g} beyond its cost; {answer.labour_hours:g} h of labour and "
        f"{answer.money:g} for parts."
    )
    if answer.state is SolvedState.FEASIBLE:
        say(f"Not proven best: something worth up to {answer.most_value:g} may be there.")
    schedule = answer.schedule
    if schedule is None or not schedule.slots:
        say("Nothing is worth taking the engine apart for.")
        return
    say_table(
        ("From h", "To h", "Who", "What", ""),
        [
            (
                f"{slot.start_h:g}",
                f"{slot.end_h:g}",
                "" if slot.worker is None else str(slot.worker),
                word(slot.kind),
                names[slot.id],
            )
            for slot in schedule.slots
        ],
    )
    proven = "" if schedule.least_h == schedule.ready_h else f", {schedule.least_h:g} h at best"
    say(f"Ready after {schedule.ready_h:g} h{proven}, all cures over.")


def _hours(value: float | None) -> str:
    return "" if value is None else f"{value:g} h"
