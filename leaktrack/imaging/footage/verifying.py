"""Does a picture of a video really show what was asked for? Matched points and pixels tell."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.matching.agreeing import agreement
from leaktrack.imaging.matching.learned_matching import Features, LearnedMatcher, Rgb
from leaktrack.imaging.matching.moving import surface, through
from leaktrack.model.shapes import BoxPx, PointPx

QUERY_PX, FRAME_PX = 800, 640  # longer sides at which points are looked for
QUERY_POINTS, FRAME_POINTS = 1024, 1024
LEAST_SHARE = 0.5  # of the photo's sides; a smaller box is matched with what lies around it


@dataclass(frozen=True, slots=True, eq=False)
class Wanted:
    """What is looked for: a photo's points.

    Attributes:
        features: Points of the upright photo or of a part of it, in px of the upright photo.
        box: The part that matters, in the same px.
        place: The one place that must be in sight, or None.
        rgb: The photo, or a smaller decode.
    """

    features: Features
    box: BoxPx
    place: PointPx | None
    rgb: Rgb


@dataclass(frozen=True, slots=True)
class Evidence:
    """How well one picture of a video agrees with the query.

    Attributes:
        agreeing: Matches that fit each other.
        spread: Over how much of both pictures they lie; see ``Agreement``.
        inside: Those of them that lie on the part that matters.
        in_sight: Share of the part that matters that lies within the picture, 0 to 1.
        place: Where the query's place, or the middle of its box, lies in the picture; None where
            that cannot be told.
        size: Width and height of the picture.
    """

    agreeing: int
    spread: float
    inside: int
    in_sight: float
    place: PointPx | None
    size: tuple[int, int]


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
    features = matcher.features(rgb, size, longest_px=QUERY_PX, most=QUERY_POINTS)
    return Wanted(features, kept, place, rgb)


def evidence(matcher: LearnedMatcher, query: Wanted, frame: Rgb) -> Evidence:
    """Return how well a picture of a video, upright RGB, agrees with the query."""
    size = frame.shape[1], frame.shape[0]
    found = matcher.features(frame, longest_px=FRAME_PX, most=FRAME_POINTS)
    pairs = matcher.matches(query.features, found)
    here = query.features.xy[pairs[:, 0]].astype(float)
    there = found.xy[pairs[:, 1]].astype(float)
    points = min(len(query.features.xy), len(found.xy))
    agreed = agreement(here, there, query.features.size, size, points)
    here, there = here[agreed.agrees], there[agreed.agrees]
    motion = surface(here, there, 0.004 * max(size)) if len(here) >= 8 else None
    if motion is None:
        return Evidence(agreed.count, agreed.spread, 0, 0.0, None, size)
    box = query.box
    is_in = _inside(here, box.left, box.top, box.left + box.width, box.top + box.height)
    grid = _grid(box)
    is_seen = _inside(through(motion[0], grid), -0.5, -0.5, size[0] - 0.5, size[1] - 0.5)
    asked = query.place or PointPx(box.left + box.width / 2, box.top + box.height / 2)
    x, y = through(motion[0], np.array([[asked.x, asked.y]]))[0].tolist()
    return Evidence(
        agreed.count, agreed.spread, int(is_in.sum()), float(is_seen.mean()), PointPx(x, y), size
    )


def _grid(box: BoxPx) -> NDArray[np.float64]:
    x, y = np.meshgrid(
        box.left + (np.arange(12) + 0.5) / 12 * box.width,
        box.top + (np.arange(12) + 0.5) / 12 * box.height,
    )
    return np.stack([x.ravel(), y.ravel()], axis=1)


def _inside(
    points: NDArray[np.float64], left: float, top: float, right: float, bottom: float
) -> NDArray[np.bool_]:
    x, y = points[:, 0], points[:, 1]
    return np.asarray((x >= left) & (x <= right) & (y >= top) & (y <= bottom))
