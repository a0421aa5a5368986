"""Look at a part of a photo as if it were the photo: for photos taken from much farther away."""

from dataclasses import dataclass
from typing import TypeVar

import cv2
import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.matching.aligning import AlignmentState, Carried
from leaktrack.imaging.matching.moving import Points
from leaktrack.imaging.matching.overlaying import Placing
from leaktrack.model.place import PlaceState

Rgb = NDArray[np.uint8]
Inner = TypeVar("Inner", bound=Placing)

_LEAST_AGREEING = 12
_AGREES = 0.006  # of the longer side: so far off a match still agrees
_MARGIN = 0.15  # of a window's side: more of the photo than the other one seems to show


@dataclass(frozen=True, slots=True)
class Window:
    """A part of a photo, in px of the full upright photo; its first pixel is at (left, top)."""

    left: int
    top: int
    width: int
    height: int

    @classmethod
    def whole(cls, size: tuple[int, int]) -> "Window":
        """Return the window that is the whole photo."""
        return cls(0, 0, *size)

    @property
    def size(self) -> tuple[int, int]:
        """Width and height."""
        return self.width, self.height

    @property
    def corner(self) -> Points:
        """Where it begins, as (2,)."""
        return np.array([self.left, self.top], float)

    def contains(self, points: Points) -> NDArray[np.bool_]:
        """Return which of (N, 2) points of the photo lie in it."""
        within = points - self.corner
        is_in = (within >= -0.5) & (within < (self.width - 0.5, self.height - 0.5))
        return np.asarray(is_in.all(axis=1))

    def of(self, rgb: Rgb, size: tuple[int, int], longest_px: int) -> Rgb:
        """Return what a decode of the photo shows of it, no larger than that decode does.

        Args:
            rgb: The upright photo or a smaller decode of it.
            size: Width and height of the full photo.
            longest_px: Of what is returned, at most.
        """
        if self == Window.whole(size):
            return rgb
        rows, cols = rgb.shape[:2]
        shown = max(self.size) * cols / size[0]
        scale = min(longest_px, shown) / max(self.size)
        width, height = (max(1, round(side * scale)) for side in self.size)
        step_x, step_y = self.width / width, self.height / height
        # Where each pixel's centre lies in the full photo, and from there in the decode.
        per_x, per_y = size[0] / cols, size[1] / rows
        back = np.array(
            [
                [step_x / per_x, 0, (self.left + step_x / 2) / per_x - 0.5],
                [0, step_y / per_y, (self.top + step_y / 2) / per_y - 0.5],
            ]
        )
        flags = cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
        cut = cv2.warpAffine(
            rgb, back, (width, height), flags=flags, borderMode=cv2.BORDER_REPLICATE
        )
        return np.asarray(cut, np.uint8)


def window_seen(
    near: Points, near_size: tuple[int, int], far: Points, far_size: tuple[int, int]
) -> tuple[int, Window] | None:
    """Return how many matches agree where one photo lies in another, and a window around that.

    Args:
        near: (K, 2) matched places in the one photo.
        near_size: Width and height of it.
        far: (K, 2) the same in the other photo.
        far_size: Width and height of that.
    """
    if len(near) < _LEAST_AGREEING:
        return None
    motion, agrees = cv2.estimateAffinePartial2D(
        near, far, method=cv2.RANSAC, ransacReprojThreshold=_AGREES * max(far_size)
    )
    if motion is None or agrees.sum() < _LEAST_AGREEING:
        return None
    width, height = near_size
    corners = np.array([[0.0, 0], [width, 0], [width, height], [0, height]])
    where = corners @ motion[:, :2].T + motion[:, 2]
    low, high = where.min(axis=0), where.max(axis=0)
    margin = _MARGIN * (high - low)
    low = np.clip(np.floor(low - margin), 0, np.array(far_size) - 1)
    high = np.clip(np.ceil(high + margin), low + 1, far_size)
    left, top, right, bottom = (int(side) for side in (*low, *high))
    return int(agrees.sum()), Window(left, top, right - left, bottom - top)


def framed(
    inner: Inner,
    here: Window,
    there: Window,
    reference_size: tuple[int, int],
    new_size: tuple[int, int],
) -> "Inner | Framed":
    """Return how two photos lie over each other, told from how a part of each does.

    Args:
        inner: How the parts lie; in px of the parts.
        here: The part of the reference photo; the whole of it may be one.
        there: The part of the new photo.
        reference_size: Width and height of the full reference photo.
        new_size: Width and height of the full new photo.
    """
    if here == Window.whole(reference_size) and there == Window.whole(new_size):
        return inner
    return Framed(inner, here, there, new_size)


@dataclass(frozen=True, slots=True, eq=False)
class Framed:
    """How two photos lie over each other, told from how a part of each does.

    Attributes:
        inner: How the parts lie; in px of the parts.
        here: The part of the reference photo.
        there: The part of the new photo.
        size: Width and height of the full new photo.
    """

    inner: Placing
    here: Window
    there: Window
    size: tuple[int, int]

    @property
    def state(self) -> AlignmentState:
        """Whether it could be told."""
        return self.inner.state

    def carry(self, points: Points) -> Carried:
        """Return where (N, 2) points of the full reference photo lie in the full new one."""
        carried = self.inner.carry(points - self.here.corner)
        is_asked = self.here.contains(points)
        is_known = is_asked & np.isfinite(carried.xy).all(axis=1)
        # Windows are wider than what the other photo shows: what lies beyond is not in it.
        states = tuple(
            state if asked else PlaceState.OUTSIDE
            for state, asked in zip(carried.states, is_asked, strict=True)
        )
        xy = np.where(is_known[:, None], carried.xy + self.there.corner, np.nan)
        return Carried(xy, np.where(is_asked, carried.sigma_px, np.inf), states)

    def places(self, points: Points) -> Points:
        """Return where (N, 2) points of the full reference photo lie, sure or not."""
        places: Points = self.inner.places(points - self.here.corner) + self.there.corner
        return places
