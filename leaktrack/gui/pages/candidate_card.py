"""One possible cause of a leak: the sealing job, what speaks for it, what shows it, the verdict."""

from collections.abc import Mapping
from dataclasses import dataclass
from uuid import UUID

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QWidget

from leaktrack.gui.forms.times import day_text
from leaktrack.gui.item_models.thumbnails import Thumbnails
from leaktrack.gui.look.panels import Card, Heading, IconPicture, TonedLabel, push_button
from leaktrack.gui.look.theme import GAP, Tone
from leaktrack.gui.pages.evidence_row import EvidenceRow
from leaktrack.gui.pages.verdict_form import VerdictForm
from leaktrack.model.clue_words import clue_sentence
from leaktrack.model.photo import Clip, Photo
from leaktrack.model.sealing_job import DeviationKind
from leaktrack.model.trace import Candidate, Clue, ClueKind
from leaktrack.model.words import FACTS, station_words

_AGAINST = frozenset({ClueKind.FITTED_LATER, ClueKind.LINE_NOT_DRAWN, ClueKind.ABOVE_THE_JOINT})


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
    """Reads from top to bottom: which job, why, evidence, verdict."""

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
        self.sentences = tuple(_sentences(candidate))
        head = QHBoxLayout()
        head.setSpacing(GAP)
        head.addWidget(Heading(f"{rank}. {candidate.joint.name}", 2), 1)
        if candidate.station is not None:
            head.addWidget(self.place_button, 0, Qt.AlignmentFlag.AlignTop)
        self.rows.addLayout(head)
        self.rows.addWidget(TonedLabel(self._sealed_words(around.materials)))
        for icon_name, sentence in self.sentences:
            self.rows.addWidget(_line(icon_name, sentence))
        if candidate.evidence:
            self.rows.addWidget(self.evidence)
        else:
            self.evidence.hide()
            self.rows.addWidget(TonedLabel(self.tr("No photo or footage shows this job.")))
        self.rows.addWidget(self.verdict)
        self.rows.addWidget(self.job_button)

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
        name = self.tr("Show %s of %s in the photo")
        button.setAccessibleName(name % (place, self.candidate.joint.name))
        button.setToolTip(button.accessibleName())
        return button

    def _job_button(self) -> QPushButton:
        button = push_button(
            self.tr("Open the sealing job"), lambda: None, icon_name="sealing_job", is_quiet=True
        )
        button.setAccessibleName(self.tr("Open the sealing job: %s") % self.candidate.joint.name)
        return button


def _sentences(candidate: Candidate) -> "list[tuple[str, str]]":
    """Return the clues in plain sentences, each with an icon; what is unknown comes together."""
    lines = []
    gaps = []
    for clue in candidate.clues:
        deviation = clue.deviation
        if deviation is not None and deviation.kind is DeviationKind.NOT_RECORDED:
            gaps.append(FACTS.get(deviation.subject, deviation.subject))
        else:
            sentence = clue_sentence(clue)
            lines.append((_icon_name(clue), sentence[:1].upper() + sentence[1:]))
    if gaps:
        lines.append(("unknown", f"Not recorded: {', '.join(gaps)}"))
    return lines


def _icon_name(clue: Clue) -> str:
    if clue.kind in _AGAINST:
        return "question"
    return "attention" if clue.deviation is not None else "search"


def _line(icon_name: str, text: str) -> QWidget:
    line = QWidget()
    row = QHBoxLayout(line)
    row.setContentsMargins(0, 0, 0, 0)
    row.setSpacing(GAP)
    tone = Tone.ATTENTION if icon_name == "attention" else Tone.TEXT
    row.addWidget(IconPicture(icon_name, tone), 0, Qt.AlignmentFlag.AlignTop)
    label = QLabel(text)
    label.setWordWrap(True)
    label.setTextFormat(Qt.TextFormat.PlainText)
    row.addWidget(label, 1)
    return line
