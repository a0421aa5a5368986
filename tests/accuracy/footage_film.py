"""Film photos with a camera that moves over them: hand shake, blur, changing light.

Planar motion without parallax: what it measures is kinder than a workshop.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

import av
import cv2
import numpy as np
from numpy.typing import NDArray

Rgb = NDArray[np.uint8]
Matrix = NDArray[np.float64]

FILM_SIZE = (1280, 720)
RATE = 15
_BENT_PX = 4.0, 20.0  # standard deviation; own judgement


@dataclass(frozen=True)
class Shot:
    """A camera's way over one photo.

    Attributes:
        photo: What is filmed, by any name; None: nothing that is asked for.
        start_s: When it begins in the film.
        end_s: When it ends.
        frames: From px of the photo to px of each frame, (3, 3) each.
    """

    photo: str | None
    start_s: float
    end_s: float
    frames: tuple[Matrix, ...]


def still(rgb: Rgb, rng: np.random.Generator, share: float | None = None) -> tuple[Rgb, Matrix]:
    """Return one frame that shows a part of a photo, and how the photo lies in it.

    Args:
        rgb: The photo.
        rng: Where chance comes from.
        share: Of the photo's width that the frame shows; None: anything from 0.3 to 0.9.
    """
    way = next(iter(_way(rgb.shape, rng, 1, share)))
    look = _Light(rng)
    return look.seen(rgb, way, 0.0), way


def bent(frame: Rgb, rng: np.random.Generator) -> Rgb:
    """Return a frame in which depth moves things a little, as where a camera stands elsewhere."""
    rows, cols = frame.shape[:2]
    coarse = rng.standard_normal((rows // 8, cols // 8, 2)).astype(np.float32)
    coarse = cv2.GaussianBlur(coarse, (0, 0), rng.uniform(6, 25))
    coarse *= rng.uniform(*_BENT_PX) / coarse.std()
    x, y = np.meshgrid(np.arange(cols), np.arange(rows))
    away = cv2.resize(coarse, (cols, rows), interpolation=cv2.INTER_CUBIC)
    at = (np.dstack([x, y]) + away).astype(np.float32)
    return cv2.remap(frame, at, None, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE).astype(
        np.uint8
    )


def film(
    path: Path,
    shots: list[tuple[str | None, Rgb, float]],
    rng: np.random.Generator,
    key_every: int = RATE,
    size: tuple[int, int] = FILM_SIZE,
    rate: int = RATE,
    things: dict[str, Matrix] | None = None,
) -> list[Shot]:
    """Write a film of photos one after another; return when each is seen and how.

    Args:
        path: The video file.
        shots: Of each shot: its name, the photo and how many seconds.
        rng: Where chance comes from.
        key_every: Frames from key frame to key frame.
        size: Width and height of the film.
        rate: Frames in a second.
        things: Places, (N, 2) px, that the camera looks at in a photo of that name; else anywhere.
    """
    made: list[Shot] = []
    number = 0
    with av.open(str(path), "w") as container:
        options = {"g": str(key_every), "crf": "25", "preset": "ultrafast"}
        stream = container.add_stream("h264", rate=rate, options=options)
        stream.width, stream.height = size
        stream.pix_fmt = "yuv420p"
        stream.time_base = stream.codec_context.time_base = Fraction(1, 12_800)
        for name, rgb, seconds in shots:
            began = number
            light = _Light(rng)
            ways = tuple(
                _way(
                    rgb.shape,
                    rng,
                    round(seconds * rate),
                    None,
                    size,
                    (things or {}).get(name or ""),
                )
            )
            for step, way in enumerate(ways):
                frame = av.VideoFrame.from_ndarray(
                    light.seen(rgb, way, step / len(ways), size), format="rgb24"
                )
                frame.pts, frame.time_base = number * 12_800 // rate, stream.time_base
                container.mux(stream.encode(frame))
                number += 1
            made.append(Shot(name, began / rate, number / rate, ways))
        container.mux(stream.encode())
    return made


class _Light:
    """How the camera exposes and blurs during one shot."""

    def __init__(self, rng: np.random.Generator) -> None:
        self._rng = rng
        self._gain = rng.uniform(0.7, 1.25, 2)
        self._tint = rng.uniform(0.92, 1.08, 3)
        self._gamma = rng.uniform(0.85, 1.2)
        self._blur = rng.uniform(0.3, 1.6)

    def seen(
        self, rgb: Rgb, way: Matrix, progress: float, size: tuple[int, int] = FILM_SIZE
    ) -> Rgb:
        """Return a frame."""
        frame = cv2.warpPerspective(
            rgb, way, size, flags=cv2.INTER_AREA, borderMode=cv2.BORDER_REFLECT_101
        )
        sigma = self._blur * (3.0 if self._rng.random() < 0.08 else 1.0)  # a jerk now and then
        frame = cv2.GaussianBlur(frame, (0, 0), sigma).astype(np.float32) / 255
        gain = self._gain[0] + (self._gain[1] - self._gain[0]) * progress
        frame = np.clip(frame**self._gamma * gain * self._tint, 0, 1) * 255
        noise = self._rng.standard_normal((size[1] // 2, size[0] // 2)) * 3
        frame += cv2.resize(noise.astype(np.float32), size)[..., None]
        return np.clip(frame, 0, 255).astype(np.uint8)


def _way(
    shape: tuple[int, ...],
    rng: np.random.Generator,
    steps: int,
    share: float | None,
    size: tuple[int, int] = FILM_SIZE,
    things: Matrix | None = None,
) -> Iterator[Matrix]:
    """Give out how the photo lies in each frame of a shot: a slow pan, zoom and hand shake."""
    rows, cols = shape[:2]
    ends = []
    for _ in range(2):
        seen = share or float(np.exp(rng.uniform(np.log(0.3), np.log(0.9))))
        width = seen * min(cols, rows * size[0] / size[1])
        height = width * size[1] / size[0]
        x = rng.uniform(width / 2, max(width / 2 + 1, cols - width / 2))
        y = rng.uniform(height / 2, max(height / 2 + 1, rows - height / 2))
        if things is not None:
            x, y = things[rng.integers(len(things))]
        ends.append((x, y, np.log(width), np.radians(rng.normal(0, 4))))
    shake = np.cumsum(rng.standard_normal((steps, 2)), axis=0) * 1.5
    shake -= np.linspace(0, 1, steps)[:, None] * shake[-1]
    tilt = rng.normal(0, 4e-5, 2)
    for step in range(steps):
        part = step / max(1, steps - 1)
        x, y, log_width, angle = (
            (1 - part) * a + part * b for a, b in zip(ends[0], ends[1], strict=True)
        )
        scale = size[0] / np.exp(log_width)
        cos, sin = scale * np.cos(angle), scale * np.sin(angle)
        turn = np.array([[cos, -sin, 0], [sin, cos, 0], [0, 0, 1]])
        to_centre = np.array([[1, 0, -x], [0, 1, -y], [0, 0, 1]], float)
        lean = np.array([[1, 0, 0], [0, 1, 0], [*tilt, 1]])
        middle = (np.array(size) - 1) / 2 + shake[step]
        back = np.array([[1, 0, middle[0]], [0, 1, middle[1]], [0, 0, 1]])
        yield back @ lean @ turn @ to_centre


def share_in_sight(way: Matrix, between: Matrix, box: tuple[float, float, float, float]) -> float:
    """Return how much of a box a frame shows, 0 to 1.

    Args:
        way: From px of the filmed photo to px of the frame.
        between: From px of the query photo to px of the filmed photo.
        box: Left, top, width and height in px of the query photo.
    """
    left, top, width, height = box
    x, y = np.meshgrid(
        left + (np.arange(15) + 0.5) / 15 * width, top + (np.arange(15) + 0.5) / 15 * height
    )
    points = np.stack([x.ravel(), y.ravel()], axis=1).reshape(-1, 1, 2)
    seen = cv2.perspectiveTransform(points, way @ between).reshape(-1, 2)
    is_in = ((seen >= 0) & (seen < FILM_SIZE)).all(axis=1)
    return float(is_in.mean())
