"""Make a photo ready to be looked for in an index."""

from concurrent.futures import ThreadPoolExecutor

import numpy as np

from leaktrack.imaging.footage.asking import Wanted
from leaktrack.imaging.footage.shortlisting import PointsAsked
from leaktrack.imaging.matching.learned_matching import LearnedMatcher

SIZES_PX = (320, 640, 1120)
"""The footage may show the thing smaller or larger than the photo does."""

MOST_POINTS = 192


def looks_of(matcher: LearnedMatcher, query: Wanted) -> list[PointsAsked]:
    """Return the points of the part that matters and around it, as found at several sizes."""
    box, scale = query.around, query.rgb.shape[1] / query.features.size[0]
    left, top = max(0, int(box.left * scale)), max(0, int(box.top * scale))
    right, bottom = (box.left + box.width) * scale, (box.top + box.height) * scale
    part = np.ascontiguousarray(
        query.rgb[top : max(top + 8, int(bottom)), left : max(left + 8, int(right))]
    )

    def points(side: int) -> PointsAsked:
        found = matcher.features(part, longest_px=side, most=MOST_POINTS)
        return PointsAsked.of(found.descriptors)

    with ThreadPoolExecutor() as threads:
        return list(threads.map(points, SIZES_PX))
