"""Tell what a project holds, from the same document that scripts get."""

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from leaktrack.cli.printing import say, say_table

Document = dict[str, Any]


def tell_summary(summary: Document) -> None:
    """Print a project's summary, engine by engine."""
    if not summary["engines"]:
        say("This project has no engine yet.")
    for engine in summary["engines"]:
        _tell_engine(engine)


def _tell_engine(engine: Document) -> None:
    say(f"{engine['name']}: {engine['description']}".rstrip(": "))
    say(", ".join(_count(engine[key], thing) for key, thing in _THINGS.items()))
    if engine["inspections"]:
        say()
        _tell_inspections(engine)
    if engine["leaks"]:
        say()
        _tell_leaks(engine)
    if any(job["deviations"] for job in engine["jobs"]):
        say()
        _tell_deviations(engine)
    say()
    _tell_redo(engine["redo"])


_THINGS = {
    "zones": "zone",
    "joints": "joint",
    "jobs": "sealing job",
    "runs": "run",
    "inspections": "inspection",
    "leaks": "leak",
}


def _count(things: Sequence[object], name: str) -> str:
    return f"{len(things)} {name}" if len(things) == 1 else f"{len(things)} {name}s"


def _tell_inspections(engine: Document) -> None:
    say_table(
        ("No.", "Looked at", "Title", "Photos", "Worst"),
        [
            (
                str(number),
                _day(one["looked_at"]),
                one["title"],
                str(one["photos"]),
                one["worst"]["text"],
            )
            for number, one in enumerate(engine["inspections"], start=1)
        ],
    )
    for one in engine["inspections"]:
        for warning in one["warnings"]:
            say(f"{_day(one['looked_at'])}: {warning['sentence']}", indent="  ! ")


def _tell_leaks(engine: Document) -> None:
    say_table(
        ("Leak", "Zone", "Grade at each inspection", "Cause"),
        [
            (
                str(leak["number"]),
                leak["zone"],
                " > ".join(_grade(one) for one in leak["grades"]),
                "; ".join(_cause(one) for one in leak["causes"]) or "not decided",
            )
            for leak in engine["leaks"]
        ],
    )


def _grade(seen: Document) -> str:
    return "nothing noticed" if seen["nothing_noticed"] else str(seen["text"])


def _cause(cause: Document) -> str:
    bolt = f", bolt {cause['bolt']}" if cause["bolt"] else ""
    return f"{cause['state'].replace('_', ' ')}: {cause['joint']}{bolt}"


def _tell_deviations(engine: Document) -> None:
    say("Where sealing jobs depart from their rule:")
    for job in engine["jobs"]:
        for deviation in job["deviations"]:
            say(f"{job['joint']}, {_day(job['done_at'])}: {deviation['sentence']}", indent="  - ")


def _day(at: str) -> str:
    """Return the day of a moment by the local clock, as the options for dates take it."""
    return f"{datetime.fromisoformat(at).astimezone():%Y-%m-%d}"


def _tell_redo(redo: Document) -> None:
    if redo["state"] != "listed":
        say(f"The redo list could not be worked out. {redo['reason']}")
    elif redo["tasks"]:
        say(f"To redo: {_count(redo['tasks'], 'task')}, {redo['hours']:.1f} h of labour.")
    else:
        say("Nothing is on the redo list.")
