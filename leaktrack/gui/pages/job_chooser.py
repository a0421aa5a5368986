"""Which joint, and which of its sealing jobs: above the page of a sealing job."""

from uuid import UUID

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from leaktrack.gui.forms.choice_fields import ChoiceField
from leaktrack.gui.forms.field_grid import FieldGrid
from leaktrack.gui.forms.times import time_text
from leaktrack.gui.look.panels import push_button
from leaktrack.gui.look.theme import GAP, GAP_L
from leaktrack.gui.pages.places import zone_names
from leaktrack.gui.session import Session
from leaktrack.model.engine import Joint
from leaktrack.model.sealing_job import SealingJob
from leaktrack.workflows.find_engine import joints_of_engine


class JobChooser(QWidget):
    """Two drop-down lists and a button for a new job."""

    joint_chosen = Signal(object)
    """Show this joint (UUID)."""
    job_chosen = Signal(object)
    """Show this job (UUID)."""
    new_wanted = Signal()
    """Record a new job on the joint shown."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self.joint_field = ChoiceField(self.tr("&Joint").replace("&", ""), {}, is_required=True)
        self.job_field = ChoiceField(self.tr("Sealed on"), {}, absent=self.tr("not recorded yet"))
        self.new_button = push_button(
            self.tr("New sealing jo&b"), self.new_wanted.emit, icon_name="add"
        )
        self.joint_field.set_mnemonic("j")
        self.joint_field.answered.connect(self.joint_chosen)
        self.job_field.answered.connect(self._on_job_chosen)
        rows = QVBoxLayout(self)
        rows.setContentsMargins(GAP_L, GAP, GAP_L, 0)
        rows.addWidget(
            FieldGrid((self.joint_field, self.job_field, self.new_button), cell_characters=28)
        )

    def show_choice(self, joint_id: UUID | None, job_id: UUID | None) -> None:
        """Show what is on the page, among what there is."""
        project, engine_id = self._session.project, self._session.engine_id
        joints = joints_of_engine(project, engine_id) if engine_id is not None else ()
        zones = zone_names(project, engine_id)
        self.joint_field.set_choices({joint.id: _name(joint, zones) for joint in joints})
        self.joint_field.set_value(joint_id)
        jobs = project.all(SealingJob, joint_id=joint_id) if joint_id is not None else ()
        self.job_field.set_choices({job.id: time_text(job.done_at) for job in reversed(jobs)})
        self.job_field.set_value(job_id)
        self.new_button.setEnabled(joint_id is not None and not project.is_read_only)

    def _on_job_chosen(self, job_id: UUID | None) -> None:
        if job_id is not None:
            self.job_chosen.emit(job_id)


def _name(joint: Joint, zones: dict[UUID, str]) -> str:
    zone = zones.get(joint.zone_id, "")
    is_named = zone.casefold() in joint.name.casefold()
    return joint.name if is_named else f"{zone}: {joint.name}"
