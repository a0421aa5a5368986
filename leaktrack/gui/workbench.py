"""The two axes and the work area between them, for one open project."""

from datetime import datetime
from uuid import UUID

from PySide6.QtCore import QMimeData, QSettings, Qt
from PySide6.QtWidgets import (
    QApplication,
    QSplitter,
    QVBoxLayout,
    QWidget,
)

from leaktrack.gui.look.panels import Card
from leaktrack.gui.look.theme import GAP, GAP_S, target_size
from leaktrack.gui.page_kinds import TakesPhotos
from leaktrack.gui.pages.photo_sources import count_words, offers_photos, sources_in
from leaktrack.gui.panels.engine_corner import EngineCorner
from leaktrack.gui.panels.engine_sheet_panel import EngineSheetPanel
from leaktrack.gui.panels.joint_strip_panel import JointStripPanel
from leaktrack.gui.panels.logbook_panel import LogbookPanel
from leaktrack.gui.session import Session
from leaktrack.gui.work_area import WorkArea
from leaktrack.model.inspection import Inspection
from leaktrack.model.logbook import EntryKind

_LEFT_CHARACTERS = 40
"""Width of the logbook, in letters: wide enough for a title."""

_LEFT_SHARE, _TOP_SHARE, _BOTTOM_SHARE = 0.28, 0.22, 0.26
"""The most that the panels take of the window: large text must not squeeze the work area."""

_ACROSS, _DOWN = "layout/across", "layout/down"


