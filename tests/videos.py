"""Small videos with known content, written with PyAV."""

from collections.abc import Iterable
from fractions import Fraction
from pathlib import Path

import av
import numpy as np
from numpy.typing import NDArray

TICK = Fraction(1, 90_000)


def write_video(
    path: Path,
    pictures: Iterable[tuple[int, NDArray[np.uint8]]],
    *,
    key_every: int = 5,
    rotation_deg: int = 0,
    codec: str = "h264",
) -> Path:
    """Write (time in ms, picture) one after another; all pictures of one size."""
    with av.open(str(path), "w") as container:
        stream = None
        for at_ms, rgb in pictures:
            if stream is None:
                options = {"g": str(key_every), "crf": "20", "preset": "ultrafast"}
                stream = container.add_stream(codec, rate=30, options=options)
                stream.height, stream.width = rgb.shape[:2]
                stream.pix_fmt = "yuv420p"
                stream.time_base = stream.codec_context.time_base = TICK
                if rotation_deg:
                    stream.set_display_rotation(rotation_deg)
            frame = av.VideoFrame.from_ndarray(np.ascontiguousarray(rgb), format="rgb24")
            frame.pts, frame.time_base = at_ms * 90, TICK
            container.mux(stream.encode(frame))
        assert stream is not None
        container.mux(stream.encode())
    return path


def panned(
    rgb: NDArray[np.uint8], seconds: float, start_ms: int = 0, step_ms: int = 100
) -> Iterable[tuple[int, NDArray[np.uint8]]]:
    """Film a picture with a window that moves slowly over it, half as wide and high as it."""
    rows, cols = (side // 2 - side // 2 % 2 for side in rgb.shape[:2])
    steps = round(seconds * 1000 / step_ms)
    for step in range(steps):
        x = (rgb.shape[1] - cols) * step // (2 * steps)
        yield start_ms + step * step_ms, rgb[20 : 20 + rows, x : x + cols]
