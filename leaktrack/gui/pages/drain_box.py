"""The debris of one drain: count it in a photo, keep the count, compare with earlier drains."""

from collections import Counter
from collections.abc import Sequence
from uuid import UUID

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QLabel, QVBoxLayout, QWidget

from leaktrack.gui.forms.choice_fields import ChoiceField
from leaktrack.gui.forms.times import day_text, now
from leaktrack.gui.look.panels import Card, Heading, TonedLabel, push_button
from leaktrack.gui.look.theme import GAP, Tone
from leaktrack.gui.pages.proposals import Proposals
from leaktrack.gui.session import Session
from leaktrack.model.debris import (
    DrainCount,
    Particle,
    ParticleKind,
    size_names,
    size_place,
)
from leaktrack.model.drain import Drain
from leaktrack.model.errors import LeakTrackError
from leaktrack.model.inspection import Check, CheckKind
from leaktrack.model.photo import Photo
from leaktrack.model.seal_life_words import (
    CRUMBS_ASSUME,
    change_words,
    crumbs_sentence,
    row_name,
)
from leaktrack.model.words import word
from leaktrack.workflows.keep_drain import (
    compare_drains,
    count_in_photo,
    crumbs_from,
    drain_of_photo,
    drains,
    keep_drain,
    remove_drain,
)


class DrainBox(QWidget):
    """Shown for checks of debris that have a photo."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self._check: Check | None = None
        self._photos: tuple[Photo, ...] = ()
        self._photo_id: UUID | None = None
        self._proposals: Proposals[DrainCount] = Proposals(
            session, self, self._show, self.keep, self.drop
        )
        self.photo_field = ChoiceField(self.tr("Photo of the paper"), {}, is_required=True)
        self.count_button = push_button(
            self.tr("Count the &particles"), self.count, icon_name="measure"
        )
        self.keep_button = self._proposals.keep_button
        self.drop_button = self._proposals.drop_button
        self.hint = TonedLabel(
            self.tr(
                "Add a photo of the strainer's or filter's debris on matt white paper, a printed "
                "target beside it; then it can be counted here and compared with the next drain."
            )
        )
        self.warning = TonedLabel("", Tone.ATTENTION)
        self.state = TonedLabel()
        self.counted = QLabel()
        self.compared = QLabel()
        self.crumbs = QLabel()
        self.assumes = TonedLabel()
        self._build()

    def show_check(self, check: Check, photos: Sequence[Photo]) -> None:
        """Show what a check's photos tell of the debris."""
        if self._check is None or check.id != self._check.id:
            self._proposals.clear()
            self._photo_id = None
        self._check, self._photos = check, tuple(photos)
        self.setVisible(check.kind is CheckKind.DEBRIS)
        names = {photo.id: photo.original_name for photo in photos}
        if self._photo_id not in names:
            kept = [each for each in names if drain_of_photo(self._session.project, each)]
            self._photo_id = next(iter([*kept, *names]), None)
        self.photo_field.set_choices(names)
        self.photo_field.set_value(self._photo_id)
        self._show()

    def count(self) -> None:
        """Count the particles in the photo in hand."""
        check, photo_id, project = self._check, self._photo_id, self._session.project
        if check is None or photo_id is None or self._proposals.is_running:
            return
        self._proposals.work_out(
            photo_id,
            self.tr("Counting particles"),
            lambda job: count_in_photo(project, photo_id, now(), progress=job.progress)[0],
            is_wanted=lambda: self._check is not None and self._check.id == check.id,
        )

    def keep(self) -> None:
        """Keep what was counted."""
        self._proposals.keep(
            self._photo_id,
            self.tr("Keep the particle count"),
            lambda found: keep_drain(self._session.project, found),
        )

    def drop(self) -> None:
        """Discard what was counted, or take away what was kept."""
        found = self._count()
        if found is not None:
            self._proposals.drop(
                found.photo_id,
                self.tr("Remove the particle count"),
                lambda: remove_drain(self._session.project, found.id),
            )

    def _take_photo(self, photo_id: UUID) -> None:
        self._photo_id = photo_id
        self._show()

    def _count(self) -> DrainCount | None:
        """Return what is shown: a count that waits for an answer, else the kept one."""
        if self._photo_id is None:
            return None
        waiting = self._proposals.of(self._photo_id)
        return waiting or drain_of_photo(self._session.project, self._photo_id)

    def _show(self) -> None:
        photo_id, found = self._photo_id, self._count()
        is_waiting = self._proposals.of(photo_id) is not None
        self.hint.setVisible(photo_id is None)
        self.photo_field.setVisible(len(self._photos) > 1)
        self.count_button.setVisible(photo_id is not None)
        self.count_button.setEnabled(not self._proposals.is_running)
        self._proposals.show_buttons(is_waiting=is_waiting, is_kept=found is not None)
        self.state.setVisible(photo_id is not None)
        if self._proposals.is_running:
            self.state.setText(self.tr("Counting…"))
        elif found is None:
            self.state.setText(self.tr("Not counted yet."))
        elif is_waiting:
            self.state.setText(self.tr("Not kept yet: look, then keep it or discard it."))
        else:
            self.state.setText(self.tr("Kept with the check."))
        self._show_count(found)
        self._show_comparison(None if is_waiting else found)

    def _show_count(self, found: DrainCount | None) -> None:
        for part in (self.counted, self.crumbs, self.assumes):
            part.setVisible(found is not None)
        self.warning.setVisible(found is not None and found.is_paper_doubtful)
        if found is None or self._check is None:
            return
        self.warning.setText(
            self.tr(
                "The surface is as uneven as bare metal, not like paper or cloth, so this may "
                "be no debris at all."
            )
        )
        self.counted.setText("\n".join(_count_lines(found)))
        sources = crumbs_from(self._session.project, self._check.engine_id, found.particles)
        self.crumbs.setText("\n".join(crumbs_sentence(one) for one in sources))
        self.crumbs.setVisible(bool(sources))
        self.assumes.setText(self.tr("A look, not what they are made of.") + " " + CRUMBS_ASSUME)

    def _show_comparison(self, kept: DrainCount | None) -> None:
        self.compared.hide()
        if kept is None or self._check is None:
            return
        known = drains(self._session.project, self._check.engine_id)
        own = next((one for one in known if one.count.id == kept.id), None)
        earlier = [one for one in known if own is not None and one.at < own.at]
        if own is None or not earlier:
            return
        self.compared.setText("\n".join(_compared_lines(earlier[-1], own)))
        self.compared.show()

    def _build(self) -> None:
        self.photo_field.answered.connect(self._take_photo)
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        card = Card()
        rows.addWidget(card)
        card.rows.addWidget(Heading(self.tr("The debris"), 2))
        buttons = QHBoxLayout()
        buttons.setSpacing(GAP)
        for each in (self.count_button, self.keep_button, self.drop_button):
            buttons.addWidget(each)
        buttons.addStretch(1)
        card.rows.addWidget(self.hint)
        card.rows.addWidget(self.photo_field)
        card.rows.addLayout(buttons)
        for label in (self.counted, self.compared, self.crumbs):
            label.setWordWrap(True)
            label.setTextFormat(Qt.TextFormat.PlainText)
        for part in (
            self.state,
            self.warning,
            self.counted,
            self.compared,
            self.crumbs,
            self.assumes,
        ):
            card.rows.addWidget(part)


