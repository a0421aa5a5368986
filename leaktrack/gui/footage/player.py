"""The player: look at a clip frame by frame, mark a span of it, grab a still."""

from uuid import UUID

from PySide6.QtCore import QElapsedTimer, QEvent, QObject, QSignalBlocker, Qt, QTimer, Signal
from PySide6.QtGui import QHideEvent, QImage, QKeyEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QSlider, QVBoxLayout, QWidget

from leaktrack.gui.footage.frame_loader import FrameLoader
from leaktrack.gui.footage.frame_view import FrameView, Span, SpanBar
from leaktrack.gui.forms.field_grid import FieldGrid
from leaktrack.gui.look.panels import TonedLabel, icon_button, push_button
from leaktrack.gui.look.theme import GAP_S, Tone, icon
from leaktrack.gui.session import Session
from leaktrack.model.errors import LeakTrackError
from leaktrack.model.photo import Clip
from leaktrack.workflows.clips import time_code

_TICK_MS = 40
_SECOND_MS = 1000
_STEPS = {
    Qt.Key.Key_Comma: -1,
    Qt.Key.Key_Left: -1,
    Qt.Key.Key_Period: 1,
    Qt.Key.Key_Right: 1,
}


class Player(QWidget):
    """Shows one clip. Times are whole milliseconds from its first frame.

    Keys while the picture has the focus: comma and period, or the arrows, step one frame (one
    second with Shift); Home and End go to the ends; space plays; I and O mark start and end of a
    span; Enter keeps the span; G grabs a still.
    """

    moved = Signal(int)
    """Another frame is shown; tells its milliseconds."""
    span_kept = Signal(int, int)
    """Keep the span from start to end, in milliseconds, as evidence."""
    still_wanted = Signal(int)
    """Make a photo of the frame at these milliseconds."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._clip: Clip | None = None
        self._at_ms = 0
        self._span: Span = (None, None)
        self.loader = FrameLoader(session, self)
        self.view = FrameView()
        self.slider = QSlider(Qt.Orientation.Horizontal)
        self.span_bar = SpanBar()
        self.code_label = QLabel()
        self.span_label = TonedLabel("", Tone.QUIET)
        self.start_button = push_button("", self.mark_start, icon_name="span_start")
        self.end_button = push_button("", self.mark_end, icon_name="span_end")
        self.keep_button = push_button("", self.keep_span, icon_name="link")
        self.still_button = push_button("", self.grab_still, icon_name="grab_still")
        self.play_button = icon_button("play", self.tr("Play"), self.toggle_play)
        self._tick = QTimer(self)
        self._clock = QElapsedTimer()
        self._played_from_ms = 0
        self._build()
        self.open_clip(None)

    @property
    def clip_id(self) -> UUID | None:
        """The clip shown."""
        return None if self._clip is None else self._clip.id

    @property
    def at_ms(self) -> int:
        """Where the frame shown stands."""
        return self._at_ms

    @property
    def span(self) -> Span:
        """The marked span; None where an end is not marked."""
        return self._span

    def open_clip(self, clip_id: UUID | None, at_ms: int = 0, span: Span = (None, None)) -> None:
        """Show a clip at a time, or nothing; with a span marked in it."""
        self.pause()
        is_other = clip_id != self.clip_id
        self._clip = None if clip_id is None else self._session.project.find(Clip, clip_id)
        self._at_ms, self._span = 0, span
        if self._clip is None:
            self.view.show_notice(self.tr("No clip is open."))
            self.loader.open(None)
        elif is_other:
            self.view.show_notice("")
            self.loader.open(clip_id, at_ms)
        else:
            self.loader.jump(at_ms)
        with QSignalBlocker(self.slider):
            self.slider.setMaximum(0 if self._clip is None else self._clip.duration_ms)
        self._show_state()

    def jump(self, at_ms: int) -> None:
        """Show the frame at a time."""
        if self._clip is not None:
            self.loader.jump(max(0, min(at_ms, self._clip.duration_ms)))

    def step(self, frames: int) -> None:
        """Show a frame further on, or back where negative."""
        if self._clip is not None:
            self.pause()
            self.loader.step(frames)

    def mark_start(self) -> None:
        """Let the span start at the frame shown; an end before it is forgotten."""
        end = self._span[1]
        self._set_span((self._at_ms, end if end is not None and end >= self._at_ms else None))

    def mark_end(self) -> None:
        """Let the span end at the frame shown; a start after it is forgotten."""
        start = self._span[0]
        is_before = start is not None and start <= self._at_ms
        self._set_span((start if is_before else None, self._at_ms))

    def keep_span(self) -> None:
        """Hand the span on to be kept."""
        start, end = self._span
        if self.keep_button.isEnabled() and start is not None and end is not None:
            self.span_kept.emit(start, end)

    def grab_still(self) -> None:
        """Hand on the frame shown to be kept as a photo."""
        if self.still_button.isEnabled():
            self.still_wanted.emit(self._at_ms)

    def toggle_play(self) -> None:
        """Play from here, or stop."""
        if self._tick.isActive():
            self.pause()
        elif self._clip is not None:
            is_at_end = self._at_ms >= self._clip.duration_ms - 2 * _TICK_MS
            self._played_from_ms = 0 if is_at_end else self._at_ms
            self._clock.start()
            self._tick.start()
            self._show_playing()

    def pause(self) -> None:
        """Stop playing."""
        self._tick.stop()
        self._show_playing()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Take the player's keys while the picture has the focus."""
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            return self._clip is not None and self._on_key(event)
        return super().eventFilter(watched, event)

    def hideEvent(self, event: QHideEvent) -> None:
        """Stop playing where nobody looks."""
        self.pause()
        super().hideEvent(event)

    def _on_key(self, event: QKeyEvent) -> bool:
        key = Qt.Key(event.key())
        if event.modifiers() & ~(
            Qt.KeyboardModifier.ShiftModifier | Qt.KeyboardModifier.KeypadModifier
        ):
            return False
        if key in _STEPS:
            if event.modifiers() & Qt.KeyboardModifier.ShiftModifier:
                self.jump(self._at_ms + _STEPS[key] * _SECOND_MS)
            else:
                self.step(_STEPS[key])
            return True
        acts = {
            Qt.Key.Key_Home: lambda: self.jump(0),
            Qt.Key.Key_End: lambda: self.jump(self.slider.maximum()),
            Qt.Key.Key_Space: self.toggle_play,
            Qt.Key.Key_I: self.mark_start,
            Qt.Key.Key_O: self.mark_end,
            Qt.Key.Key_Return: self.keep_span,
            Qt.Key.Key_Enter: self.keep_span,
            Qt.Key.Key_G: self.grab_still,
        }
        act = acts.get(key)
        if act is not None:
            act()
        return act is not None

    def _on_tick(self) -> None:
        at_ms = self._played_from_ms + self._clock.elapsed()
        if at_ms >= self.slider.maximum():
            self.pause()
        self.jump(at_ms)

    def _on_loaded(self, image: QImage, at_ms: int) -> None:
        self._at_ms = at_ms
        self.view.show_image(image)
        with QSignalBlocker(self.slider):
            if not self.slider.isSliderDown():  # the hand leads, the picture follows
                self.slider.setValue(at_ms)
        self._show_state()
        self.moved.emit(at_ms)

    def _on_failed(self, error: LeakTrackError) -> None:
        self.pause()
        self.view.show_notice(str(error))
        self._show_state()

    def _set_span(self, span: Span) -> None:
        self._span = span
        self._show_state()

    def _show_state(self) -> None:
        clip = self._clip
        duration = 0 if clip is None else clip.duration_ms
        can_change = not self._session.project.is_read_only
        has_frame = clip is not None and not self.view.image.isNull()
        self.code_label.setText(f"{time_code(self._at_ms)} / {time_code(duration)}")
        self.view.setAccessibleName("" if clip is None else clip.name)
        self.view.setAccessibleDescription(self.tr("Frame at %s") % time_code(self._at_ms))
        self.span_bar.show_span(self._span, duration)
        start, end = self._span
        is_whole = start is not None and end is not None
        self.span_label.setText(
            self.tr("Span: %s to %s") % tuple(self._code(each) for each in self._span)
        )
        for widget in (self.slider, self.play_button, *self._step_buttons):
            widget.setEnabled(clip is not None)
        for button in (self.start_button, self.end_button):
            button.setEnabled(has_frame)
        self.keep_button.setEnabled(has_frame and is_whole and can_change)
        self.still_button.setEnabled(has_frame and can_change)

    def _code(self, ms: int | None) -> str:
        return self.tr("not marked") if ms is None else time_code(ms)

    def _show_playing(self) -> None:
        is_playing = self._tick.isActive()
        self.play_button.setIcon(icon("pause" if is_playing else "play"))
        words = self.tr("Pause (space)") if is_playing else self.tr("Play (space)")
        self.play_button.setToolTip(words)
        self.play_button.setAccessibleName(words)

    def _build(self) -> None:
        self._tick.setInterval(_TICK_MS)
        self._tick.timeout.connect(self._on_tick)
        self.loader.loaded.connect(self._on_loaded)
        self.loader.failed.connect(self._on_failed)
        self.view.installEventFilter(self)
        self.slider.setAccessibleName(self.tr("Place in the clip"))
        self.slider.setSingleStep(_TICK_MS)
        self.slider.setPageStep(_SECOND_MS)
        self.slider.valueChanged.connect(self.jump)
        texts = (
            (self.start_button, self.tr("Mark &start"), "I"),
            (self.end_button, self.tr("Mark en&d"), "O"),
            (self.keep_button, self.tr("&Keep span as evidence"), self.tr("Enter")),
            (self.still_button, self.tr("&Grab still"), "G"),
        )
        for button, text, key in texts:
            button.setText(text)
            button.setAccessibleName(text.replace("&", ""))
            button.setToolTip(self.tr("Key on the picture: %s") % key)
        steps = (
            ("first", self.tr("First frame (Home)"), lambda: self.jump(0)),
            ("step_back", self.tr("One frame back (comma)"), lambda: self.step(-1)),
            ("step_forward", self.tr("One frame on (period)"), lambda: self.step(1)),
            ("last", self.tr("Last frame (End)"), lambda: self.jump(self.slider.maximum())),
        )
        self._step_buttons = [icon_button(name, text, act) for name, text, act in steps]
        transport = QHBoxLayout()
        transport.setSpacing(GAP_S)
        order = [*self._step_buttons[:2], self.play_button, *self._step_buttons[2:]]
        for each in order:
            transport.addWidget(each)
        transport.addStretch(1)
        transport.addWidget(self.code_label)
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(GAP_S)
        rows.addWidget(self.view, 1)
        rows.addWidget(self.slider)
        rows.addWidget(self.span_bar)
        rows.addLayout(transport)
        rows.addWidget(self.span_label)
        buttons = (self.start_button, self.end_button, self.keep_button, self.still_button)
        rows.addWidget(FieldGrid(buttons, cell_characters=22))
