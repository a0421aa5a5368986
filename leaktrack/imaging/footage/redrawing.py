"""Draw a photo as a picture of a video would show it, turned and as large, and match both again."""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.footage.asking import Wanted
from leaktrack.imaging.footage.bending import like_neighbours
from leaktrack.imaging.matching.agreeing import agreement, spread
from leaktrack.imaging.matching.framing import Window
from leaktrack.imaging.matching.learned_matching import Features, LearnedMatcher, Rgb
from leaktrack.imaging.matching.moving import Points, through

Plane = NDArray[np.float64]

FRAME_PX = 640
"""Longer side at which points of a picture are looked for."""

FRAME_POINTS = 1024
_NONE: Points = np.empty((0, 2))
_SHRUNK_BEFORE = 0.6
_BLUR_PX = 1.5  # grain of a photo, which a video does not have, would be taken for distinct points


@dataclass(frozen=True, slots=True, eq=False)
class Again:
    """What was matched again.

    Attributes:
        here: (N, 2) places in px of the photo that fit each other in the picture.
        there: (N, 2) the same in px of the picture.
        spread: Over how much of both they lie; see ``Agreement``.
        matched: All matches, right or wrong.
        along: (K, 2) twice: the same of those that move like their neighbours, at any depth.
        along_spread: Over how much of both these lie.
    """

    here: Points
    there: Points
    spread: float
    matched: int
    along: tuple[Points, Points]
    along_spread: float


def matched_again(
    matcher: LearnedMatcher,
    query: Wanted,
    frame: Rgb,
    features: Features,
    plane: Plane,
    window: Window,
) -> Again:
    """Match where they lie over each other, the photo drawn as the picture would show it.

    Args:
        matcher: The two networks.
        query: What is looked for.
        frame: The upright picture.
        features: Its points.
        plane: (3, 3) from px of the photo to px of the picture.
        window: The part of the picture that the photo lies over.
    """
    scale = FRAME_PX / max(window.size)
    width, height = (max(32, round(side * scale)) for side in window.size)
    # Where pixels' middles lie: the picture's in what is cut out of it.
    corner = (0.5 - window.corner) * scale - 0.5
    cut = np.array([[scale, 0, corner[0]], [0, scale, corner[1]], [0, 0, 1]])
    to_cut = cut @ plane
    filmed = _cut_out(matcher, frame, features, window)
    there = Features(
        through(cut, filmed.xy.astype(float)).astype(np.float32),
        filmed.descriptors,
        (width, height),
    )
    drawn = matcher.features(
        _drawn(query, to_cut, (width, height)), longest_px=FRAME_PX, most=FRAME_POINTS
    )
    places = through(np.asarray(np.linalg.inv(to_cut), np.float64), drawn.xy.astype(float))
    kept = Features(places.astype(np.float32), drawn.descriptors, query.features.size)
    kept = kept.outside(query.targets)
    here = Features(
        through(to_cut, kept.xy.astype(float)).astype(np.float32), kept.descriptors, drawn.size
    )
    pairs = matcher.matches(here, there)
    one, other = here.xy[pairs[:, 0]].astype(float), there.xy[pairs[:, 1]].astype(float)
    points = min(len(here.xy), len(there.xy))
    agreed = agreement(one, other, here.size, there.size, points)
    moves_along = like_neighbours(one, other, here.size)
    photo, picture = (
        kept.xy[pairs[:, 0]].astype(float),
        filmed.xy[pairs[:, 1]].astype(float),
    )
    return Again(
        photo[agreed.agrees],
        picture[agreed.agrees],
        agreed.spread,
        len(pairs),
        (photo[moves_along], picture[moves_along]),
        min(spread(each[moves_along], max(here.size)) for each in (one, other)),
    )


def _cut_out(matcher: LearnedMatcher, frame: Rgb, features: Features, window: Window) -> Features:
    """Return the points of a part of the picture, in px of the picture."""
    if window == Window.whole(features.size):
        return features
    part = frame[window.top : window.top + window.height, window.left : window.left + window.width]
    found = matcher.features(part, longest_px=FRAME_PX, most=FRAME_POINTS)
    xy = (found.xy + window.corner).astype(np.float32)
    return Features(xy, found.descriptors, features.size)


def _drawn(query: Wanted, to_cut: Plane, size: tuple[int, int]) -> Rgb:
    """Return the photo as a plane puts it into a picture of a size."""
    rgb = query.rgb
    per_px = rgb.shape[1] / query.features.size[0]
    scale = float(np.sqrt(abs(np.linalg.det(to_cut[:2, :2])))) / per_px
    if scale < _SHRUNK_BEFORE:  # else single pixels would stand for many
        small = max(1, round(rgb.shape[1] * scale)), max(1, round(rgb.shape[0] * scale))
        rgb = cv2.resize(rgb, small, interpolation=cv2.INTER_AREA).astype(np.uint8)
        per_px = rgb.shape[1] / query.features.size[0]
    half = (1 / per_px - 1) / 2
    to_full = np.array([[1 / per_px, 0, half], [0, 1 / per_px, half], [0, 0, 1]])
    drawn = cv2.warpPerspective(rgb, to_cut @ to_full, size, borderMode=cv2.BORDER_REPLICATE)
    return cv2.GaussianBlur(drawn, (0, 0), _BLUR_PX).astype(np.uint8)
