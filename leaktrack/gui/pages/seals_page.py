"""What past work teaches: how long seals last, what came out, whether people grade alike."""

from functools import partial

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QLabel, QVBoxLayout, QWidget

from leaktrack.gui.background import Job
from leaktrack.gui.forms.times import day_text
from leaktrack.gui.forms.when_seen import WhenSeen
from leaktrack.gui.look.panels import Card, Heading, ScrolledPage, TonedLabel, push_button
from leaktrack.gui.look.theme import GAP, GAP_L, target_size
from leaktrack.gui.pages.blind_grading import BlindGradingDialog
from leaktrack.gui.pages.seal_life_chart import SealLifeChart
from leaktrack.gui.pages.seal_life_table import SealLifeTable
from leaktrack.gui.session import Session
from leaktrack.model.agreement import Agreements
from leaktrack.model.engine import Joint
from leaktrack.model.errors import LeakTrackError
from leaktrack.model.logbook import EntryKind
from leaktrack.model.removed_seal import RemovedSeal
from leaktrack.model.seal_life import GroupLife, SealHistoryReport
from leaktrack.model.seal_life_words import (
    AGREEMENT_ASSUMES,
    LIFE_ASSUMES,
    agreement_sentence,
    group_sentence,
    kappa_words,
    rule_sentence,
)
from leaktrack.model.sealing_job import SealingJob
from leaktrack.model.words import word
from leaktrack.workflows.grade_blind import agreements
from leaktrack.workflows.tell_seal_history import seal_history


