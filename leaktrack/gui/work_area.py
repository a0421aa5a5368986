"""The work area: a bar of pages, and the page in hand. Pages are made when first shown."""

from importlib import import_module
from uuid import UUID

from PySide6.QtCore import QTimer, Signal
from PySide6.QtGui import QIcon, QResizeEvent
from PySide6.QtWidgets import QStackedWidget, QTabBar, QVBoxLayout, QWidget

from leaktrack.gui.look.page_frame import PageFrame
from leaktrack.gui.look.theme import GAP, icon
from leaktrack.gui.page_kinds import PAGE_OF_ENTRY, PAGES, StartsNew
from leaktrack.gui.session import Session
from leaktrack.model.logbook import EntryKind
from leaktrack.model.shapes import PointPx

_TAB_PADDING_PX = 20
_PACKAGE = "leaktrack.gui.pages"


class WorkArea(QWidget):
    """Shows what belongs to the picked entry and zone."""

    page_shown = Signal(str)
    """Key of the page now shown."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._pages: dict[str, QWidget] = {}
        self._frames: dict[str, PageFrame] = {}
        self._entries_shown = (session.entry, session.earlier_entry)
        self.bar = QTabBar()
        self.bar.setExpanding(False)
        self.bar.setDrawBase(False)
        self.bar.setUsesScrollButtons(True)
        self.bar.setAccessibleName(self.tr("Pages"))
        for place, kind in enumerate(PAGES):
            self.bar.addTab(icon(kind.icon), self.tr(kind.title))
            self.bar.setTabToolTip(place, self.tr(kind.title))
            self.bar.setTabVisible(place, not kind.is_transient)
        self._stack = QStackedWidget()
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, GAP, 0)
        rows.setSpacing(0)
        rows.addWidget(self.bar)
        rows.addWidget(self._stack, 1)
        self.bar.currentChanged.connect(self._on_tab_changed)
        session.picked.connect(self._on_picked)
        session.photo_wanted.connect(self._on_photo_wanted)
        session.clip_wanted.connect(self._on_clip_wanted)
        session.footage_asked.connect(self._on_footage_asked)

    @property
    def current_key(self) -> str:
        """Key of the page shown."""
        return PAGES[self.bar.currentIndex()].key

    @property
    def current_chapter(self) -> str:
        """The manual's chapter about the page shown."""
        return PAGES[self.bar.currentIndex()].chapter

    @property
    def current_page(self) -> QWidget:
        """The page shown."""
        return self.page(self.current_key)

    def page(self, key: str) -> QWidget:
        """Return a page, made now if it was never shown."""
        if key not in self._pages:
            kind = next(each for each in PAGES if each.key == key)
            page_class = getattr(import_module(f"{_PACKAGE}.{kind.module}"), kind.class_name)
            page: QWidget = page_class(self._session)
            page.setAccessibleName(self.tr(kind.title))
            self._pages[key] = page
            self._frames[key] = PageFrame(page, self._stack)
            self._stack.addWidget(self._frames[key])
        return self._pages[key]

    def show_page(self, key: str) -> QWidget:
        """Show a page and return it."""
        place = next(place for place, kind in enumerate(PAGES) if kind.key == key)
        if self.bar.currentIndex() == place:
            self._on_tab_changed(place)
        self.bar.setTabVisible(place, True)
        self.bar.setCurrentIndex(place)
        return self.page(key)

    def show_entry(self) -> None:
        """Show the page of the picked entry; for two of them, the comparison."""
        if self._session.entry is None:
            return
        is_pair = self._session.earlier_entry is not None
        self.show_page("compare" if is_pair else PAGE_OF_ENTRY[self._session.entry[0]])

    def start_new(self, kind: EntryKind) -> None:
        """Show the page that records something of a kind, with an empty form."""
        page = self.show_page(PAGE_OF_ENTRY[kind])
        if isinstance(page, StartsNew):
            page.start_new()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Drop the icons of the bar where there is no room for them beside the words."""
        super().resizeEvent(event)
        shown = [each for each in range(self.bar.count()) if self.bar.isTabVisible(each)]
        metrics = self.bar.fontMetrics()
        letters = sum(metrics.horizontalAdvance(self.bar.tabText(each)) for each in shown)
        around = _TAB_PADDING_PX + self.bar.iconSize().width() + GAP
        has_room = letters + around * len(shown) <= self.width()
        for place, kind in enumerate(PAGES):
            self.bar.setTabIcon(place, icon(kind.icon) if has_room else QIcon())

    def _on_tab_changed(self, place: int) -> None:
        key = PAGES[place].key
        self.page(key)
        self._stack.setCurrentWidget(self._frames[key])
        for other, kind in enumerate(PAGES):
            if kind.is_transient:
                self.bar.setTabVisible(other, other == place)
        self.page_shown.emit(key)

    def _on_picked(self) -> None:
        entries = (self._session.entry, self._session.earlier_entry)
        if entries != self._entries_shown:
            self._entries_shown = entries
            self.show_entry()

    def _on_photo_wanted(self, photo_id: UUID, at: PointPx | None) -> None:
        is_new = "inspect" not in self._pages
        self.show_page("inspect")
        if is_new:  # it came too late to hear the signal itself
            QTimer.singleShot(0, self, lambda: self._session.photo_wanted.emit(photo_id, at))

    def _on_clip_wanted(self, clip_id: UUID, at_ms: int) -> None:
        is_new = "job" not in self._pages
        self.show_page("job")
        if is_new:
            QTimer.singleShot(0, self, lambda: self._session.clip_wanted.emit(clip_id, at_ms))

    def _on_footage_asked(self, ask: object) -> None:
        is_new = "footage" not in self._pages
        self.show_page("footage")
        if is_new:
            QTimer.singleShot(0, self, lambda: self._session.footage_asked.emit(ask))
