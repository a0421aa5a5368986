"""Find the records that somebody named on the command line."""

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from typing import TypeVar

from leaktrack import bootstrap
from leaktrack.model.engine import Engine, Face, Zone
from leaktrack.model.errors import BadInput, LeakTrackError
from leaktrack.model.inspection import Inspection
from leaktrack.model.leak import Leak
from leaktrack.workflows.project import Project
from leaktrack.workflows.tell_by_name import told_by_name

T = TypeVar("T", Engine, Zone)


@contextmanager
def opened(folder: str) -> Iterator[Project]:
    """Give the project in a folder; errors as in ``bootstrap.open_project``."""
    bootstrap.configure_logging()
    with bootstrap.open_project(Path(folder)) as project:
        try:
            yield project
        except LeakTrackError as error:
            raise told_by_name(project, error) from error


def engine(project: Project, name: str | None) -> Engine:
    """Return the engine of a name, or the only one where no name is given.

    Raises:
        BadInput: None fits, or several do.
    """
    engines = project.all(Engine)
    if name is None and len(engines) == 1:
        return engines[0]
    if not engines:
        raise BadInput("This project has no engine yet. Set one up in the window first.")
    if name is None:
        raise BadInput(
            f"This project has several engines: {_listed(engines)}. Say which with --engine NAME."
        )
    return _named(engines, name, "engine")


def zone(project: Project, of_engine: Engine, name: str) -> Zone:
    """Return the zone of a name.

    Raises:
        BadInput: None fits, or several do.
    """
    return _named(zones(project, of_engine), name, "zone")


def zones(project: Project, of_engine: Engine) -> tuple[Zone, ...]:
    """Return all zones of an engine, face by face."""
    with project.read() as records:
        faces = records.all(Face, engine_id=of_engine.id)
        return tuple(one for face in faces for one in records.all(Zone, face_id=face.id))


def leaks(project: Project, of_engine: Engine, number: int | None) -> tuple[Leak, ...]:
    """Return the leak of a number, or all leaks of an engine where none is given.

    Raises:
        BadInput: There is no leak of that number.
    """
    zone_ids = [one.id for one in zones(project, of_engine)]
    found = sorted(project.all(Leak, zone_id=zone_ids), key=lambda leak: leak.number)
    if number is None:
        return tuple(found)
    chosen = tuple(leak for leak in found if leak.number == number)
    if not chosen:
        numbers = ", ".join(str(leak.number) for leak in found) or "none"
        raise BadInput(f"There is no leak {number} here. There are: {numbers}.")
    return chosen


def inspections(project: Project, of_engine: Engine) -> tuple[Inspection, ...]:
    """Return all inspections of an engine, oldest first."""
    found = project.all(Inspection, engine_id=of_engine.id)
    return tuple(sorted(found, key=lambda one: one.looked_at))


def inspection(project: Project, of_engine: Engine, which: str) -> Inspection:
    """Return an inspection by its number (oldest is 1), its date or "newest".

    Raises:
        BadInput: None fits, or several do.
    """
    found = inspections(project, of_engine)
    fitting = _fitting(found, which)
    if len(fitting) != 1:
        all_of_them = "; ".join(
            f"{number}: {one.looked_at.astimezone():%Y-%m-%d}{_title(one)}"
            for number, one in enumerate(found, start=1)
        )
        problem = "several inspections are" if fitting else "no inspection is"
        raise BadInput(
            f"{problem.capitalize()} meant by '{which}'. There are: {all_of_them or 'none'}."
        )
    return fitting[0]


def _fitting(found: tuple[Inspection, ...], which: str) -> tuple[Inspection, ...]:
    if which == "newest":
        return found[-1:]
    if which.isdecimal() and 1 <= int(which) <= len(found):
        return (found[int(which) - 1],)
    try:
        day = date.fromisoformat(which)
    except ValueError:
        return ()
    return tuple(one for one in found if one.looked_at.astimezone().date() == day)


def _title(one: Inspection) -> str:
    return f" {one.title}" if one.title else ""


def _named(records: Iterable[T], name: str, kind: str) -> T:
    """Return the record of that name, else the only one whose name begins so."""
    wanted = name.strip().casefold()
    every = list(records)
    exact = [one for one in every if one.name.casefold() == wanted]
    # An empty name begins every other one.
    fitting = exact or [one for one in every if wanted and one.name.casefold().startswith(wanted)]
    if len(fitting) != 1:
        problem = "Several fit" if fitting else "None fits"
        raise BadInput(f"{problem} the {kind} '{name}'. There are: {_listed(every) or 'none'}.")
    return fitting[0]


def _listed(records: Iterable[T]) -> str:
    return ", ".join(one.name for one in records)
