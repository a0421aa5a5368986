"""The ring of a sealing job in its gland: sizes to be typed, and what they come to."""

from dataclasses import replace

from PySide6.QtWidgets import QVBoxLayout, QWidget

from leaktrack.gui.forms.choice_fields import ChoiceField, FlagField
from leaktrack.gui.forms.fields import Field, NumberField
from leaktrack.gui.forms.forms import RecordForm
from leaktrack.gui.forms.units import unit_of
from leaktrack.gui.look.panels import TonedLabel
from leaktrack.gui.look.theme import GAP, Tone
from leaktrack.gui.pages.fact_fields import unit_for
from leaktrack.gui.session import Session
from leaktrack.model.errors import LeakTrackError
from leaktrack.model.figure import Figure
from leaktrack.model.record import Edit
from leaktrack.model.ring import RingFit, RingSize
from leaktrack.model.ring_words import RING_ASSUMES, RING_NAMES, finding_sentence, ring_lines
from leaktrack.workflows.fit_ring import (
    RING_KINDS,
    figures_of,
    ring_fit_of,
    ring_sizes,
    set_ring_fit,
    with_size,
)
from leaktrack.workflows.view_sealing_job import JobView

_SIZES = ("inner", "section", "seat", "depth", "width")
_OTHER = ""


class RingBox(QWidget):
    """Shown for joints with a ring; the figures follow each size that is typed."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self._sizes: dict[str, RingSize] = {}
        self._view: JobView | None = None
        self.form = RecordForm(session, self._amend)
        self.size_field = ChoiceField(
            _capital(RING_NAMES["size"]), {_OTHER: self.tr("another size")}, is_required=True
        )
        self.figures = TonedLabel("", Tone.TEXT)
        self.worries = TonedLabel("", Tone.ATTENTION)
        self.assumes = TonedLabel(self.tr(RING_ASSUMES))
        self._build()

    def show_job(self, view: JobView) -> None:
        """Show the ring of a job."""
        fit = ring_fit_of(self._session.project, view.job.id)
        has_ring = view.joint.seal_kind in RING_KINDS or fit is not None
        self.setVisible(has_ring)
        if not has_ring:
            return
        is_same = self._view is not None and self._view.job.id == view.job.id
        self._view = view
        shown = self.form.record
        if fit is None:
            fit = RingFit(sealing_job_id=view.job.id)
            if is_same and shown is not None:  # the same empty form stays in hand
                fit = RingFit(id=shown.id, sealing_job_id=view.job.id)
        self._offer_sizes()
        self.form.show_record(fit)
        self._say(fit)

    def _amend(self, before: RingFit, after: RingFit) -> Edit:
        if after.size != before.size and after.size in self._sizes:
            after = with_size(after, self._sizes[after.size])
        elif after.size and _ring_of(before) != _ring_of(after):
            after = replace(after, size=_OTHER)  # somebody measured it: it is no standard ring
        is_empty = after == RingFit(id=after.id, sealing_job_id=after.sealing_job_id)
        return set_ring_fit(
            self._session.project, after.sealing_job_id, None if is_empty else after
        )

    def _offer_sizes(self) -> None:
        if not self._sizes:
            try:
                self._sizes = ring_sizes(self._session.project.resources_folder)
            except LeakTrackError as error:
                self._session.report(error)
        unit = unit_of("length_mm", self._session.settings.units)
        digits = unit.decimals - (unit.factor != 1)  # inches as the standard prints them
        choices = {
            name: f"{name}  ({unit.shown(size.inner_mm):.{digits}f} × "
            f"{unit.shown(size.section_mm):.{digits}f} {unit.symbol})"
            for name, size in self._sizes.items()
        }
        self.size_field.set_choices({_OTHER: self.tr("another size"), **choices})

    def _say(self, fit: RingFit) -> None:
        try:
            figures = figures_of(fit)
        except LeakTrackError as error:
            self.figures.setText("")
            self.worries.setText(str(error))
            self.worries.show()
            return
        lines = [_capital(line) + "." for line in ring_lines(figures, self._length)]
        missing = figures.missing_tolerances
        if lines and missing:
            lines.append(self.tr("No tolerance given, taken as exact: %s.") % ", ".join(missing))
        if not lines:
            lines = [self.tr("Give cord and depth, and the squeeze is worked out here.")]
        self.figures.setText("\n".join(lines))
        worries = [_capital(finding_sentence(one)) + "." for one in figures.findings]
        self.worries.setText("\n".join(worries))
        self.worries.setVisible(bool(worries))

    def _length(self, figure: Figure, decimals: int) -> str:
        unit = unit_of("length_mm", self._session.settings.units)
        if unit.factor == 1:
            return figure.words(unit.symbol, decimals)
        shown = Figure(unit.shown(figure.value), unit.shown(figure.low), unit.shown(figure.high))
        return shown.words(unit.symbol, decimals + 1)

    def _build(self) -> None:
        first: dict[str, Field] = {
            "size": self.size_field,
            "is_dynamic": FlagField(self.tr("One of the parts moves")),
        }
        self.form.add_group(self.tr("The ring in its gland"), first)
        for name in _SIZES:  # each size with its tolerance beside it
            size, tolerance = f"{name}_mm", f"{name}_tolerance_mm"
            label = _capital(RING_NAMES[size])
            pair: dict[str, Field] = {
                size: NumberField(label, unit_for(self._session, size)),
                tolerance: NumberField(
                    self.tr("%s, ±") % label, unit_for(self._session, tolerance)
                ),
            }
            self.form.add_group("", pair)
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(GAP)
        for part in (self.form, self.figures, self.worries, self.assumes):
            rows.addWidget(part)


def _ring_of(fit: RingFit) -> tuple[float | None, float | None]:
    return fit.inner_mm, fit.section_mm


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