class Workbench(QWidget):
    """Logbook at the left, engine sheet on top, pages in the middle, joint strip below."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.session = session
        self.logbook = LogbookPanel(session)
        self.sheet = EngineSheetPanel(session)
        self.work = WorkArea(session)
        self.strip = JointStripPanel(session)
        self._across = QSplitter(Qt.Orientation.Horizontal)
        self._down = QSplitter(Qt.Orientation.Vertical)
        self._build_layout()
        self.logbook.entry_chosen_again.connect(self.work.show_entry)
        for panel in (self.sheet, self.strip):
            panel.set_up_wanted.connect(lambda: self.work.show_page("engine"))

    def save_layout(self, store: QSettings) -> None:
        """Remember how the room is shared out."""
        store.setValue(_ACROSS, self._across.saveState())
        store.setValue(_DOWN, self._down.saveState())

    def restore_layout(self, store: QSettings) -> None:
        """Share out the room as remembered; as usual where nothing is."""
        self.reset_layout()
        for splitter, key in ((self._across, _ACROSS), (self._down, _DOWN)):
            if (state := store.value(key)) is not None:
                splitter.restoreState(state)

    def reset_layout(self) -> None:
        """Share out the room as on the first day."""
        for panel in (self._left, self.sheet, self.strip):
            panel.show()
        width, height = max(self.width(), 800), max(self.height(), 600)
        wanted = _LEFT_CHARACTERS * self.fontMetrics().averageCharWidth()
        wanted += 2 * target_size(self.session.settings)
        wanted = min(wanted, round(width * _LEFT_SHARE))
        left = max(wanted, self._left.minimumSizeHint().width())
        self._across.setSizes([left, width - left])
        top = min(self.sheet.sizeHint().height(), round(height * _TOP_SHARE))
        bottom = min(self.strip.sizeHint().height(), round(height * _BOTTOM_SHARE))
        self._down.setSizes([top, height - top - bottom, bottom])

    def show_first_page(self) -> None:
        """Show where work begins: at the inspections, or with setting up the engine."""
        self.logbook.list.setFocus()
        inspections = self.session.project.all(Inspection, engine_id=self.session.engine_id)
        self.work.show_page("inspect" if inspections else "engine")

    def panel(self, name: str) -> QWidget:
        """Return a panel that can be hidden, by its name in PANELS."""
        return {"logbook": self._left, "sheet": self.sheet, "strip": self.strip}[name]

    def words_for_drop(self, mime: QMimeData) -> str:
        """Return what a drop would add, such as "12 photos"; empty where it is nothing for us."""
        return count_words(sources_in(mime)) if offers_photos(mime) else ""

    def add_dropped(self, mime: QMimeData) -> None:
        """Show the page Photos and add what was dropped."""
        page = self.work.show_page("photos")
        if isinstance(page, TakesPhotos):
            page.add_sources(sources_in(mime))

    def cycle_panels(self, direction: int) -> None:
        """Give the keyboard to the next panel (1) or the one before (-1)."""
        panels = [
            (panel, entrance)
            for panel, entrance in self._entrances()
            if panel.isVisible() and entrance is not None
        ]
        focused = QApplication.focusWidget()
        here = next(
            (
                place
                for place, (panel, _entrance) in enumerate(panels)
                if focused is not None and (panel is focused or panel.isAncestorOf(focused))
            ),
            -1 if direction > 0 else 0,
        )
        entrance = panels[(here + direction) % len(panels)][1]
        if entrance is not None:
            entrance.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def step_zone(self, direction: int) -> None:
        """Pick the next zone of the sheet (1) or the one before (-1)."""
        zone_ids = [card.zone_id for card in self.sheet.cards]
        if not zone_ids:
            return
        picked = self.session.zone_id
        here = zone_ids.index(picked) if picked in zone_ids else -1
        self.session.pick(zone_id=zone_ids[(here + direction) % len(zone_ids)])

    def compare_with_before(self) -> bool:
        """Compare the inspection in hand with the one before it; False if there is none."""
        pair = inspection_pair(
            self.session.project.all(Inspection, engine_id=self.session.engine_id),
            self.session.entry,
        )
        if pair is None:
            return False
        earlier, later = ((EntryKind.INSPECTION, each.id) for each in pair)
        self.session.pick(entry=later, earlier_entry=earlier)
        return True

    def _entrances(self) -> list[tuple[QWidget, QWidget | None]]:
        card = next((each for each in self.sheet.cards if each.isChecked()), None)
        first_card = next(iter(self.sheet.cards), None)
        return [
            (self._left, self.logbook.list),
            (self.sheet, card or first_card),
            (self.work.bar, self.work.bar),
            (self.work.current_page, _first_stop(self.work.current_page)),
            (self.strip, self.strip.chart),
        ]

    def _build_layout(self) -> None:
        self._left = QWidget()
        column = QVBoxLayout(self._left)
        column.setContentsMargins(0, GAP_S, 0, 0)
        column.setSpacing(GAP_S)
        column.addWidget(EngineCorner(self.session))
        column.addWidget(self.logbook, 1)
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(GAP_S)
        if self.session.project.is_read_only:
            rows.addWidget(self._read_only_banner())
        # From outside to inside: what gets another parent is styled anew with all that is in it.
        rows.addWidget(self._across, 1)
        self._across.addWidget(self._left)
        self._across.addWidget(self._down)
        self._across.setStretchFactor(1, 1)
        for panel in (self.sheet, self.work, self.strip):
            self._down.addWidget(panel)
        self._down.setStretchFactor(1, 1)
        for splitter in (self._across, self._down):
            splitter.setChildrenCollapsible(False)

    def _read_only_banner(self) -> QWidget:
        banner = Card("attention")
        text = self.tr(
            "Open for looking only, held by {holder}. Nothing can be changed here; "
            "close it there and open it again to work on it."
        )
        banner.add_line("lock", text.format(holder=self.session.project.holder))
        around = QWidget()
        row = QVBoxLayout(around)
        row.setContentsMargins(GAP, GAP_S, GAP, 0)
        row.addWidget(banner)
        return around


def _first_stop(page: QWidget) -> QWidget | None:
    """Return the first widget of a page that the Tab key can reach."""
    stops = (
        each
        for each in page.findChildren(QWidget)
        if each.focusPolicy() & Qt.FocusPolicy.TabFocus
        and each.isVisibleTo(page)
        and each.isEnabled()
    )
    return next(stops, None)


def inspection_pair(
    inspections: "tuple[Inspection, ...]", entry: tuple[EntryKind, UUID] | None
) -> tuple[Inspection, Inspection] | None:
    """Return two inspections to compare, earlier first; None if there are not two.

    Args:
        inspections: All of the engine, in any order.
        entry: The entry in hand: where it is an inspection, it is the later one of the two.
    """
    in_order = sorted(inspections, key=_looked_at)
    ids = [each.id for each in in_order]
    later = ids.index(entry[1]) if entry is not None and entry[1] in ids else len(ids) - 1
    return None if later < 1 else (in_order[later - 1], in_order[later])


def _looked_at(inspection: Inspection) -> datetime:
    return inspection.looked_at
