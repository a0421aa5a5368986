"""The compare page: two inspections of a zone, their photos and their leaks."""

from functools import partial
from uuid import UUID

from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QHideEvent
from PySide6.QtWidgets import QCheckBox, QHBoxLayout, QSplitter, QVBoxLayout, QWidget

from leaktrack.gui.background import Job
from leaktrack.gui.forms.choice_fields import CalmComboBox
from leaktrack.gui.item_models.changes_model import ChangeRow
from leaktrack.gui.look.panels import Card, EmptyState, Heading, ScrolledPage, TonedLabel, row_with
from leaktrack.gui.look.theme import GAP, GAP_L, GAP_S, Tone, target_size
from leaktrack.gui.pages.changes_table import ChangesTable
from leaktrack.gui.pages.growth_card import GrowthCard
from leaktrack.gui.pages.heat_card import HeatCard
from leaktrack.gui.pages.inspection_pairs import pair_in_hand, unlike
from leaktrack.gui.pages.lazy_page import LazyPage
from leaktrack.gui.pages.photo_comparison import PhotoComparison
from leaktrack.gui.pages.places import inspection_name, inspection_names, zone_names
from leaktrack.gui.session import Session
from leaktrack.model.comparison import Comparison, LeakChange
from leaktrack.model.errors import BadInput, Cancelled
from leaktrack.model.inspection import Inspection
from leaktrack.model.logbook import EntryKind
from leaktrack.model.photo import Photo
from leaktrack.workflows.compare_inspections import best_photo_pairs, compare
from leaktrack.workflows.measure_sightings import measured
from leaktrack.workflows.weigh_heat import heat_between

_TABLE_LETTERS = 42
"""So wide is the table, that an area with its standard deviation stands in one line."""


