"""The arithmetic of a sealing job's bead: how wide it spreads, what it takes, how long it needs."""

from leaktrack.gui.look.panels import Card, Heading, TonedLabel
from leaktrack.gui.look.theme import Tone
from leaktrack.model.sealant_words import (
    BEAD_ASSUMES,
    bead_sentences,
    cure_assumes,
    missing_for_sums,
)
from leaktrack.workflows.view_sealing_job import JobView
from leaktrack.workflows.work_out_bead import bead_sums


class BeadSumsCard(Card):
    """What follows from the figures recorded, and which further ones would tell more."""

    def __init__(self) -> None:
        super().__init__()
        self.words = TonedLabel("", Tone.TEXT)
        self.missing = TonedLabel()
        self.assumes = TonedLabel()
        self.rows.addWidget(Heading(self.tr("Sealant and time"), 2))
        for each in (self.words, self.missing, self.assumes):
            self.rows.addWidget(each)
        self.hide()

    def show_job(self, view: JobView) -> None:
        """Show what is known of a job; hidden where no liquid gasket seals the joint."""
        sums = bead_sums(view.job, view.joint, view.rule, view.first_run_at)
        self.setVisible(sums is not None)
        if sums is None:
            return
        sentences = bead_sentences(sums)
        assumed = (BEAD_ASSUMES, cure_assumes())
        self.words.setText("\n".join(each for each in sentences if each not in assumed))
        self.words.setVisible(bool(sentences))
        self.assumes.setText(" ".join(each for each in sentences if each in assumed))
        self.assumes.setVisible(bool(self.assumes.text()))
        missing = missing_for_sums(sums)
        text = self.tr("More could be told by: %s.") % ", ".join(missing)
        self.missing.setText(text)
        self.missing.setVisible(bool(missing))
