"""How much does a photo look like a small piece of another one, around a place?

Compared are edges and their directions, not light: a thing lit from the other side looks the same.
"""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.matching.moving import Points
from leaktrack.imaging.matching.overlaying import Placing

Rgb = NDArray[np.uint8]
Floats = NDArray[np.float32]

_SLACK_PX = 1.5  # of the decoded photo: a place a little off is still alike


@dataclass(frozen=True, slots=True, eq=False)
class Likeness:
    """How much a photo looks like a piece of another one, around a place.

    Attributes:
        table: (side, side) mean correlation, 0 to 1.
        origin: Of its first value, in px of the decoded photo.
        shrunk: Width of the decoded photo over that of the full one.
    """

    table: Floats
    origin: Points
    shrunk: float

    def at(self, places: Points) -> Floats:
        """Return (rows, cols) likeness at (rows, cols, 2) places; 0 beyond what was searched."""
        where = ((places + 0.5) * self.shrunk - 0.5 - self.origin).astype(np.float32)
        found = cv2.remap(self.table, where[..., 0], where[..., 1], cv2.INTER_LINEAR, borderValue=0)
        return np.asarray(found, np.float32)

    def peak_near(self, place: Points, reach_px: float) -> tuple[Points, float] | None:
        """Return where it is largest near a place, between pixels; None at a margin."""
        middle = (place + 0.5) * self.shrunk - 0.5 - self.origin
        low = np.maximum(0, np.ceil(middle - reach_px * self.shrunk)).astype(int)
        high = np.floor(middle + reach_px * self.shrunk).astype(int)
        high = np.minimum(len(self.table) - 1, high)
        if (high - low < 2).any():
            return None
        near = self.table[low[1] : high[1] + 1, low[0] : high[0] + 1]
        row, col = np.unravel_index(int(near.argmax()), near.shape)
        if row in (0, near.shape[0] - 1) or col in (0, near.shape[1] - 1):
            return None
        x = col + _top(*near[row, col - 1 : col + 2])
        y = row + _top(*near[row - 1 : row + 2, col])
        at = np.array([x + low[0], y + low[1]]) + self.origin
        return (at + 0.5) / self.shrunk - 0.5, float(near[row, col])


@dataclass(frozen=True, slots=True, eq=False)
class Edges:
    """A photo as it is compared: its edges.

    Attributes:
        strength: (rows, cols).
        lying: (rows, cols) how far they lie rather than stand, times strength.
        rising: (rows, cols) how far they rise rather than fall, times strength.
    """

    strength: Floats
    lying: Floats
    rising: Floats


def edges(rgb: Rgb) -> Edges:
    """Return the edges of a photo, whichever side of them is the lighter one."""
    grey = cv2.cvtColor(rgb, cv2.COLOR_RGB2GRAY).astype(np.float32)
    tone = cv2.GaussianBlur(np.log(grey + 8), (0, 0), 1.0)
    dx, dy = cv2.Sobel(tone, cv2.CV_32F, 1, 0), cv2.Sobel(tone, cv2.CV_32F, 0, 1)
    strength = np.sqrt(np.hypot(dx, dy) + 1e-4)
    twice = 2 * np.arctan2(dy, dx)
    return Edges(strength, strength * np.cos(twice), strength * np.sin(twice))


def likeness(
    here: Edges,
    there: Edges,
    middle: Points,
    turn: Points,
    radius: int,
    place: Points,
    reach: int,
    shrunk: float,
) -> Likeness:
    """Return how much a photo looks like a piece of another one around a place.

    Args:
        here: The photo that the piece is of.
        there: The photo looked at.
        middle: Of the piece, in px of the decoded photo.
        turn: (2, 2) how it is turned and stretched in the other photo, both decoded.
        radius: Half its width in the other photo, in px of the decode.
        place: Where it should be in the full other photo.
        reach: How far around it is looked for, in px of the decode.
        shrunk: Width of the decoded other photo over that of the full one.
    """
    corner = np.rint((place + 0.5) * shrunk - 0.5) - reach
    tables = [
        _correlated(one, other, turn, middle, corner, radius, reach, is_signed=is_signed)
        for one, other, is_signed in (
            (here.strength, there.strength, False),
            (here.lying, there.lying, True),
            (here.rising, there.rising, True),
        )
    ]
    table = np.clip(np.mean(tables, axis=0), 0, None).astype(np.float32)
    soft = np.asarray(cv2.GaussianBlur(table, (0, 0), _SLACK_PX), np.float32)
    return Likeness(soft, corner, shrunk)


def local_turn(placing: Placing, at: Points, reach_px: float) -> Points:
    """Return (2, 2) how the surroundings of a place are turned and stretched in the new photo."""
    steps = np.linspace(-reach_px, reach_px, 7)
    around = np.stack(np.meshgrid(steps, steps), axis=2).reshape(-1, 2) + at
    fitted, _ = cv2.estimateAffine2D(
        around, placing.places(around), ransacReprojThreshold=0.004 * max(placing.size)
    )
    return np.eye(2) if fitted is None else np.asarray(fitted[:, :2], np.float64)


def _correlated(
    here: Floats,
    there: Floats,
    turn: Points,
    middle: Points,
    corner: Points,
    radius: int,
    reach: int,
    *,
    is_signed: bool,
) -> Floats:
    """Return (2 reach + 1) squared correlations with the patch around a middle, bent to fit."""
    back = np.linalg.inv(turn)
    bend = np.concatenate([back, (middle - back @ [radius, radius])[:, None]], axis=1)
    flags = cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
    side = 2 * radius + 1
    patch = cv2.warpAffine(here, bend, (side, side), flags=flags, borderMode=cv2.BORDER_REPLICATE)
    whole = 2 * (reach + radius) + 1
    shift = np.array([[1, 0, corner[0] - radius], [0, 1, corner[1] - radius]], np.float64)
    around = cv2.warpAffine(
        there, shift, (whole, whole), flags=flags, borderMode=cv2.BORDER_REPLICATE
    )
    method = cv2.TM_CCORR_NORMED if is_signed else cv2.TM_CCOEFF_NORMED
    return np.asarray(np.nan_to_num(cv2.matchTemplate(around, patch, method)), np.float32)


def _top(before: float, at: float, after: float) -> float:
    """Return where a parabola through three values is highest, from the middle one."""
    bend = before - 2 * at + after
    return 0.0 if abs(bend) < 1e-9 else float(np.clip(0.5 * (before - after) / bend, -0.5, 0.5))
