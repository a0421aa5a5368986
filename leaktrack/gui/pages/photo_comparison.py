"""Two photos of a zone compared: laid over each other, side by side, or what changed in colours."""

from collections.abc import Sequence
from enum import Enum
from functools import partial
from uuid import UUID

from PySide6.QtCore import Qt
from PySide6.QtGui import QHideEvent, QShowEvent
from PySide6.QtWidgets import (
    QButtonGroup,
    QHBoxLayout,
    QLabel,
    QSlider,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from leaktrack.gui.look.flow_layout import FlowLayout
from leaktrack.gui.look.panels import TonedLabel, push_button
from leaktrack.gui.look.theme import GAP, GAP_S, Tone
from leaktrack.gui.look.toggle_button import ToggleButton
from leaktrack.gui.pages.blinker import Blinker
from leaktrack.gui.pages.change_legend import ChangeLegend
from leaktrack.gui.pages.faded_view import FadedView
from leaktrack.gui.pages.laying_over import LaidOver, OverlayLoader
from leaktrack.gui.pages.side_by_side import SideBySide
from leaktrack.gui.photo_view import PhotoView
from leaktrack.gui.session import Session
from leaktrack.model.engine import JointLine
from leaktrack.model.errors import LeakTrackError
from leaktrack.model.leak import Leak, LeakMark
from leaktrack.model.photo import Photo

_STEPS = 100
_HALF = 50


class Mode(Enum):
    """How the photos are shown."""

    OVER = "over"
    SIDE = "side"
    CHANGE = "change"


class PhotoComparison(QWidget):
    """The photos with their tools; says what cannot be told."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self._pair: tuple[UUID, UUID] | None = None
        self._laid: LaidOver | None = None
        self.loader = OverlayLoader(session, self)
        self.faded = FadedView(session)
        self.faded.setAccessibleName(self.tr("Photos laid over each other"))
        self.both = SideBySide(session)
        self.notice = TonedLabel("", Tone.ATTENTION)
        self.legend = TonedLabel()
        self.change_legend = ChangeLegend()
        self.slider = QSlider(Qt.Orientation.Horizontal)
        self.slider.setRange(0, _STEPS)
        self.slider.setValue(_HALF)
        self.slider.setPageStep(10)
        self.slider.setAccessibleName(self.tr("Fade from the earlier to the later photo"))
        self.over_button = self._mode_button(self.tr("&Laid over"), "overlay", Mode.OVER)
        self.side_button = self._mode_button(self.tr("S&ide by side"), "swap", Mode.SIDE)
        self.change_button = self._mode_button(self.tr("Chan&ge"), "change", Mode.CHANGE)
        self._wanted = Mode.OVER
        self.swap_button = push_button(self.tr("S&wap (S)"), self.swap)
        self.blinker = Blinker()
        self._stack = QStackedWidget()
        self._build()
        self._connect()

    @property
    def laid(self) -> LaidOver | None:
        """The photos laid over each other; None while that is not known."""
        return self._laid

    @property
    def mode(self) -> Mode:
        """How the photos are shown now."""
        if self._stack.currentWidget() is not self._over:
            return Mode.SIDE
        return Mode.CHANGE if self.faded.shows_change else Mode.OVER

    def show_pair(self, pair: tuple[UUID, UUID] | None, names: tuple[str, str]) -> None:
        """Show a pair of photos, earlier first, with the names of their inspections."""
        if pair != self._pair:
            self._pair = pair
            self._laid = None
            self.faded.lay(None, 1)
            self.both.lock(None)
            self.blinker.stop()
        self.both.earlier_caption.set_whole_text(names[0])
        self.both.later_caption.set_whole_text(names[1])
        self.slider.setToolTip(" → ".join(names))
        self._show_state()
        self._fetch()

    def showEvent(self, event: QShowEvent) -> None:
        """Go on with what was dropped when the page was left."""
        super().showEvent(event)
        self._fetch()

    def hideEvent(self, event: QHideEvent) -> None:
        """Drop the work that nobody waits for any more."""
        self.loader.load(None)
        super().hideEvent(event)

    def show_leak(self, leak_id: UUID) -> None:
        """Bring a leak's mark in the later photo, or else the earlier one, to the middle."""
        for photo_id, view in self._shown_views():
            marks = self._session.project.all(LeakMark, photo_id=photo_id, leak_id=leak_id)
            mark = next((each for each in marks if each.source_px or each.outline_px), None)
            if mark is not None:
                at = mark.source_px or mark.outline_px[0]
                view.selected_mark_id = mark.id
                view.center_on_point(at, 2.0)
                return

    def swap(self) -> None:
        """Show the other photo of the two at once."""
        if self._can_lay():
            self._choose_mode(Mode.OVER)
            self.slider.setValue(0 if self.slider.value() > _HALF else _STEPS)

    def _fetch(self) -> None:
        wanted = self._pair if self._laid is None and self.isVisible() else None
        self.loader.load(wanted)

    def _can_lay(self) -> bool:
        return self._laid is not None and self._laid.state != "failed"

    def _shown_views(self) -> list[tuple[UUID, PhotoView]]:
        """Return the views in front with the photo whose frame they have, the later one first."""
        if self._pair is None:
            return []
        if self.mode is not Mode.SIDE:
            return [(self._pair[1], self.faded)]
        return [(self._pair[1], self.both.later), (self._pair[0], self.both.earlier)]

    def _show_photos(self) -> None:
        """Show the pair in the views in front; those behind decode nothing."""
        before_id, after_id = self._pair or (None, None)
        if self.mode is not Mode.SIDE:
            self.faded.show_photo(after_id)
            return
        self.both.show_pair(before_id, after_id)
        self.both.lock(self._laid.mesh if self._laid is not None else None)

    def _draw(self) -> None:
        """Draw marks and lines where they are in the frame of the picture."""
        if self._pair is None:
            return
        for photo_id, view in (
            (self._pair[1], self.faded),
            (self._pair[1], self.both.later),
            (self._pair[0], self.both.earlier),
        ):
            if view.photo_id == photo_id:
                view.set_overlays(*self._contents(photo_id))

    def _contents(
        self, photo_id: UUID
    ) -> tuple[Sequence[tuple[LeakMark, int]], Sequence[JointLine]]:
        project = self._session.project
        marks = project.all(LeakMark, photo_id=photo_id)
        numbers = {leak.id: leak.number for leak in project.all(Leak)}
        lines = project.all(JointLine, photo_id=photo_id)
        return [(mark, numbers[mark.leak_id]) for mark in marks], lines

    def _on_loaded(self, laid: LaidOver) -> None:
        self._laid = laid
        photo = self._session.project.find(Photo, self._pair[1]) if self._pair else None
        if photo is not None and laid.earlier is not None:
            self.faded.lay(laid, photo.width_px)
        self._show_state()

    def _on_failed(self, error: LeakTrackError) -> None:
        self._laid = LaidOver("failed", None, None, 1.0, str(error))
        self._show_state()

    def _show_state(self) -> None:
        laid = self._laid
        can_lay = self._can_lay()
        mode = self._wanted if laid is None or can_lay else Mode.SIDE
        self.faded.show_change(mode is Mode.CHANGE)
        self._stack.setCurrentWidget(self.both if mode is Mode.SIDE else self._over)
        for each, button in self._buttons.items():
            button.setEnabled(each is Mode.SIDE or laid is None or can_lay)
            button.setChecked(each is mode)
        self._show_photos()
        self._draw()
        self.swap_button.setEnabled(can_lay)
        self.blinker.setEnabled(can_lay)
        if mode is not Mode.OVER:
            self.blinker.stop()
        self._fade.setVisible(mode is Mode.OVER)
        self.slider.setEnabled(can_lay)
        self._on_slid()
        self.notice.setText(self._notice_words(laid) if self._pair else "")
        self.notice.setVisible(bool(self.notice.text()))
        self._show_legends(mode)

    def _show_legends(self, mode: Mode) -> None:
        laid = self._laid
        has_unseen = self._can_lay() and laid is not None and laid.hatching is not None
        self.legend.setVisible(has_unseen and mode is Mode.OVER)
        self.change_legend.setVisible(mode is Mode.CHANGE)
        if laid is not None:
            text = self.tr(
                "Striped (%d %%): the earlier photo does not show this, nothing is told."
            )
            self.legend.setText(text % max(1, round(laid.unseen_share * 100)))
            self.change_legend.show_untold(laid.untold_share)

    def _notice_words(self, laid: LaidOver | None) -> str:
        if laid is None:
            return self.tr("Laying the photos over each other…")
        if laid.state == "failed":
            text = self.tr("The photos cannot be laid over each other, so they stand side by side.")
            return f"{text} {laid.problem}".strip()
        if laid.state == "unreliable":
            return self.tr("The photos may not lie exactly on each other: trust your eyes.")
        return ""

    def _on_slid(self) -> None:
        density = 1 - self.slider.value() / _STEPS
        self.faded.set_density(density if self._laid is not None else 0)

    def _mode_button(self, text: str, icon_name: str, mode: Mode) -> ToggleButton:
        return ToggleButton(text, icon_name, partial(self._choose_mode, mode))

    def _choose_mode(self, mode: Mode) -> None:
        self._wanted = mode
        self._show_state()

    def _connect(self) -> None:
        self.loader.loaded.connect(self._on_loaded)
        self.loader.failed.connect(self._on_failed)
        self.slider.valueChanged.connect(self._on_slid)
        self.slider.sliderPressed.connect(self.blinker.stop)
        self.faded.swap_wanted.connect(self.swap)
        self.faded.blink_wanted.connect(self.blinker.toggle)
        self.blinker.turned.connect(self.swap)

    def _build(self) -> None:
        self._buttons = {
            Mode.OVER: self.over_button,
            Mode.SIDE: self.side_button,
            Mode.CHANGE: self.change_button,
        }
        self._modes = QButtonGroup(self)
        for button in self._buttons.values():
            self._modes.addButton(button)
        tools = QWidget()
        flow = FlowLayout(GAP_S, tools)
        for tool in (*self._buttons.values(), self.swap_button, self.blinker):
            flow.addWidget(tool)
        self._fade = QWidget()
        fade = QHBoxLayout(self._fade)
        fade.setContentsMargins(0, 0, 0, 0)
        fade.setSpacing(GAP)
        fade.addWidget(QLabel(self.tr("Earlier")))
        fade.addWidget(self.slider, 1)
        fade.addWidget(QLabel(self.tr("Later")))
        fade.addWidget(self.blinker.rate_box)
        self._over = QWidget()
        over = QVBoxLayout(self._over)
        over.setContentsMargins(0, 0, 0, 0)
        over.setSpacing(GAP_S)
        over.addWidget(self.faded, 1)
        for below in (self._fade, self.legend, self.change_legend):
            over.addWidget(below)
        self._stack.addWidget(self._over)
        self._stack.addWidget(self.both)
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, GAP_S, 0)
        rows.setSpacing(GAP_S)
        rows.addWidget(tools)
        rows.addWidget(self.notice)
        rows.addWidget(self._stack, 1)