class ComparePage(LazyPage):
    """Photos at the left; at the right how each leak fared, and what makes the two unlike."""

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self._inspections: tuple[Inspection, Inspection] | None = None
        self._zone_id: UUID | None = None
        self._compared: Comparison | None = None
        self._measuring: Job | None = None
        self.earlier_box = _box(self.tr("Earlier inspection"))
        self.later_box = _box(self.tr("Later inspection"))
        self.pair_box = _box(self.tr("Pair of photos"))
        self.heading = Heading("", 2)
        self.photos = PhotoComparison(session)
        self.no_photos = TonedLabel("", Tone.ATTENTION)
        self.table = ChangesTable(target_size(session.settings) + GAP_S)
        self.no_leaks = TonedLabel(self.tr("No leak is known here at these inspections."))
        self.all_box = QCheckBox(self.tr("Leaks of &all zones"))
        self.heat = HeatCard()
        self.growth = GrowthCard(session)
        self.unlike_card = Card("attention")
        self.unlike = TonedLabel("", Tone.TEXT)
        self._build()
        self._connect()
        self.listen()

    def reload(self) -> None:
        """Compare what is in hand again."""
        project, engine_id = self.session.project, self.session.engine_id
        inspections = project.all(Inspection, engine_id=engine_id)
        self._inspections = pair_in_hand(self.session, inspections)
        if self._inspections is None:
            self.show_empty_state("too few")
            return
        self.show_content()
        before, after = self._inspections
        names = inspection_names(project, engine_id)
        for box, chosen in ((self.earlier_box, before), (self.later_box, after)):
            box.clear()
            for inspection_id, name in names.items():
                box.addItem(name, inspection_id)
            box.setCurrentIndex(row_with(box, chosen.id))
        self._show_zone(before, after)
        self._show_changes(before, after)
        sentences = unlike(before, after, self.session.settings.units)
        self.unlike.setText("\n".join(f"• {sentence}." for sentence in sentences))
        self.unlike_card.setVisible(bool(sentences))

    def changeEvent(self, event: QEvent) -> None:
        """Keep room for the figures of the table when the text grows."""
        super().changeEvent(event)
        if event.type() is QEvent.Type.FontChange:
            self._give_room()

    def _give_room(self) -> None:
        self._beside.setMinimumWidth(_TABLE_LETTERS * self.fontMetrics().averageCharWidth())

    def hideEvent(self, event: QHideEvent) -> None:
        """Drop the measuring that nobody waits for any more; it is taken up on coming back."""
        if self._measuring is not None:
            self._drop_measuring()
            self._is_stale = True
        self.growth.drop()
        super().hideEvent(event)

    def _show_zone(self, before: Inspection, after: Inspection) -> None:
        zones = zone_names(self.session.project, self.session.engine_id)
        in_hand = self.session.zone_id
        self._zone_id = in_hand if in_hand in zones else self._zone_with_photos(before, after)
        pairs = self._photo_pairs(before, after)
        name = zones.get(self._zone_id, "") if self._zone_id else ""
        self.heading.setText(name or self.tr("Compare"))
        was_shown = self.pair_box.currentData()
        self.pair_box.clear()
        for place, pair in enumerate(pairs, 1):
            self.pair_box.addItem(self.tr("Photos %d of %d") % (place, len(pairs)), pair)
        self.pair_box.setCurrentIndex(max(0, row_with(self.pair_box, was_shown)))
        self.pair_box.setVisible(len(pairs) > 1)
        self.photos.setVisible(bool(pairs))
        self.no_photos.setVisible(not pairs)
        self.no_photos.setText("" if pairs else self._missing_words(name, before, after))
        self._show_pair()

    def _show_pair(self) -> None:
        if self._inspections is not None:
            before, after = self._inspections
            pair = self.pair_box.currentData()
            self.photos.show_pair(pair, (inspection_name(before), inspection_name(after)))

    def _photo_pairs(self, before: Inspection, after: Inspection) -> tuple[tuple[UUID, UUID], ...]:
        if self._zone_id is None:
            return ()
        return best_photo_pairs(self.session.project, before.id, after.id, self._zone_id)

    def _zone_with_photos(self, before: Inspection, after: Inspection) -> UUID | None:
        """Return a zone that was photographed at both, else at the later one."""
        of = {
            one.id: {photo.zone_id for photo in self._photos_of(one) if photo.zone_id}
            for one in (before, after)
        }
        both = of[before.id] & of[after.id]
        zones = zone_names(self.session.project, self.session.engine_id)
        return next((zone for zone in zones if zone in (both or of[after.id])), None)

    def _photos_of(self, inspection: Inspection) -> tuple[Photo, ...]:
        return self.session.project.all(Photo, inspection_id=inspection.id)

    def _missing_words(self, name: str, before: Inspection, after: Inspection) -> str:
        missing = [
            inspection_name(one)
            for one in (before, after)
            if all(photo.zone_id != self._zone_id for photo in self._photos_of(one))
        ]
        text = self.tr(
            "%s was not photographed at: %s. So there is nothing to lay over each other."
        )
        return text % (name or self.tr("This zone"), ", ".join(missing))

    def _show_changes(self, before: Inspection, after: Inspection) -> None:
        zone_id = None if self.all_box.isChecked() else self._zone_id
        found = compare(self.session.project, before.id, after.id, zone_id)
        self._show_rows(found)
        self._measure(found)
        self._show_growth(found)

    def _show_rows(self, found: Comparison) -> None:
        zones = zone_names(self.session.project, self.session.engine_id)
        rows = [ChangeRow(each, zones.get(each.leak.zone_id, "")) for each in found.changes]
        self.table.set_rows(rows, self.session.leak_id)
        self.table.setVisible(bool(rows))
        self.no_leaks.setVisible(not rows)
        heat = heat_between(self.session.project, found.before_id, found.after_id)
        self.heat.show_factor(heat, found.changes)

    def _show_growth(self, found: Comparison) -> None:
        ids = [each.leak.id for each in found.changes]
        leak_id = self.session.leak_id if self.session.leak_id in ids else next(iter(ids), None)
        names = inspection_names(self.session.project, self.session.engine_id)
        self.growth.show_leak(leak_id, found.after_id, names)

    def _measure(self, found: Comparison) -> None:
        """Measure the wet areas at the targets in their photos; the table is told again then."""
        self._drop_measuring()
        project = self.session.project

        def work() -> Comparison:
            return measured(project, found, lambda *_: self._go_on(found))

        self._compared = found
        self._measuring = self.session.background.run(
            work, then=partial(self._on_measured, found), owner=self
        )

    def _drop_measuring(self) -> None:
        self._compared = None
        if self._measuring is not None:
            self._measuring.cancel()
            self._measuring = None

    def _go_on(self, found: Comparison) -> None:
        if found is not self._compared:
            raise Cancelled("measuring")

    def _on_measured(self, found: Comparison, measures: Comparison) -> None:
        if found is self._compared:
            self._measuring = None
            self._show_rows(measures)

    def _on_inspection_chosen(self) -> None:
        earlier, later = self.earlier_box.currentData(), self.later_box.currentData()
        if earlier == later:
            self.session.failed.emit(_same())
            self.reload()
            return
        self.session.pick(
            entry=(EntryKind.INSPECTION, later), earlier_entry=(EntryKind.INSPECTION, earlier)
        )

    def _on_leak_chosen(self, change: LeakChange) -> None:
        self.session.pick(
            entry=self.session.entry,
            earlier_entry=self.session.earlier_entry,
            leak_id=change.leak.id,
            zone_id=change.leak.zone_id,
            joint_id=change.leak.joint_id,
        )

    def _connect(self) -> None:
        for box in (self.earlier_box, self.later_box):
            box.activated.connect(lambda _row: self._on_inspection_chosen())
        self.pair_box.activated.connect(lambda _row: self._show_pair())
        self.all_box.clicked.connect(self.reload)
        self.table.leak_chosen.connect(self._on_leak_chosen)
        self.table.shown.connect(lambda change: self.photos.show_leak(change.leak.id))

    def _build(self) -> None:
        left = QWidget()
        rows = QVBoxLayout(left)
        rows.setContentsMargins(0, 0, GAP_S, 0)
        rows.addWidget(self.photos, 1)
        rows.addWidget(self.no_photos, 1, Qt.AlignmentFlag.AlignCenter)
        self.unlike_card.rows.addWidget(Heading(self.tr("Not seen alike"), 3))
        self.unlike_card.rows.addWidget(self.unlike)
        right = QWidget()
        rows = QVBoxLayout(right)
        rows.setContentsMargins(GAP_S, 0, 0, 0)
        rows.setSpacing(GAP)
        rows.addWidget(self.all_box, 0, Qt.AlignmentFlag.AlignLeft)
        rows.addWidget(self.table)
        rows.addWidget(self.no_leaks)
        rows.addWidget(self.heat)
        rows.addWidget(self.growth)
        rows.addWidget(self.unlike_card)
        rows.addStretch(1)
        self._beside = ScrolledPage(right)
        self._give_room()
        split = QSplitter()
        split.setChildrenCollapsible(False)
        split.addWidget(left)
        split.addWidget(self._beside)
        split.setStretchFactor(0, 1)
        split.setSizes([580, 380])
        head = QHBoxLayout()
        head.addWidget(self.heading, 1)
        head.addWidget(self.pair_box)
        head.addWidget(self.earlier_box)
        head.addWidget(TonedLabel("→"))
        head.addWidget(self.later_box)
        content = QWidget()
        rows = QVBoxLayout(content)
        rows.setContentsMargins(GAP_L, GAP, GAP_L, GAP)
        rows.setSpacing(GAP)
        rows.addLayout(head)
        rows.addWidget(split, 1)
        self.set_content(content)
        self.add_empty_state("too few", EmptyState(
            self.tr("Two inspections are needed"),
            self.tr(
                "A comparison shows what changed from one look at the engine to the next. "
                "Record another inspection first."
            ),
        ))  # fmt: skip


def _box(name: str) -> CalmComboBox:
    box = CalmComboBox()
    box.setMinimumContentsLength(14)
    box.setAccessibleName(name)
    box.setToolTip(name)
    return box


def _same() -> BadInput:
    return BadInput("This is one inspection twice. Choose two of them to compare.")
