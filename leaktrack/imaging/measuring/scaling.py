"""Tell areas and lengths in mm from places in px, with how far they can be trusted.

A scale is a surface: a plane before the camera, as a projective map from px to mm. What is not
known about it is kept as further planes, each one standard deviation off for one reason: the
surface may lean otherwise than the target, lie nearer, the corners may be found a little off. An
area is measured on all of them; the differences are its doubt. Besides, each wet area may lean
otherwise than the surface as a whole, which counts the more the less straight it is seen.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import Enum
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.measuring.projecting import Floats
from leaktrack.model.shapes import PointPx

Matrix = tuple[float, float, float, float, float, float, float, float, float]
"""A homography, row by row."""

_STEEPEST_DEG = 80.0  # nobody outlines what is seen more from the side; own judgement

EDGE_DOUBT_PX = 0.5
"""How far all of an outline may lie too far out or in; one standard deviation, own judgement."""


class ScaleSource(Enum):
    """How a scale was had."""

    TARGET = "target"
    BOLTS = "bolts"
    PATTERN = "pattern"
    LENGTH = "length"
    CARRIED = "carried"


_OF_A_PLANE = (ScaleSource.TARGET, ScaleSource.PATTERN)
"""A carried scale is left out: its plane is told by carried places, which is less sure."""


class ScaleState(Enum):
    """Whether a scale can be used; if not, why."""

    MEASURED = "measured"
    TOO_SMALL = "too_small"
    TOO_TILTED = "too_tilted"
    WRONG_PATTERN = "wrong_pattern"
    NOT_CARRIED = "not_carried"


@dataclass(frozen=True, slots=True)
class Doubt:
    """What else the surface could be, one standard deviation away for one reason.

    Attributes:
        why: The reason, in a word or two.
        to_mm: The projective map from px to mm that would hold then.
        bend: By which share of its distance from the middle the lens moves a corner of the photo.
        share: How much of the difference counts as one standard deviation.
    """

    why: str
    to_mm: Matrix
    bend: float = 0.0
    share: float = 1.0


@dataclass(frozen=True, slots=True)
class Scale:
    """How many mm there are to a px of one photo, place by place.

    Attributes:
        source: How it was had.
        state: MEASURED, or why it cannot be used; then there is no ``to_mm``.
        size_px: Width and height of the upright photo.
        at_px: Where it was measured; it holds best there.
        to_mm: The projective map from px to mm in the surface; None where it cannot be used.
        doubts: What else the surface could be; see above.
        tilt_deg: Angle between the look at ``at_px`` and the straight look; None: not known.
        distance_mm: From the camera to ``at_px``; None: not known.
        side_mm: The given length: side of the target, spacing of the bolts, typed length.
        corners_px: The target's corners, or the clicked places.
        is_focal_told: Whether the photo's file told the focal length; else it was assumed.
        is_cut: Whether the photo seems to be a part of a larger one, so that it is not known where
            its camera looked.
        lean_deg: How much a single wet area may lean otherwise; one standard deviation.
    """

    source: ScaleSource
    state: ScaleState
    size_px: tuple[int, int]
    at_px: PointPx
    to_mm: Matrix | None = None
    doubts: tuple[Doubt, ...] = ()
    tilt_deg: float | None = None
    distance_mm: float | None = None
    side_mm: float | None = None
    corners_px: tuple[PointPx, ...] = ()
    is_focal_told: bool = False
    is_cut: bool = False
    lean_deg: float = 0.0

    @property
    def tells_plane(self) -> bool:
        """Whether it tells how the surface leans; a length, or bolts on a line, does not."""
        return self.to_mm is not None and self.source in _OF_A_PLANE

    @property
    def mm_per_px(self) -> float | None:
        """At ``at_px``, averaged over directions: right for areas. None where it cannot be used."""
        if self.to_mm is None:
            return None
        x, y = self.at_px.x, self.at_px.y
        return math.sqrt(local_area(matrix(self.to_mm), np.array([[x, y]]))[0])


class AreaMm2(NamedTuple):
    """An area with one standard deviation."""

    mm2: float
    sigma_mm2: float


class LengthMm(NamedTuple):
    """A length with one standard deviation."""

    mm: float
    sigma_mm: float


def area_mm2(
    scale: Scale, outline_px: Sequence[PointPx], edge_px: float = EDGE_DOUBT_PX
) -> AreaMm2 | None:
    """Return the area inside an outline, on the scale's surface, with its standard deviation.

    sigma^2 is the sum of the squared differences to the doubted surfaces, of the square of
    perimeter x ``edge_px``, and of the square of what another lean would make of the area. For a
    target, what lies dz nearer than its plane counts 2 dz/Z too much.

    Args:
        scale: Of the photo in which the outline was drawn.
        outline_px: At least three corners of the true edge, in order, in the upright photo.
        edge_px: How far the whole outline may lie too far out or in; one standard deviation.

    Returns:
        None where the scale cannot be used, or the surface is not even seen at some corner.

    Raises:
        ValueError: The outline has fewer than three corners.
    """
    if len(outline_px) < 3:
        raise ValueError("an outline needs at least three corners")
    places = np.array([[point.x, point.y] for point in outline_px])
    found = _on_each(scale, places, _area)
    if found is None:
        return None
    area, of_surface = found
    assert scale.to_mm is not None
    pieces = np.linalg.norm(places - np.roll(places, -1, axis=0), axis=1)
    mm2_per_px2 = area / max(_area(places), 1e-9)
    of_edge = float(pieces.sum()) * edge_px * mm2_per_px2
    of_lean = area * _lean_share(matrix(scale.to_mm), places.mean(axis=0), scale.lean_deg)
    return AreaMm2(area, math.hypot(of_surface, of_edge, of_lean))


def length_mm(
    scale: Scale, path_px: Sequence[PointPx], end_px: float = EDGE_DOUBT_PX
) -> LengthMm | None:
    """Return the length of a path on the scale's surface, with its standard deviation.

    Args:
        scale: Of the photo in which the path was drawn.
        path_px: At least two places in the upright photo.
        end_px: How far each end may be off; one standard deviation.

    Returns:
        None where the scale cannot be used, or the surface is not even seen at some place.

    Raises:
        ValueError: The path has fewer than two places.
    """
    if len(path_px) < 2:
        raise ValueError("a path needs at least two places")
    places = np.array([[point.x, point.y] for point in path_px])
    found = _on_each(scale, places, _length)
    if found is None:
        return None
    length, of_surface = found
    mm_per_px = length / max(_length(places), 1e-9)
    return LengthMm(length, math.hypot(of_surface, math.sqrt(2) * end_px * mm_per_px))


def matrix(of: Matrix) -> Floats:
    """Return a homography as (3, 3)."""
    return np.array(of, np.float64).reshape(3, 3)


def as_matrix(homography: Floats) -> Matrix:
    """Return a (3, 3) homography as a value; its sign and size stay."""
    a, b, c, d, e, f, g, h, i = (float(value) for value in homography.ravel())
    return a, b, c, d, e, f, g, h, i


def bent(places: Floats, size_px: tuple[int, int], bend: float) -> Floats:
    """Return where (N, 2) places would lie with that much more lens distortion."""
    if bend == 0:
        return places
    middle = (np.array(size_px) - 1) / 2
    off = places - middle
    share = (off**2).sum(axis=1, keepdims=True) / float((middle**2).sum())
    return np.asarray(middle + off * (1 + bend * share), np.float64)


def local_area(homography: Floats, places: Floats) -> NDArray[np.float64]:
    """Return the (N,) mm2 to a px2 at each of (N, 2) places."""
    depth = _depth(homography, places)
    return np.asarray(np.abs(np.linalg.det(homography)) / np.abs(depth) ** 3, np.float64)


def tilt_deg_at(homography: Floats, place: Floats) -> float:
    """Return how far from straight a surface is seen at a place, of two coordinates.

    It is read off how much more the map stretches the one way than the other.
    """
    there = _laid(homography, np.array([[0, 0], [1, 0], [0, 1]]) + place)
    if there is None:
        return 90.0
    stretch = np.linalg.svd(there[1:] - there[0], compute_uv=False)
    return math.degrees(math.acos(min(1.0, float(stretch[1] / stretch[0]))))


def _on_each(
    scale: Scale, places: Floats, measure: Callable[[Floats], float]
) -> tuple[float, float] | None:
    """Return what is measured on the surface, and one standard deviation from its doubts."""
    if scale.state is not ScaleState.MEASURED or scale.to_mm is None:
        return None
    there = _laid(matrix(scale.to_mm), places)
    if there is None:
        return None
    value = measure(there)
    off = []
    for doubt in scale.doubts:
        other = _laid(matrix(doubt.to_mm), bent(places, scale.size_px, doubt.bend))
        # A surface that would not even be seen there says: anything is possible.
        off.append(doubt.share * (value if other is None else measure(other) - value))
    return value, math.sqrt(math.fsum(each**2 for each in off))


def _lean_share(homography: Floats, place: Floats, lean_deg: float) -> float:
    """Return which share of an area another lean adds or takes; one standard deviation.

    A surface shows the cosine of its tilt of itself.
    """
    tilt, lean = math.radians(tilt_deg_at(homography, place)), math.radians(lean_deg)
    steepest = math.radians(_STEEPEST_DEG)
    sideways = 1 / math.cos(lean) - 1
    away = math.cos(tilt) / math.cos(min(tilt + lean, max(tilt, steepest))) - 1
    towards = math.cos(tilt) / math.cos(tilt - lean) - 1
    return math.sqrt((away**2 + towards**2) / 2 + sideways**2)


def _laid(homography: Floats, places: Floats) -> Floats | None:
    """Return (N, 2) mm on the surface; None where some place does not look at it."""
    depth = _depth(homography, places)
    if (depth <= 0).any():
        return None
    there = np.column_stack([places, np.ones(len(places))]) @ homography[:2].T
    return np.asarray(there / depth[:, None], np.float64)


def _depth(homography: Floats, places: Floats) -> NDArray[np.float64]:
    return np.asarray(places @ homography[2, :2] + homography[2, 2], np.float64)


def _area(places: Floats) -> float:
    """Return the area by the shoelace formula."""
    x, y = (places - places[0]).T
    return abs(float(np.sum(x * np.roll(y, -1) - y * np.roll(x, -1)))) / 2


def _length(places: Floats) -> float:
    return float(np.linalg.norm(np.diff(places, axis=0), axis=1).sum())
