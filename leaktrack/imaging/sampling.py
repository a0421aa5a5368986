"""Single pictures from a video, each with the exact time at which it is shown.

Times are whole milliseconds from the first frame, computed from the file's own time stamps: frame
numbers mean nothing where a telephone varies its frame rate.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from itertools import chain
from pathlib import Path
from typing import TYPE_CHECKING, Self

import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.opening import (
    leave_out_side_pictures,
    opened_video,
    telling_damage,
)
from leaktrack.model.errors import UnreadableVideo
from leaktrack.model.photo import TakenAt

if TYPE_CHECKING:
    import av

WALK_RATHER_THAN_SEEK_MS = 1_000
"""Own judgement: telephones write a key frame every second, so a seek would not come nearer."""

FIRST_STEP_BACK_MS = 2_000
"""Where a seek lands too late, it is tried again from earlier; doubled each time."""

# Clocks that were never set; such files claim to be from 1904 or 1970.
_EARLIEST_YEAR = 1990


@dataclass(frozen=True, slots=True)
class VideoFacts:
    """What a video file is.

    Attributes:
        duration_ms: From the first frame to the end of the last.
        width_px: Of the upright picture.
        height_px: Of the upright picture.
        recorded: When its camera says that it began.
    """

    duration_ms: int
    width_px: int
    height_px: int
    recorded: TakenAt | None


@dataclass(frozen=True, slots=True, eq=False)
class Frame:
    """One picture of a video.

    Attributes:
        rgb: (rows, cols, 3) upright 8-bit RGB.
        at_ms: When it is shown, counted from the first frame.
    """

    rgb: NDArray[np.uint8]
    at_ms: int


@dataclass(frozen=True, slots=True)
class _Decoded:
    at_ms: int
    picture: "av.VideoFrame"


class VideoReader:
    """One open video, for looking at pictures one after another. Not for several threads at once.

    Use it in a ``with`` block. Stepping forward decodes one frame; jumping seeks to the key frame
    before and decodes from there.

    Args:
        path: The file.
        is_sparse: Leave out pictures that hardly any other builds on: that is quicker where key
            frames are far apart. Of those left out, the one before them is given.

    Raises:
        UnreadableVideo: The file is no video, has no picture, or is damaged.
    """

    def __init__(self, path: Path, *, is_sparse: bool = False) -> None:
        self._path = path
        self._container, self._stream = opened_video(path)
        self._stream.thread_type = "AUTO"
        if is_sparse:
            leave_out_side_pictures(self._stream)
        self._first_pts = 0
        self._coming: Iterator[_Decoded] = iter(())
        self._shown: _Decoded | None = None
        self._next: _Decoded | None = None
        try:
            self._go_to_start()
        except UnreadableVideo:
            self._container.close()
            raise

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def close(self) -> None:
        """Close the file."""
        self._container.close()

    @property
    def facts(self) -> VideoFacts:
        """What the file says about itself."""
        assert self._shown is not None  # __init__ has shown the first frame
        picture = self._shown.picture
        width_px, height_px = picture.width, picture.height
        if quarter_turns(picture) % 2:
            width_px, height_px = height_px, width_px
        metadata = {**self._stream.metadata, **self._container.metadata}
        return VideoFacts(self._duration_ms(), width_px, height_px, _recorded(metadata))

    def frame_at(self, ms: int) -> Frame:
        """Return the picture that is on the screen at a time; the first or last one beyond."""
        return self._as_frame(self._find(ms))

    def frame_after(self, ms: int) -> Frame | None:
        """Return the first picture that appears after a time, or None at the end."""
        found = self._find(ms)
        if found.at_ms > ms:
            return self._as_frame(found)
        return None if self._next is None else self._as_frame(self._next)

    def frame_before(self, ms: int) -> Frame | None:
        """Return the last picture that appears before a time, or None at the beginning."""
        found = self._find(ms - 1)
        return self._as_frame(found) if found.at_ms < ms else None

    def _find(self, ms: int) -> _Decoded:
        """Show the last frame at or before a time, or the first one."""
        with telling_damage(self._path):
            if not self._is_on_the_way(ms):
                self._jump_before(ms)
            while self._next is not None and self._next.at_ms <= ms:
                self._step()
        assert self._shown is not None
        return self._shown

    def _is_on_the_way(self, ms: int) -> bool:
        """Whether a time is reached as soon by decoding on: no key frame lies between."""
        if self._shown is None or ms < self._shown.at_ms:
            return False
        if ms <= self._shown.at_ms + WALK_RATHER_THAN_SEEK_MS:
            return True
        entries = getattr(self._stream, "index_entries", None)  # older PyAV tells none
        if not entries:  # nor some containers
            return False
        key: int = entries.search_timestamp(self._ticks(ms))
        return key >= 0 and self._ms(entries[key].timestamp) <= self._shown.at_ms

    def _jump_before(self, ms: int) -> None:
        wanted_ms, back_ms = max(0, ms), 0
        while True:
            self._seek(wanted_ms - back_ms)
            has_landed = self._shown is not None and self._shown.at_ms <= wanted_ms
            # Some containers seek by decoding time, which lies before the time of showing; so the
            # very first frame may need a seek to before the beginning.
            if has_landed or back_ms > wanted_ms:
                break
            back_ms = back_ms * 2 or FIRST_STEP_BACK_MS
        if self._shown is None:
            raise UnreadableVideo(f"{self._path.name} is damaged at {ms / 1000:.1f} s.")

    def _go_to_start(self) -> None:
        with telling_damage(self._path):
            first = next(self._decoded(), None)
            if first is None:
                raise UnreadableVideo(
                    f"{self._path.name} holds no picture that can be decoded. "
                    "Copy it again from the camera."
                )
            self._first_pts = first.picture.pts or 0
            self._jump_before(0)

    def _seek(self, ms: int) -> None:
        self._container.seek(self._ticks(ms), stream=self._stream, backward=True)
        self._coming = self._decoded()
        self._shown = next(self._coming, None)
        self._next = next(self._coming, None)

    def _step(self) -> None:
        self._shown, self._next = self._next, next(self._coming, None)

    def _decoded(self) -> Iterator[_Decoded]:
        """Decode on from the present place; what cannot be decoded is left out."""
        from av.error import InvalidDataError

        packets = self._container.demux(self._stream)
        while True:
            try:
                packet = next(packets, None)
                if packet is None:
                    return
                pictures = packet.decode()
            except InvalidDataError:
                continue
            for picture in pictures:
                if picture.pts is not None:
                    yield _Decoded(self._ms(picture.pts), picture)

    def _ms(self, pts: int) -> int:
        assert self._stream.time_base is not None
        return round((pts - self._first_pts) * self._stream.time_base * 1000)

    def _ticks(self, ms: int) -> int:
        assert self._stream.time_base is not None
        return self._first_pts + int(ms / 1000 / self._stream.time_base)

    def _duration_ms(self) -> int:
        if self._stream.duration is not None and self._stream.time_base is not None:
            return round(self._stream.duration * self._stream.time_base * 1000)
        if self._container.duration is not None:
            return round(self._container.duration / 1000)  # FFmpeg counts it in microseconds
        self._jump_before(0)
        frames = chain([self._shown], [self._next], self._coming)
        return max(frame.at_ms for frame in frames if frame is not None)

    def _as_frame(self, decoded: _Decoded) -> Frame:
        rgb = decoded.picture.to_ndarray(format="rgb24")
        upright = np.rot90(rgb, quarter_turns(decoded.picture))
        return Frame(np.ascontiguousarray(upright), decoded.at_ms)


def video_facts(path: Path) -> VideoFacts:
    """Return what a video file is.

    Raises:
        UnreadableVideo: The file is no video, has no picture, or is damaged.
    """
    with VideoReader(path) as video:
        return video.facts


def frame_at(path: Path, ms: int) -> Frame:
    """Return the picture that is on the screen at a time; the first or last one beyond.

    Raises:
        UnreadableVideo: The file is no video, has no picture, or is damaged.
    """
    with VideoReader(path) as video:
        return video.frame_at(ms)


def frame_after(path: Path, ms: int) -> Frame | None:
    """Return the first picture that appears after a time, or None at the end.

    Raises:
        UnreadableVideo: The file is no video, has no picture, or is damaged.
    """
    with VideoReader(path) as video:
        return video.frame_after(ms)


def frame_before(path: Path, ms: int) -> Frame | None:
    """Return the last picture that appears before a time, or None at the beginning.

    Raises:
        UnreadableVideo: The file is no video, has no picture, or is damaged.
    """
    with VideoReader(path) as video:
        return video.frame_before(ms)


def quarter_turns(picture: "av.VideoFrame") -> int:
    """Return by how many quarter turns, anticlockwise, a frame must be turned to stand upright."""
    return round(picture.rotation / 90) % 4


def _recorded(metadata: dict[str, str]) -> TakenAt | None:
    """Return the time of recording: with the camera's zone where it is told, else UTC.

    Source:
        ISO/IEC 14496-12 (creation time is UTC); QuickTime metadata key for the local time.
    """
    for key in ("com.apple.quicktime.creationdate", "creation_time"):
        try:
            began = datetime.fromisoformat(metadata.get(key, ""))
        except ValueError:
            continue
        if began.year >= _EARLIEST_YEAR:
            offset = began.utcoffset()
            minutes = None if offset is None else round(offset.total_seconds() / 60)
            return TakenAt(began.replace(tzinfo=None, microsecond=0), minutes)
    return None