class SealsPage(QWidget):
    """Three cards: seal history of the whole project, removed seals, agreement."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self._running: Job | None = None
        self.table = SealLifeTable(target_size(session.settings))
        self.chart = SealLifeChart()
        self.group_words = _words()
        self.rule_words = _words()
        self.left_out = TonedLabel()
        self.state = TonedLabel()
        self.agreement_words = _words()
        self.kappas = TonedLabel()
        self.grade_button = push_button(
            self.tr("&Grade photos blind…"), self.grade_blind, icon_name="not_seen"
        )
        self._removed = QVBoxLayout()
        self._build()
        fresh = WhenSeen(self, self.reload)
        session.records_changed.connect(fresh.request)
        session.picked.connect(fresh.request)
        fresh.request()

    def reload(self) -> None:
        """Work everything out again."""
        project, engine_id = self._session.project, self._session.engine_id
        if self._running is not None:
            self._running.cancel()
        self.state.setText(self.tr("Working it out…"))
        self.state.show()

        def worked_out(found: tuple[SealHistoryReport, Agreements]) -> None:
            self._running = None
            self._show_history(found[0])
            self._show_agreement(found[1])

        def failed(error: LeakTrackError) -> None:
            self._running = None
            self.state.setText(str(error))

        self._running = self._session.background.run(
            lambda: (
                seal_history(project),
                agreements(project, engine_id) if engine_id else Agreements(()),
            ),
            then=worked_out,
            owner=self,
            failed=failed,
        )
        self._show_removed()

    def grade_blind(self) -> None:
        """Let somebody grade the photos of the engine without seeing the grades they have."""
        if self._session.engine_id is not None:
            BlindGradingDialog(self._session, self).open()

    def _show_history(self, report: SealHistoryReport) -> None:
        has_any = bool(report.groups)
        self.state.setVisible(not has_any)
        self.state.setText(
            self.tr(
                "No seal has been looked at yet after it ran. Record runs with their minutes, and "
                "inspections with photos of the zones."
            )
        )
        for part in (self.table, self.chart, self.group_words, self.rule_words):
            part.setVisible(has_any)
        self.table.show_groups(report.groups)
        self.rule_words.setText(rule_sentence(report))
        left = [f"{count} {reason}" for reason, count in report.left_out]
        self.left_out.setText(self.tr("Left out: %s.") % "; ".join(left) if left else "")
        self.left_out.setVisible(bool(left))

    def _show_group(self, group: GroupLife | None) -> None:
        self.chart.show_group(group)
        self.group_words.setText("" if group is None else group_sentence(group))

    def _show_agreement(self, found: Agreements) -> None:
        sentences = [agreement_sentence(one) for one in found.pairs]
        self.agreement_words.setText(
            "\n".join(sentences)
            or self.tr(
                "Nobody has graded the photos a second time yet. Let somebody else do it blind: "
                "then it shows whether a leak grew, or only met another eye."
            )
        )
        lines = [
            self.tr("%s and %s: kappa %s; linear weights %s; quadratic weights %s.")
            % (
                one.first,
                one.second,
                kappa_words(one.plain),
                kappa_words(one.linear),
                kappa_words(one.quadratic),
            )
            for one in found.pairs
        ]
        if found.fleiss is not None:
            lines.append(
                self.tr("%d people, %d places together: Fleiss' kappa %.2f.")
                % (found.people, found.together, found.fleiss)
            )
        if lines:
            lines.append(self.tr(AGREEMENT_ASSUMES))
        self.kappas.setText("\n".join(lines))
        self.kappas.setVisible(bool(lines))

    def _show_removed(self) -> None:
        while (item := self._removed.takeAt(0)) is not None:
            if widget := item.widget():
                widget.hide()
                widget.deleteLater()
        project = self._session.project
        seals = project.all(RemovedSeal)
        for seal in seals:
            job = project.get(SealingJob, seal.sealing_job_id)
            joint = project.get(Joint, job.joint_id)
            failures = [word(one) for one in (seal.failure, seal.second_failure) if one]
            text = self.tr("%s, out on %s: %s") % (
                joint.name,
                day_text(seal.examined_at),
                ", ".join(failures) or self.tr("not judged"),
            )
            pick = partial(
                self._session.pick, entry=(EntryKind.SEALING_JOB, job.id), joint_id=joint.id
            )
            self._removed.addWidget(push_button(text, pick, icon_name="sealing_job", is_quiet=True))
        if not seals:
            self._removed.addWidget(
                TonedLabel(
                    self.tr("None yet. They are recorded with the sealing job that fitted them.")
                )
            )

    def _build(self) -> None:
        content = QWidget()
        rows = QVBoxLayout(content)
        rows.setContentsMargins(GAP_L, GAP, GAP_L, GAP_L)
        rows.setSpacing(GAP_L)
        rows.setAlignment(Qt.AlignmentFlag.AlignTop)
        rows.addWidget(Heading(self.tr("How seals last")))
        life = Card()
        self.table.group_chosen.connect(self._show_group)
        for part in (
            TonedLabel(self.tr("All engines of this project.")),
            self.state,
            self.table,
            self.chart,
            self.group_words,
            self.rule_words,
            self.left_out,
            TonedLabel(self.tr(LIFE_ASSUMES)),
        ):
            life.rows.addWidget(part)
        rows.addWidget(life)
        removed = Card()
        removed.rows.addWidget(Heading(self.tr("Removed seals"), 2))
        self._removed.setSpacing(0)
        removed.rows.addLayout(self._removed)
        rows.addWidget(removed)
        agreed = Card()
        agreed.rows.addWidget(Heading(self.tr("Do people grade alike?"), 2))
        buttons = QHBoxLayout()
        buttons.addWidget(self.grade_button)
        buttons.addStretch(1)
        for part in (self.agreement_words, self.kappas):
            agreed.rows.addWidget(part)
        agreed.rows.addLayout(buttons)
        rows.addWidget(agreed)
        rows.addStretch(1)
        self.grade_button.setEnabled(not self._session.project.is_read_only)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(ScrolledPage(content))


def _words() -> QLabel:
    label = QLabel()
    label.setWordWrap(True)
    label.setTextFormat(Qt.TextFormat.PlainText)
    return label
