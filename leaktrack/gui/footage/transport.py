"""The buttons below the picture of a player: step, play, how fast, and what is done with a span."""

from PySide6.QtCore import QSignalBlocker, Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QToolButton, QVBoxLayout, QWidget

from leaktrack.gui.footage.frame_view import Span
from leaktrack.gui.forms.choice_fields import CalmComboBox
from leaktrack.gui.look.flow_layout import FlowLayout
from leaktrack.gui.look.panels import TonedLabel, icon_button, push_button
from leaktrack.gui.look.theme import GAP_L, GAP_S, Tone, icon
from leaktrack.model.footage_sequence import FootageSequence
from leaktrack.model.photo import Clip
from leaktrack.workflows.clips import time_code

SPEEDS = (0.25, 0.5, 1.0, 2.0, 4.0)


class Transport(QWidget):
    """Buttons only: what they do, the player decides."""

    first_wanted = Signal()
    last_wanted = Signal()
    steps_wanted = Signal(int)
    play_wanted = Signal()
    start_wanted = Signal()
    end_wanted = Signal()
    keep_wanted = Signal()
    still_wanted = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.code_label = QLabel()
        self.span_label = TonedLabel("", Tone.QUIET)
        self.start_button = push_button("", self.start_wanted.emit, icon_name="span_start")
        self.end_button = push_button("", self.end_wanted.emit, icon_name="span_end")
        self.keep_button = push_button("", self.keep_wanted.emit, icon_name="link")
        self.still_button = push_button("", self.still_wanted.emit, icon_name="grab_still")
        self.play_button = icon_button("play", self.tr("Play"), self.play_wanted.emit)
        self.speed_box = CalmComboBox()
        self._step_buttons: list[QToolButton] = []
        self._lower = QHBoxLayout()
        self._build()

    @property
    def speed(self) -> float:
        """How many times as fast as it was recorded."""
        return SPEEDS[self.speed_box.currentIndex()]

    def add_beside(self, widget: QWidget) -> None:
        """Put a field that belongs to spans beside their buttons."""
        self._lower.addWidget(widget, 0, Qt.AlignmentFlag.AlignBottom)

    def change_speed(self, places: int) -> None:
        """Choose a speed so many places on."""
        place = self.speed_box.currentIndex() + places
        self.speed_box.setCurrentIndex(min(max(0, place), len(SPEEDS) - 1))

    def allow(self, *, has_clip: bool, is_exact: bool, can_keep: bool, can_grab: bool) -> None:
        """Allow what can be done now."""
        for widget in (self.play_button, self.speed_box, *self._step_buttons):
            widget.setEnabled(has_clip)
        for button in (self.start_button, self.end_button):
            button.setEnabled(is_exact)
        self.keep_button.setEnabled(can_keep)
        self.still_button.setEnabled(can_grab)

    def show_place(self, sequence: FootageSequence, clip: Clip | None, code: str) -> None:
        """Say where in a clip the frame shown stands, and in which where there are several."""
        name = f"{clip.name}  " if clip is not None and len(sequence.clips) > 1 else ""
        duration = time_code(0 if clip is None else clip.duration_ms)
        self.code_label.setText(f"{name}{code} / {duration}")

    def show_span(self, span: Span) -> None:
        """Say which span is marked."""
        codes = [self.tr("not marked") if ms is None else time_code(ms) for ms in span]
        self.span_label.setText(self.tr("Span: %s to %s") % tuple(codes))

    def show_playing(self, *, is_playing: bool) -> None:
        """Offer what the button does now: play or pause."""
        self.play_button.setIcon(icon("pause" if is_playing else "play"))
        words = self.tr("Pause (space)") if is_playing else self.tr("Play (space)")
        self.play_button.setToolTip(words)
        self.play_button.setAccessibleName(words)

    def _build(self) -> None:
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
            ("first", self.tr("First frame (Home)"), self.first_wanted.emit),
            ("step_back", self.tr("One frame back (comma)"), lambda: self.steps_wanted.emit(-1)),
            ("step_forward", self.tr("One frame on (period)"), lambda: self.steps_wanted.emit(1)),
            ("last", self.tr("Last frame (End)"), self.last_wanted.emit),
        )
        self._step_buttons = [icon_button(name, text, act) for name, text, act in steps]
        with QSignalBlocker(self.speed_box):
            self.speed_box.addItems([f"{speed:g} ×" for speed in SPEEDS])
            self.speed_box.setCurrentIndex(SPEEDS.index(1.0))
        self.speed_box.setMinimumContentsLength(4)
        self.speed_box.setAccessibleName(self.tr("Speed"))
        self.speed_box.setToolTip(self.tr("Speed; slower and faster with minus and plus"))
        for label in (self.code_label, self.span_label):
            label.setWordWrap(False)
            label.setContentsMargins(GAP_S, 0, GAP_S, 0)
        place = QWidget()
        row = FlowLayout(GAP_S, place)
        for tool in (*self._step_buttons[:2], self.play_button, *self._step_buttons[2:]):
            row.addWidget(tool)
        for widget in (self.speed_box, self.code_label, self.span_label):
            row.addWidget(widget)
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(GAP_S)
        rows.addWidget(place)
        buttons = QWidget()
        flow = FlowLayout(GAP_S, buttons)
        for push in (self.start_button, self.end_button, self.keep_button, self.still_button):
            flow.addWidget(push)
        self._lower.setSpacing(GAP_L)
        self._lower.addWidget(buttons, 1, Qt.AlignmentFlag.AlignBottom)
        rows.addLayout(self._lower)
