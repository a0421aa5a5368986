"""Two photos of a zone compared: laid over each other with a fade, or side by side."""

from collections.abc import Sequence
from functools import partial
from uuid import UUID

from PySide6.QtCore import Qt
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
from leaktrack.gui.pages.faded_view import FadedView
from leaktrack.gui.pages.laying_over import LaidOver, OverlayLoader
from leaktrack.gui.pages.side_by_side import SideBySide
from leaktrack.gui.pages.toggle_button import ToggleButton
from leaktrack.gui.photo_view import PhotoView
from leaktrack.gui.session import Session
from leaktrack.model.engine import JointLine
from leaktrack.model.errors import LeakTrackError
from leaktrack.model.leak import Leak, LeakMark
from leaktrack.model.photo import Photo

_STEPS = 100
_HALF = 50


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
        self.slider = QSlider(Qt.Orientation.Horizontal)
        self.slider.setRange(0, _STEPS)
        self.slider.setValue(_HALF)
        self.slider.setPageStep(10)
        self.slider.setAccessibleName(self.tr("Fade from the earlier to the later photo"))
        self.over_button = self._mode_button(self.tr("&Laid over"), "overlay", wants_over=True)
        self.side_button = self._mode_button(self.tr("S&ide by side"), "swap", wants_over=False)
        self._wants_over = True
        self.swap_button = push_button(self.tr("S&wap (S)"), self.swap, icon_name="flicker")
        self._stack = QStackedWidget()
        self._build()
        self._connect()

    @property
    def laid(self) -> LaidOver | None:
        """The photos laid over each other; None while that is not known."""
        return self._laid

    @property
    def is_laid_over(self) -> bool:
        """Whether the photos are shown laid over each other."""
        return self._stack.currentWidget() is self._over

    def show_pair(self, pair: tuple[UUID, UUID] | None, names: tuple[str, str]) -> None:
        """Show a pair of photos, earlier first, with the names of their inspections."""
        if pair != self._pair:
            self._pair = pair
            self._laid = None
            self.faded.lay(None, 1)
        self.both.earlier_caption.set_whole_text(names[0])
        self.both.later_caption.set_whole_text(names[1])
        self.slider.setToolTip(" → ".join(names))
        self._show_state()
        self.loader.load(pair if self._laid is None else None)

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
        if self._laid is not None and self.over_button.isEnabled():
            self._choose_mode(True)
            self.slider.setValue(0 if self.slider.value() > _HALF else _STEPS)

    def _shown_views(self) -> list[tuple[UUID, PhotoView]]:
        """Return the views in front with the photo whose frame they have, the later one first."""
        if self._pair is None:
            return []
        if self.is_laid_over:
            return [(self._pair[1], self.faded)]
        views: list[tuple[UUID, PhotoView]] = [(self._pair[1], self.both.later)]
        if self.both.earlier.photo_id == self._pair[0]:
            views.append((self._pair[0], self.both.earlier))
        return views

    def _show_photos(self) -> None:
        """Show the pair in the views in front; those behind decode nothing."""
        before_id, after_id = self._pair or (None, None)
        if self.is_laid_over:
            self.faded.show_photo(after_id)
            return
        self.both.later.show_photo(after_id)
        later = self._session.project.find(Photo, after_id) if after_id else None
        if self._laid is not None and self._laid.state == "aligned" and later is not None:
            self.both.show_earlier_laid(self._laid, later.width_px)
        else:
            self.both.show_earlier_photo(before_id)

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
        can_lay = laid is not None and laid.state != "failed"
        is_over = self._wants_over and (laid is None or can_lay)
        self._stack.setCurrentWidget(self._over if is_over else self.both)
        self.over_button.setEnabled(laid is None or can_lay)
        (self.over_button if is_over else self.side_button).setChecked(True)
        self._show_photos()
        self._draw()
        self.swap_button.setEnabled(can_lay)
        self.slider.setEnabled(can_lay)
        self._on_slid()
        self.notice.setText(self._notice_words(laid) if self._pair else "")
        self.notice.setVisible(bool(self.notice.text()))
        has_unseen = can_lay and laid is not None and laid.hatching is not None
        self.legend.setVisible(has_unseen)
        if laid is not None:
            text = self.tr(
                "Striped (%d %%): the earlier photo does not show this, nothing is told."
            )
            self.legend.setText(text % max(1, round(laid.unseen_share * 100)))

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

    def _mode_button(self, text: str, icon_name: str, *, wants_over: bool) -> ToggleButton:
        return ToggleButton(text, icon_name, partial(self._choose_mode, wants_over))

    def _choose_mode(self, wants_over: bool) -> None:
        self._wants_over = wants_over
        self._show_state()

    def _connect(self) -> None:
        self.loader.loaded.connect(self._on_loaded)
        self.loader.failed.connect(self._on_failed)
        self.slider.valueChanged.connect(self._on_slid)
        self.faded.swap_wanted.connect(self.swap)

    def _build(self) -> None:
        self._modes = QButtonGroup(self)
        for button in (self.over_button, self.side_button):
            self._modes.addButton(button)
        tools = QWidget()
        flow = FlowLayout(GAP_S, tools)
        for tool in (self.over_button, self.side_button, self.swap_button):
            flow.addWidget(tool)
        fade = QHBoxLayout()
        fade.setSpacing(GAP)
        fade.addWidget(QLabel(self.tr("Earlier")))
        fade.addWidget(self.slider, 1)
        fade.addWidget(QLabel(self.tr("Later")))
        self._over = QWidget()
        over = QVBoxLayout(self._over)
        over.setContentsMargins(0, 0, 0, 0)
        over.setSpacing(GAP_S)
        over.addWidget(self.faded, 1)
        over.addLayout(fade)
        over.addWidget(self.legend)
        self._stack.addWidget(self._over)
        self._stack.addWidget(self.both)
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, GAP_S, 0)
        rows.setSpacing(GAP_S)
        rows.addWidget(tools)
        rows.addWidget(self.notice)
        rows.addWidget(self._stack, 1)
