"""The player: look at a day's clips frame by frame, mark a span of one, grab a still."""

from collections.abc import Sequence
from uuid import UUID

from PySide6.QtCore import QSignalBlocker, Signal
from PySide6.QtGui import QHideEvent, QImage
from PySide6.QtWidgets import QVBoxLayout, QWidget

from leaktrack.gui.footage.clip_pictures import ClipPictures
from leaktrack.gui.footage.frame_loader import FrameLoader
from leaktrack.gui.footage.frame_view import FrameView, Span
from leaktrack.gui.footage.hover_picture import HoverPicture
from leaktrack.gui.footage.player_keys import PlayerKeys
from leaktrack.gui.footage.playing import TICK_MS, Playing
from leaktrack.gui.footage.timeline import Timeline
from leaktrack.gui.footage.timeline_rows import ClipSpan, RowKind, TimelineRow, next_goal
from leaktrack.gui.footage.transport import Transport
from leaktrack.gui.look.theme import GAP_S
from leaktrack.gui.session import Session
from leaktrack.model.errors import LeakTrackError
from leaktrack.model.footage_sequence import FootageSequence
from leaktrack.model.photo import Clip
from leaktrack.model.shapes import PointPx
from leaktrack.workflows.clips import time_code
from leaktrack.workflows.order_footage import sequence_with


