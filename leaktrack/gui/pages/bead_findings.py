"""What is wrong with a bead, and what could not be judged, each a button to its place."""

from collections.abc import Callable, Sequence
from functools import partial

from PySide6.QtCore import QCoreApplication, Qt
from PySide6.QtWidgets import QVBoxLayout, QWidget

from leaktrack.gui.look.panels import push_button
from leaktrack.gui.look.theme import GAP_S
from leaktrack.model.bead_audit import BeadAudit, BeadDefect, HolePassing
from leaktrack.model.chance import chance_words
from leaktrack.model.sealing_job import BeadPlace
from leaktrack.model.units import rough, rough_span
from leaktrack.model.words import station_words, word
from leaktrack.workflows.audit_bead import middle_of
from leaktrack.workflows.pass_bolts import is_against_rule


class BeadFindings(QWidget):
    """One row for each finding.

    Args:
        take: Takes a place along the path in hand.
    """

    def __init__(self, take: Callable[[float], None]) -> None:
        super().__init__()
        self._take = take
        self._rows = QVBoxLayout(self)
        self._rows.setContentsMargins(0, 0, 0, 0)
        self._rows.setSpacing(GAP_S)

    def show_audit(
        self,
        audit: BeadAudit | None,
        passed: Sequence[HolePassing] = (),
        wanted: BeadPlace | None = None,
    ) -> None:
        """List what is wrong with another bead, and what of it was not read."""
        while (item := self._rows.takeAt(0)) is not None:
            old = item.widget()
            if old is not None:
                old.hide()
                old.deleteLater()
        if audit is None:
            return
        for defect in audit.defects:
            text = _defect_words(defect, audit)
            button = push_button(text, partial(self._take, middle_of(defect)), icon_name="pin")
            self._rows.addWidget(button, 0, Qt.AlignmentFlag.AlignLeft)
        for stretch in audit.unread:
            text = self.tr("%s cannot be judged: %s. Look yourself.") % (
                rough_span(stretch.start, stretch.end, audit.unit),
                stretch.reason,
            )
            middle = (stretch.start + stretch.end) / 2
            button = push_button(text, partial(self._take, middle), icon_name="not_seen")
            self._rows.addWidget(button, 0, Qt.AlignmentFlag.AlignLeft)
        for passing in passed:
            text = self._passing_words(passing, wanted)
            is_wrong = passing.side is not None and is_against_rule(passing, wanted)
            name = "attention" if is_wrong else "pin" if passing.side else "not_seen"
            button = push_button(text, partial(self._take, passing.along), icon_name=name)
            self._rows.addWidget(button, 0, Qt.AlignmentFlag.AlignLeft)

    def _passing_words(self, passing: HolePassing, wanted: BeadPlace | None) -> str:
        if passing.side is None:
            return self.tr("Bolt %s: the bead was not read there. Look yourself.") % passing.name
        words = self.tr("Bolt %s: the bead runs %s.") % (passing.name, word(passing.side))
        if wanted is not None and is_against_rule(passing, wanted):
            words += " " + self.tr("The material's rule wants it %s.") % word(wanted)
        return words


def _defect_words(defect: BeadDefect, audit: BeadAudit) -> str:
    length = rough(defect.end - defect.start, audit.unit, 1)
    place = rough(middle_of(defect), audit.unit)
    if defect.station is not None:
        place = station_words(defect.station)
    return QCoreApplication.translate("BeadFindings", "%s of %s at %s, %s") % (
        word(defect.kind), length, place, chance_words(defect.score),
    )  # fmt: skip
