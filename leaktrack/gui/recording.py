"""Begin a new record: today's date, what is in hand, and nothing else made up; then take it up."""

from collections.abc import Callable
from datetime import datetime
from uuid import UUID

from PySide6.QtCore import QCoreApplication

from leaktrack.gui.forms.times import now
from leaktrack.gui.session import Session
from leaktrack.model.engine import Joint, Zone
from leaktrack.model.errors import BadInput, LeakTrackError
from leaktrack.model.inspection import Check, Inspection, TestRun
from leaktrack.model.logbook import EntryKind
from leaktrack.model.record import Edit
from leaktrack.model.sealing_job import SealingJob
from leaktrack.workflows.find_engine import engine_id_of_zone, joints_of_engine
from leaktrack.workflows.record_run import record_check, record_inspection, record_run
from leaktrack.workflows.record_sealing_job import record_job


def start_sealing_job(
    session: Session, joint_id: UUID | None = None, at: datetime | None = None
) -> UUID | None:
    """Record a sealing job and take it in hand.

    Args:
        session: The session.
        joint_id: The joint; None: the one in hand, else the first of the zone in hand, else of
            the engine.
        at: When it was done; None: now.

    Returns:
        The job's id; None where it could not be recorded, which is then reported.
    """

    def build() -> tuple[SealingJob, Edit]:
        wanted = joint_id or joint_in_hand(session)
        if wanted is None:
            raise BadInput(
                _tr("There is no joint to seal yet. Describe one on the page Engine first.")
            )
        job = SealingJob(joint_id=wanted, done_at=at or now())
        return job, record_job(session.project, job)

    return _start(session, _tr("Record sealing job"), EntryKind.SEALING_JOB, build)


def start_run(session: Session) -> UUID | None:
    """Record a test run that starts now and take it in hand; None where that failed."""

    def build() -> tuple[TestRun, Edit]:
        run = TestRun(engine_id=_engine_in_hand(session), started_at=now())
        return run, record_run(session.project, run)

    return _start(session, _tr("Record test run"), EntryKind.TEST_RUN, build)


def start_inspection(session: Session, test_run_id: UUID | None = None) -> UUID | None:
    """Record an inspection made now and take it in hand; None where that failed.

    It follows the run given, else the engine's last run; before any run it is a baseline.
    """

    def build() -> tuple[Inspection, Edit]:
        engine_id, looked_at = _engine_in_hand(session), now()
        run_id = test_run_id or _last_run(session, engine_id, looked_at)
        inspection = Inspection(
            engine_id=engine_id,
            looked_at=looked_at,
            test_run_id=run_id,
            is_baseline=run_id is None,
        )
        return inspection, record_inspection(session.project, inspection)

    return _start(session, _tr("Record inspection"), EntryKind.INSPECTION, build)


def start_check(session: Session) -> UUID | None:
    """Record an open check and take it in hand; None where that failed."""

    def build() -> tuple[Check, Edit]:
        check = Check(engine_id=_engine_in_hand(session), name=_tr("New check"))
        return check, record_check(session.project, check)

    return _start(session, _tr("Record check"), EntryKind.CHECK, build)


def joint_in_hand(session: Session) -> UUID | None:
    """Return the joint in hand, else the first of the zone in hand, else of the engine."""
    project, engine_id = session.project, session.engine_id
    if engine_id is None:
        return None
    joints = joints_of_engine(project, engine_id)
    by_id = {joint.id: joint for joint in joints}
    if session.joint_id in by_id:
        return session.joint_id
    in_zone = [joint for joint in joints if joint.zone_id == session.zone_id]
    chosen = next(iter((*in_zone, *joints)), None)
    return None if chosen is None else chosen.id


def take_joint(session: Session, joint_id: UUID) -> None:
    """Take a joint in hand, with its zone."""
    joint = session.project.find(Joint, joint_id)
    if joint is None:
        return
    zone = session.project.find(Zone, joint.zone_id)
    if zone is not None:
        session.engine_id = engine_id_of_zone(session.project, zone.id)
    session.pick(zone_id=joint.zone_id, joint_id=joint_id)


def _start(
    session: Session,
    label: str,
    kind: EntryKind,
    build: Callable[[], tuple[SealingJob | TestRun | Inspection | Check, Edit]],
) -> UUID | None:
    try:
        record, edit = build()
    except LeakTrackError as error:
        session.report(error)
        return None
    session.do(label, edit)
    if session.project.find(type(record), record.id) is None:  # refused; the session said why
        return None
    if isinstance(record, SealingJob):
        joint = session.project.get(Joint, record.joint_id)
        session.pick(entry=(kind, record.id), zone_id=joint.zone_id, joint_id=joint.id)
    else:
        session.pick(entry=(kind, record.id))
    return record.id


def _engine_in_hand(session: Session) -> UUID:
    if session.engine_id is None:
        raise BadInput(_tr("There is no engine yet. Describe it on the page Engine first."))
    return session.engine_id


def _last_run(session: Session, engine_id: UUID, before: datetime) -> UUID | None:
    runs = session.project.all(TestRun, engine_id=engine_id)
    earlier = [run for run in runs if run.started_at <= before]
    last = max(earlier, key=lambda run: run.started_at, default=None)
    return None if last is None else last.id


def _tr(text: str) -> str:
    return QCoreApplication.translate("recording", text)