class Player(QWidget):
    """Shows one clip of a sequence. Times are whole milliseconds from the clip's first frame.

    Keys while the picture has the focus: comma and period, or the arrows, step one frame (one
    second with Shift); Home and End go to the ends; page down and up go to the next span and back;
    space plays, minus and plus change the speed; I and O mark start and end of a span; Enter keeps
    the span; G grabs a still.
    """

    moved = Signal(int)
    """Another frame is shown; tells its milliseconds."""
    span_kept = Signal(int, int)
    """Keep the span from start to end, in milliseconds, as evidence."""
    still_wanted = Signal(int)
    """Make a photo of the frame at these milliseconds."""
    clip_changed = Signal(object)
    """Another clip (UUID) of the sequence is shown."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._sequence = FootageSequence()
        self._clip: Clip | None = None
        self._at_ms = 0
        self._is_exact = False
        self._span: Span = (None, None)
        self._rows: tuple[TimelineRow, ...] = ()
        self._ring: tuple[UUID, int, PointPx] | None = None
        self.loader = FrameLoader(session, self)
        self.view = FrameView()
        self.slider = Timeline()
        self.pictures = ClipPictures(session, self)
        self.hover = HoverPicture(self.slider, self.pictures)
        self.transport = Transport()
        self._playing = Playing(self)
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
    def is_exact(self) -> bool:
        """Whether the very frame is shown, not one from nearby while somebody looks for a place."""
        return self._is_exact

    @property
    def span(self) -> Span:
        """The marked span; None where an end is not marked."""
        return self._span

    def open_clip(self, clip_id: UUID | None, at_ms: int = 0, span: Span = (None, None)) -> None:
        """Show a clip at a time, or nothing; with a span marked in it."""
        self.pause()
        self._sequence = sequence_with(self._session.project, clip_id)
        self.slider.show_sequence(self._sequence)
        self.hover.show_sequence(self._sequence)
        start_ms = self._sequence.start_of(clip_id)
        if start_ms is None:
            self._clip, self._at_ms, self._is_exact = None, 0, False
            self.view.show_notice(self.tr("No clip is open."))
            self.loader.open(None)
        else:
            self._show(start_ms + at_ms)
        self._span = span
        self._show_rows()
        self._show_state()

    def show_rows(self, rows: Sequence[TimelineRow]) -> None:
        """Show spans of the footage on the timeline."""
        self._rows = tuple(rows)
        self._show_rows()

    def show_ring(self, clip_id: UUID, at_ms: int, place: PointPx | None) -> None:
        """Draw a ring around a place of one frame when it is shown; None: around none."""
        self._ring = None if place is None else (clip_id, at_ms, place)
        self._show_ring()

    def jump(self, at_ms: int) -> None:
        """Show the frame at a time of the clip."""
        if self._clip is not None:
            self.loader.jump(max(0, min(at_ms, self._clip.duration_ms)))

    def step(self, frames: int) -> None:
        """Show a frame further on, or back where negative."""
        if self._clip is not None:
            self.pause()
            self.loader.step(frames)

    def go_to_end(self) -> None:
        """Show the last frame of the sequence."""
        self._show(self.slider.maximum())

    def go_on(self, ms: int) -> None:
        """Show the frame so many milliseconds on, or back where negative."""
        self._show(self._start_ms + self._at_ms + ms)

    def go_to_span(self, direction: int) -> None:
        """Show the next span of the timeline (1) or the one before (-1)."""
        goal_ms = next_goal(self._rows, self._sequence, self._start_ms + self._at_ms, direction)
        if goal_ms is not None:
            self.pause()
            self._show(goal_ms)

    def mark_start(self) -> None:
        """Let the span start at the frame shown; an end before it is forgotten."""
        if self._is_exact:
            end = self._span[1]
            self._set_span((self._at_ms, end if end is not None and end >= self._at_ms else None))

    def mark_end(self) -> None:
        """Let the span end at the frame shown; a start after it is forgotten."""
        if self._is_exact:
            start = self._span[0]
            is_before = start is not None and start <= self._at_ms
            self._set_span((start if is_before else None, self._at_ms))

    def keep_span(self) -> None:
        """Hand the span on to be kept."""
        start, end = self._span
        if self.transport.keep_button.isEnabled() and start is not None and end is not None:
            self.span_kept.emit(start, end)

    def grab_still(self) -> None:
        """Hand on the frame shown to be kept as a photo."""
        if self.transport.still_button.isEnabled():
            self.still_wanted.emit(self._at_ms)

    def toggle_play(self) -> None:
        """Play from here, or stop."""
        if self._playing.is_on:
            self.pause()
        elif self._clip is not None:
            is_at_end = self.slider.value() >= self.slider.maximum() - 2 * TICK_MS
            self._playing.start(0 if is_at_end else self._start_ms + self._at_ms)
            self.transport.show_playing(is_playing=True)

    def pause(self) -> None:
        """Stop playing."""
        self._playing.stop()
        self.transport.show_playing(is_playing=False)

    def hideEvent(self, event: QHideEvent) -> None:
        """Stop playing where nobody looks."""
        self.pause()
        self.hover.hide()
        super().hideEvent(event)

    @property
    def _start_ms(self) -> int:
        return self._sequence.start_of(self.clip_id) or 0

    def _show(self, ms: int, *, is_coarse: bool = False) -> None:
        """Show a time of the sequence, in whichever clip that is."""
        if not self._sequence.clips:
            return
        clip, at_ms = self._sequence.at(ms)
        is_other = clip.id != self.clip_id
        self._clip = clip
        if is_other:
            self._at_ms, self._is_exact, self._span = at_ms, False, (None, None)
            self.view.show_notice("")
            self.loader.open(clip.id, at_ms)
            self.pictures.prepare(clip)
            self._show_rows()
            self._show_state()
            self.clip_changed.emit(clip.id)
        elif is_coarse:
            self.loader.scrub(at_ms)
        else:
            self.loader.jump(at_ms)

    def _on_played(self, ms: int) -> None:
        if ms >= self.slider.maximum():
            self.pause()
        self._show(ms)

    def _on_slider(self, ms: int) -> None:
        self._show(ms, is_coarse=self.slider.isSliderDown())

    def _on_loaded(self, image: QImage, at_ms: int) -> None:
        self._take_picture(image, at_ms, is_exact=True)
        self._show_ring()
        self.moved.emit(at_ms)

    def _take_picture(self, image: QImage, at_ms: int, *, is_exact: bool) -> None:
        self._at_ms, self._is_exact = at_ms, is_exact
        self.view.show_image(image)
        if not self.slider.isSliderDown():  # the hand leads, the picture follows
            with QSignalBlocker(self.slider):
                self.slider.setValue(self._start_ms + at_ms)
            self.slider.update()
        self._show_state()

    def _on_failed(self, error: LeakTrackError) -> None:
        self.pause()
        self._is_exact = False
        self.view.show_notice(str(error))
        self._show_state()

    def _set_span(self, span: Span) -> None:
        self._span = span
        self._show_rows()
        self._show_state()

    def _show_rows(self) -> None:
        rows = list(self._rows)
        marked = [each for each in self._span if each is not None]
        if self._clip is not None and marked:
            span = ClipSpan(self._clip.id, min(marked), max(marked))
            rows.insert(0, TimelineRow(self.tr("Marked"), RowKind.MARKED, (span,)))
        self.slider.show_rows(rows)

    def _show_ring(self) -> None:
        is_there = self._ring is not None and self._ring[:2] == (self.clip_id, self._at_ms)
        self.view.show_ring(self._ring[2] if self._ring is not None and is_there else None)

    def _show_state(self) -> None:
        clip = self._clip
        can_change = not self._session.project.is_read_only
        has_frame = clip is not None and self._is_exact
        code = time_code(self._at_ms)
        if clip is not None and not self._is_exact:
            code = self.tr("about %s") % code[:-4]
        self.transport.show_place(self._sequence, clip, code)
        self.view.setAccessibleName("" if clip is None else clip.name)
        self.view.setAccessibleDescription(self.tr("Frame at %s") % code)
        self.transport.show_span(self._span)
        self.slider.setEnabled(clip is not None)
        is_whole = None not in self._span
        self.transport.allow(
            has_clip=clip is not None,
            is_exact=has_frame,
            can_keep=has_frame and is_whole and can_change,
            can_grab=has_frame and can_change,
        )

    def _build(self) -> None:
        self._playing.at.connect(self._on_played)
        self.loader.loaded.connect(self._on_loaded)
        self.loader.skimmed.connect(
            lambda image, at_ms: self._take_picture(image, at_ms, is_exact=False)
        )
        self.loader.failed.connect(self._on_failed)
        PlayerKeys(self, self)
        self.slider.valueChanged.connect(self._on_slider)
        self.slider.sliderReleased.connect(lambda: self._show(self.slider.value()))
        bar = self.transport
        bar.first_wanted.connect(lambda: self.go_on(-self.slider.maximum()))
        bar.last_wanted.connect(self.go_to_end)
        bar.steps_wanted.connect(self.step)
        bar.play_wanted.connect(self.toggle_play)
        bar.start_wanted.connect(self.mark_start)
        bar.end_wanted.connect(self.mark_end)
        bar.keep_wanted.connect(self.keep_span)
        bar.still_wanted.connect(self.grab_still)
        bar.speed_box.currentIndexChanged.connect(lambda _: self._playing.set_speed(bar.speed))
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(GAP_S)
        rows.addWidget(self.view, 1)
        rows.addWidget(self.slider)
        rows.addWidget(bar)
