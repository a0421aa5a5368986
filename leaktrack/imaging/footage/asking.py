"""What is looked for in footage: a photo made ready, and the part of it that matters."""

from collections.abc import Sequence
from dataclasses import dataclass

import cv2
import numpy as np

from leaktrack.imaging.matching.learned_matching import Features, LearnedMatcher, Rgb
from leaktrack.imaging.measuring.targeting import Square, squares_seen
from leaktrack.model.shapes import BoxPx, PointPx

QUERY_PX = 800
"""Longer side at which its points are looked for."""

QUERY_POINTS = 1024
_BLUR_PX = 1.0  # grain of a photo, which a video does not have, would be taken for distinct points
_LEAST_SHARE = 0.3  # of the photo's sides; a smaller part is told by what lies around it


@dataclass(frozen=True, slots=True, eq=False)
class Wanted:
    """What is looked for: a photo's points.

    Attributes:
        features: Points of the upright photo or of a part of it, in px of the upright photo.
        box: The part that matters, in the same px.
        around: The same with what lies around it, where it is too small to be told by itself.
        place: The one place that must be in sight, or None.
        rgb: The photo, or a smaller decode.
        targets: Printed targets in it; they lie elsewhere each time and say nothing.
    """

    features: Features
    box: BoxPx
    around: BoxPx
    place: PointPx | None
    rgb: Rgb
    targets: Sequence[Square]


def wanted(
    matcher: LearnedMatcher,
    rgb: Rgb,
    size: tuple[int, int],
    box: BoxPx | None = None,
    place: PointPx | None = None,
) -> Wanted:
    """Return a query made ready.

    Args:
        matcher: The two networks.
        rgb: The upright photo, or a smaller decode of it.
        size: Width and height of the upright photo.
        box: The part that matters; None: all of it.
        place: The one place that must be in sight.
    """
    kept = box or BoxPx(-0.5, -0.5, *size)
    targets = squares_seen(rgb, size[0] / rgb.shape[1])
    features = matcher.features(_smooth(rgb), size, longest_px=QUERY_PX, most=QUERY_POINTS)
    middle = kept if place is None or box is not None else BoxPx(place.x, place.y, 0, 0)
    around = grown(middle, size)
    return Wanted(features.outside(targets), kept, around, place, rgb, targets)


def _smooth(rgb: Rgb) -> Rgb:
    """Return a photo as large as its points are looked for, without its grain."""
    scale = QUERY_PX / max(rgb.shape[:2])
    if scale < 1:
        size = round(rgb.shape[1] * scale), round(rgb.shape[0] * scale)
        rgb = cv2.resize(rgb, size, interpolation=cv2.INTER_AREA).astype(np.uint8)
    return cv2.GaussianBlur(rgb, (0, 0), _BLUR_PX).astype(np.uint8)


def grown(box: BoxPx, size: tuple[int, int]) -> BoxPx:
    """Return a box about the same middle, its sides at least a share of the photo's, within it."""
    sides = []
    for start, length, whole in zip(
        (box.left, box.top), (box.width, box.height), size, strict=True
    ):
        wide = max(length, _LEAST_SHARE * whole)
        first = start + (length - wide) / 2
        first = min(max(first, -0.5), max(-0.5, whole - 0.5 - wide))
        sides.append((first, wide))
    (left, width), (top, height) = sides
    return BoxPx(left, top, width, height)
