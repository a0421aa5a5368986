"""Walk through a video from picture to picture, decoding as little of it as will do.

Telephones write a key frame, which stands for itself, about every second: those alone are decoded.
Where key frames are farther apart, all pictures between them that others build on are decoded too,
and some of them are looked at.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Self

import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.opening import (
    leave_out_side_pictures,
    opened_video,
    telling_damage,
)
from leaktrack.imaging.sampling import quarter_turns
from leaktrack.model.errors import UnreadableVideo

if TYPE_CHECKING:
    import av
    from av.packet import Packet
    from av.video.stream import VideoStream

LONGEST_PX = 480
"""Longer side at which footage is looked at."""

FARTHEST_KEY_MS = 2_000
"""Key frames that are farther apart than this do not show all that a video shows."""

LOOK_EVERY_MS = 500
"""So often a picture is looked at where key frames are far apart."""

_AT_ONCE_MS = 100  # key frames closer than this show the same


@dataclass(frozen=True, slots=True, eq=False)
class Look:
    """One picture on the way.

    Attributes:
        grey: (rows, cols) upright 8-bit picture, its longer side ``LONGEST_PX``.
        at_ms: When it is shown, counted from the first frame.
        size: Width and height of the upright video, in px.
    """

    grey: NDArray[np.uint8]
    at_ms: int
    size: tuple[int, int]


class Walker:
    """One open video, to be walked through once. Use it in a ``with`` block.

    Attributes:
        duration_ms: From the first frame to the end of the last, as far as the file tells; else 0.
        reached_ms: The last time at which something could be decoded.
        damaged: How many pieces could not be decoded.

    Raises:
        UnreadableVideo: The file is no video, has no picture, or nothing in it can be decoded.
    """

    def __init__(self, path: Path) -> None:
        self._path = path
        self._container, self._stream = opened_video(path)
        self._stream.thread_type = "AUTO"
        leave_out_side_pictures(self._stream)  # they are never looked at
        self._first_pts: int | None = None
        self.reached_ms = 0
        self.damaged = 0
        self.duration_ms = self._told_duration_ms()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self._container.close()

    def looks(self, from_ms: int = 0) -> Iterator[Look]:
        """Walk from a time to the end, or to where the file breaks off.

        Raises:
            UnreadableVideo: Nothing in it can be decoded.
        """
        self._find_first()
        self._seek(from_ms)
        last_ms = from_ms - LOOK_EVERY_MS
        for picture in self._decoded():
            at_ms = self._ms(picture)
            least_ms = _AT_ONCE_MS if picture.key_frame else LOOK_EVERY_MS
            if at_ms < from_ms or at_ms - last_ms < least_ms:
                continue
            last_ms = at_ms
            yield self._look(picture, at_ms)

    def _find_first(self) -> None:
        with telling_damage(self._path):
            first = next(self._decoded(), None)
        if first is None or first.pts is None:
            raise UnreadableVideo(
                f"{self._path.name} holds no picture that can be decoded. "
                "Copy it again from the camera."
            )
        self._first_pts = first.pts
        self.reached_ms = 0

    def _seek(self, ms: int) -> None:
        assert self._stream.time_base is not None
        assert self._first_pts is not None
        offset = self._first_pts + int(ms / 1000 / self._stream.time_base)
        with telling_damage(self._path):
            self._container.seek(offset, stream=self._stream, backward=True)

    def _decoded(self) -> Iterator["av.VideoFrame"]:
        """Decode key frames, and what lies between them where they are far apart."""
        waiting: list[Packet[VideoStream]] = []
        key_ms, is_far = 0.0, False
        for packet in self._packets():
            if packet.is_keyframe or packet.dts is None:
                waiting, is_far = [], False
                key_ms = self._raw_ms(packet.dts)
                yield from self._pictures_of(packet)
                continue
            if is_far:
                yield from self._pictures_of(packet)
                continue
            waiting.append(packet)
            if self._raw_ms(packet.dts) - key_ms > FARTHEST_KEY_MS:
                is_far = True
                for held in waiting:
                    yield from self._pictures_of(held)
                waiting = []

    def _packets(self) -> Iterator["Packet[VideoStream]"]:
        from av.error import FFmpegError

        packets = self._container.demux(self._stream)
        while True:
            try:
                packet = next(packets, None)
            except FFmpegError:
                self.damaged += 1
                return
            if packet is None:
                return
            yield packet

    def _pictures_of(self, packet: "Packet[VideoStream]") -> Iterator["av.VideoFrame"]:
        from av.error import FFmpegError

        try:
            pictures = packet.decode()
        except FFmpegError:
            self.damaged += 1
            return
        for picture in pictures:
            if picture.pts is None or picture.is_corrupt:
                continue
            if self._first_pts is not None:
                self.reached_ms = max(self.reached_ms, self._ms(picture))
            yield picture

    def _look(self, picture: "av.VideoFrame", at_ms: int) -> Look:
        longest = max(picture.width, picture.height)
        scale = min(1.0, LONGEST_PX / longest)
        width, height = (max(2, round(side * scale)) for side in (picture.width, picture.height))
        small = picture.reformat(width=width, height=height, format="gray", interpolation="AREA")
        turns = quarter_turns(picture)
        grey = np.ascontiguousarray(np.rot90(small.to_ndarray(), turns)).astype(np.uint8)
        size = (picture.width, picture.height)
        return Look(grey, at_ms, size if turns % 2 == 0 else size[::-1])

    def _ms(self, picture: "av.VideoFrame") -> int:
        assert picture.pts is not None
        assert self._first_pts is not None
        assert self._stream.time_base is not None
        return round((picture.pts - self._first_pts) * self._stream.time_base * 1000)

    def _raw_ms(self, ticks: int | None) -> float:
        assert self._stream.time_base is not None
        return 0.0 if ticks is None else float(ticks * self._stream.time_base * 1000)

    def _told_duration_ms(self) -> int:
        if self._stream.duration is not None and self._stream.time_base is not None:
            return round(self._stream.duration * self._stream.time_base * 1000)
        return round((self._container.duration or 0) / 1000)  # FFmpeg counts it in microseconds