def _count_lines(found: DrainCount) -> list[str]:
    unit = found.unit
    lines = [f"{len(found.particles)} particles of {found.least:.2g} {unit} and more."]
    for kind in ParticleKind:
        own = [one for one in found.particles if one.kind is kind]
        if own:
            lines.append(f"{word(kind).capitalize()}: {len(own)}{_sizes(own, unit)}.")
    return lines


def _sizes(own: Sequence[Particle], unit: str) -> str:
    if unit != "mm":
        return ""
    counted = Counter(size_place(one.length) for one in own)
    names = size_names()
    area = sum(one.area for one in own)
    sizes = ", ".join(f"{counted[place]} {names[place]}" for place in sorted(counted))
    return f" ({sizes}), {area:.2g} mm² together"


def _compared_lines(before: Drain, after: Drain) -> list[str]:
    try:
        found = compare_drains(before, after)
    except LeakTrackError as error:
        return [str(error)]
    head = f"Against the drain of {day_text(before.at)}, particles of {found.least_mm:.2g} mm up:"
    rows = [
        f"{row_name(row, word(row.kind) if row.kind else '').capitalize()}: {row.before} then, "
        f"{row.after} now; {change_words(row)}."
        for row in found.rows
        if not row.size
    ]
    return [head, *rows, found.assumes]
