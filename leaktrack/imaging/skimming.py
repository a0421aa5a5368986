"""Coarse pictures of a video, quickly: only its key frames, and small.

A key frame needs no other frame to be decoded, so its cost does not grow with how far apart they
are. It may stand some seconds before the time asked for; the exact frame comes from ``sampling``.
"""

from pathlib import Path
from typing import TYPE_CHECKING, Self

import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.opening import opened_video, telling_damage
from leaktrack.imaging.sampling import Frame, quarter_turns
from leaktrack.model.errors import UnreadableVideo

if TYPE_CHECKING:
    import av

_MOST_PACKETS = 2_000
"""So many packets without a key frame are read; then there is none. Own judgement: a minute."""


class KeyFrames:
    """The key frames of one open video. Not for several threads at once.

    Raises:
        UnreadableVideo: The file is no video, has no picture, or is damaged.
    """

    def __init__(self, path: Path) -> None:
        self._path = path
        self._container, self._stream = opened_video(path)
        # Decoding frames side by side would hold each back until the next ones come.
        self._stream.thread_type = "SLICE"
        self._stream.codec_context.skip_frame = "NONKEY"
        self._first_pts = 0
        try:
            first = self._next_key_frame()
        except UnreadableVideo:
            self._container.close()
            raise
        self._first_pts = first.pts or 0

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def close(self) -> None:
        """Close the file."""
        self._container.close()

    def frame_before(self, ms: int, longest_px: int) -> Frame:
        """Return the last key frame at or before a time, or the first one.

        Args:
            ms: Counted from the first frame.
            longest_px: Longest side of the picture; it is never enlarged.

        Raises:
            UnreadableVideo: It is damaged there.
        """
        assert self._stream.time_base is not None
        # Up to the end of the millisecond: a frame's own time is rounded.
        offset = self._first_pts + int((max(0, ms) + 0.5) / 1000 / self._stream.time_base)
        with telling_damage(self._path):
            self._container.seek(offset, stream=self._stream, backward=True)
            return self._small(self._next_key_frame(), longest_px)

    def _next_key_frame(self) -> "av.VideoFrame":
        from av.error import InvalidDataError

        codec = self._stream.codec_context
        pictures: list[av.VideoFrame]
        for count, packet in enumerate(self._container.demux(self._stream)):
            if count > _MOST_PACKETS:
                break
            if packet.size and not packet.is_keyframe:
                continue
            try:
                # Told that nothing follows, the decoder hands out what it has at once.
                pictures = [*packet.decode(), *(codec.decode(None) if packet.size else ())]
            except InvalidDataError:
                pictures = []
            codec.flush_buffers()
            for picture in pictures:
                if picture.pts is not None:
                    return picture
        raise UnreadableVideo(
            f"{self._path.name} holds no key frame there that can be decoded. "
            "Copy it again from the camera."
        )

    def _small(self, picture: "av.VideoFrame", longest_px: int) -> Frame:
        assert self._stream.time_base is not None
        share = min(1.0, longest_px / max(picture.width, picture.height))
        # Whole multiples of two: colour is stored for squares of two by two.
        width, height = (
            max(2, round(side * share / 2) * 2) for side in (picture.width, picture.height)
        )
        small = picture.reformat(
            width=width, height=height, format="rgb24", interpolation="FAST_BILINEAR"
        )
        rgb: NDArray[np.uint8] = small.to_ndarray().astype(np.uint8, copy=False)
        upright = np.ascontiguousarray(np.rot90(rgb, quarter_turns(picture)))
        at_ms = round(((picture.pts or 0) - self._first_pts) * self._stream.time_base * 1000)
        return Frame(upright, at_ms)
