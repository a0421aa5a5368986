"""Gather what is reckoned of an engine: grades with their reasons, oil accounts, pressures."""

from dataclasses import dataclass
from uuid import UUID

from leaktrack.model.errors import BadInput, UnreadablePhoto
from leaktrack.model.grade_card import GradeCard
from leaktrack.model.inspection import Inspection, TestRun
from leaktrack.model.leak import Leak, LeakMark
from leaktrack.model.oil_account import OilAccount
from leaktrack.model.pressure import PressureJudgement
from leaktrack.model.severity import GradeLimits
from leaktrack.model.warning import InspectionWarning
from leaktrack.workflows.account_oil import account_of
from leaktrack.workflows.find_engine import Reader
from leaktrack.workflows.gather_engine import EngineRecords
from leaktrack.workflows.judge_leaks import card_of
from leaktrack.workflows.judge_pressure import pressure_at
from leaktrack.workflows.measure_scale import scale_of
from leaktrack.workflows.project import Progress, Project, silent
from leaktrack.workflows.warn_of_look import warnings_at


@dataclass(frozen=True, slots=True)
class LookFigures:
    """What is reckoned of one inspection.

    Attributes:
        cards: Each leak that it marked, by number, with its wettest mark.
        run: The run before it; None: it names none.
        account: That run's oil account; None: no run, or it cannot be drawn up at all.
        account_problem: Why the account could not be worked out; empty if it could.
    """

    inspection: Inspection
    warnings: tuple[InspectionWarning, ...]
    pressure: PressureJudgement | None
    cards: tuple[tuple[Leak, GradeCard], ...]
    run: TestRun | None
    account: OilAccount | None
    account_problem: str = ""


def look_figures(
    project: Project,
    inspection_id: UUID,
    limits: GradeLimits | None = None,
    progress: Progress = silent,
) -> LookFigures:
    """Return what is reckoned of an inspection; wet areas are measured at targets in the photos.

    Args:
        project: The open project.
        inspection_id: The inspection.
        limits: Where grades end, as far as figures tell.
        progress: Called before each photo; may raise Cancelled to stop.

    Raises:
        BadInput: The limits do not rise.
        Cancelled: Stopped by ``progress``.
        MissingRecord: There is no such inspection.
    """
    with project.read() as reader:
        look = reader.get(Inspection, inspection_id)
        records = EngineRecords(reader, look.engine_id)
        marks = _marks_at(records, look)
        cards = []
        for done, (leak, mark) in enumerate(marks):
            progress(done, len(marks), "")
            cards.append((leak, _measured_card(project, reader, mark, limits)))
        run = reader.find(TestRun, look.test_run_id) if look.test_run_id else None
        account, problem = _account(records, run) if run else (None, "")
        return LookFigures(
            inspection=look,
            warnings=warnings_at(records, look),
            pressure=pressure_at(records, look),
            cards=tuple(cards),
            run=run,
            account=account,
            account_problem=problem,
        )


def last_cards(
    reader: Reader, records: EngineRecords, limits: GradeLimits | None = None
) -> dict[int, GradeCard]:
    """Return how bad each leak is as last seen, by its number; no photo is opened."""
    cards = {}
    for look in records.inspections:
        for leak, mark in _marks_at(records, look):
            cards[leak.number] = card_of(reader, mark, limits)
    return cards


def accounts_of(records: EngineRecords) -> dict[UUID, OilAccount]:
    """Return the oil account of each run whose oil was read, by the run's id."""
    found = {run.id: _account(records, run)[0] for run in records.runs}
    return {
        run_id: account
        for run_id, account in found.items()
        if account is not None and account.loss is not None
    }


def pressures_of(records: EngineRecords) -> dict[UUID, PressureJudgement]:
    """Return what the crankcase pressure was at each inspection that measured it, by its id."""
    found = {look.id: pressure_at(records, look) for look in records.inspections}
    return {look_id: judged for look_id, judged in found.items() if judged is not None}


def _marks_at(records: EngineRecords, look: Inspection) -> list[tuple[Leak, LeakMark]]:
    found = ((leak, records.table.sighting(leak, look.id).mark) for leak in records.leaks)
    return [(leak, mark) for leak, mark in found if mark is not None]


def _measured_card(
    project: Project, reader: Reader, mark: LeakMark, limits: GradeLimits | None
) -> GradeCard:
    try:
        scale = scale_of(project, mark.photo_id) if mark.outline_px else None
    except UnreadablePhoto:  # the mark is still there, and what was written down of its scale
        scale = None
    return card_of(reader, mark, limits, scale)


def _account(records: EngineRecords, run: TestRun) -> tuple[OilAccount | None, str]:
    try:
        return account_of(records, run), ""
    except BadInput as error:  # a height outside what the dipstick was calibrated for
        return None, str(error)
