"""One possible cause of a leak: the sealing job, what speaks for it, what shows it, the verdict."""

from collections.abc import Mapping
from dataclasses import dataclass
from uuid import UUID

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QPushButton

from leaktrack.gui.forms.times import day_text
from leaktrack.gui.item_models.thumbnails import Thumbnails
from leaktrack.gui.look.chance_bar import ChanceBar
from leaktrack.gui.look.panels import Card, Heading, TonedLabel, push_button
from leaktrack.gui.look.theme import GAP
from leaktrack.gui.pages.clue_lines import ClueLines
from leaktrack.gui.pages.evidence_row import EvidenceRow
from leaktrack.gui.pages.verdict_form import VerdictForm
from leaktrack.model.photo import Clip, Photo
from leaktrack.model.trace import Candidate
from leaktrack.model.units import rough
from leaktrack.model.words import station_words


@dataclass(frozen=True, slots=True)
class Surroundings:
    """What a card needs beside its candidate.

    Attributes:
        materials: Names of materials by their id.
        bolts: Names of the joint's bolts by their id.
    """

    photos: Mapping[UUID, Photo]
    clips: Mapping[UUID, Clip]
    materials: Mapping[UUID, str]
    bolts: Mapping[UUID, str]


class CandidateCard(Card):
    """Reads from top to bottom: which job, how likely, why, evidence, verdict."""

    place_wanted = Signal(object)
    """Show where on the joint this is (Candidate)."""

    def __init__(
        self,
        rank: int,
        candidate: Candidate,
        around: Surroundings,
        thumbnails: Thumbnails,
        *,
        is_locked: bool,
    ) -> None:
        super().__init__()
        self.candidate = candidate
        self.verdict = VerdictForm(candidate, around.bolts, is_locked=is_locked)
        self.evidence = EvidenceRow(candidate.evidence, around.photos, around.clips, thumbnails)
        self.job_button = self._job_button()
        self.place_button = self._place_button()
        self.chance = ChanceBar(candidate.chance)
        self.clues = ClueLines(candidate.clues)
        head = QHBoxLayout()
        head.setSpacing(GAP)
        head.addWidget(Heading(f"{rank}. {self._title()}", 2), 1)
        if candidate.station is not None:
            head.addWidget(self.place_button, 0, Qt.AlignmentFlag.AlignTop)
        self.rows.addLayout(head)
        self.rows.addWidget(self.chance)
        self.rows.addWidget(TonedLabel(self._sealed_words(around.materials)))
        self.rows.addWidget(self.clues)
        if candidate.evidence:
            self.rows.addWidget(self.evidence)
        else:
            self.evidence.hide()
            self.rows.addWidget(TonedLabel(self.tr("No photo or footage shows this job.")))
        self.rows.addWidget(self.verdict)
        self.rows.addWidget(self.job_button)

    def _title(self) -> str:
        name = self.candidate.joint.name
        bolt = self.candidate.bolt
        return name if bolt is None else self.tr("%s, bolt %d") % (name, bolt.number)

    def _sealed_words(self, materials: Mapping[UUID, str]) -> str:
        job = self.candidate.job
        material = materials.get(job.material_id) if job.material_id else None
        when = self.tr("Sealed on %s") % day_text(job.done_at)
        who = self.tr("by %s") % job.done_by if job.done_by else ""
        return ", ".join(part for part in (when, material or "", who) if part)

    def _place_button(self) -> QPushButton:
        place = station_words(self.candidate.station)
        button = push_button(
            self.tr("At %s") % place, lambda: self.place_wanted.emit(self.candidate),
            icon_name="pin", is_quiet=True,
        )  # fmt: skip
        name = self.tr("Show %s of %s in the photo") % (place, self.candidate.joint.name)
        button.setAccessibleName(name)
        sigma = self.candidate.station_sigma_mm
        known = self.tr(", known to %s") % rough(sigma, "mm") if sigma is not None else ""
        button.setToolTip(name + known)
        return button

    def _job_button(self) -> QPushButton:
        button = push_button(
            self.tr("Open the sealing job"), lambda: None, icon_name="sealing_job", is_quiet=True
        )
        button.setAccessibleName(self.tr("Open the sealing job: %s") % self.candidate.joint.name)
        return button
