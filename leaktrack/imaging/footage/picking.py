"""Pick the pictures of a video that are worth keeping in its index: what is new, where it is sharp.

Hands and shake blur many pictures, and a camera that rests shows the same for a long time. Pictures
that show the same, shifted a little, form a run; the sharpest of each run is picked.
"""

from collections import deque
from collections.abc import Iterator
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.footage.walking import Look

# Own judgement.
LONGEST_RUN_MS = 4_000
SHORTEST_RUN_MS = 1_000
_LONGEST_GAP_MS = 3_000  # a blurred picture is better than none for so long
_BLURRED_SHARE = 0.35  # of the running median of the sharpness
_REMEMBERED = 31

_THUMB_PX = 64
_SHIFT_SHARE = 0.15  # of the side, each way
_SAME = 0.8  # correlation


@dataclass(frozen=True, slots=True, eq=False)
class Picked:
    """A picture for the index.

    Attributes:
        look: The picture.
        sharpness: Mean strength of its fine detail; comparable within one video only.
        from_ms: From here on pictures showed the same.
        until_ms: Up to here they did.
    """

    look: Look
    sharpness: float
    from_ms: int
    until_ms: int


class Picker:
    """Takes pictures in their order and gives out those to be kept.

    Attributes:
        began_ms: Where the run began of which nothing was given out yet.
    """

    def __init__(self) -> None:
        self._sharpness: deque[float] = deque(maxlen=_REMEMBERED)
        self._best: tuple[Look, float] | None = None
        self._anchor: NDArray[np.uint8] | None = None
        self.began_ms = 0
        self._until_ms = 0
        self._picked_ms: int | None = None

    def take(self, look: Look) -> Iterator[Picked]:
        """Take the next picture; gives out the one of the run that it ends, if any."""
        sharp = sharpness(look.grey)
        self._sharpness.append(sharp)
        thumb = _thumb(look.grey)
        if self._anchor is not None and self._goes_on(look, thumb):
            self._until_ms = look.at_ms
            if self._best is None or sharp > self._best[1]:
                self._best = look, sharp
            return
        yield from self.rest()
        self._best, self._anchor = (look, sharp), thumb
        self.began_ms = self._until_ms = look.at_ms

    def rest(self) -> Iterator[Picked]:
        """Give out what is held back: at the end, or before a break."""
        if self._best is None:
            return
        look, sharp = self._best
        self._best = self._anchor = None
        is_blurred = sharp < _BLURRED_SHARE * float(np.median(self._sharpness))
        has_other = self._picked_ms is not None and look.at_ms - self._picked_ms < _LONGEST_GAP_MS
        if is_blurred and has_other:
            return
        self._picked_ms = look.at_ms
        yield Picked(look, sharp, self.began_ms, self._until_ms)

    def _goes_on(self, look: Look, thumb: NDArray[np.uint8]) -> bool:
        assert self._anchor is not None
        age_ms = look.at_ms - self.began_ms
        if age_ms < SHORTEST_RUN_MS:
            return True
        return age_ms < LONGEST_RUN_MS and likeness(self._anchor, thumb) > _SAME


def sharpness(grey: NDArray[np.uint8]) -> float:
    """Return the mean strength of a picture's finest detail."""
    return float(np.abs(cv2.Laplacian(grey, cv2.CV_16S)).mean())


def likeness(one: NDArray[np.uint8], other: NDArray[np.uint8]) -> float:
    """Return the best correlation of two small pictures of one size over small shifts."""
    if one.shape != other.shape:
        return 0.0
    rows, cols = (round(side * _SHIFT_SHARE) for side in one.shape)
    middle = other[rows : other.shape[0] - rows, cols : other.shape[1] - cols]
    found = cv2.matchTemplate(one, middle, cv2.TM_CCOEFF_NORMED)
    best = float(found.max())
    return best if np.isfinite(best) else 0.0


def _thumb(grey: NDArray[np.uint8]) -> NDArray[np.uint8]:
    scale = _THUMB_PX / max(grey.shape)
    size = (max(8, round(grey.shape[1] * scale)), max(8, round(grey.shape[0] * scale)))
    return cv2.resize(grey, size, interpolation=cv2.INTER_AREA).astype(np.uint8)
