"""Make a photo ready to be looked for in an index."""

import numpy as np

from leaktrack.imaging.footage.packing import Bits, bits_of
from leaktrack.imaging.footage.verifying import Wanted
from leaktrack.imaging.matching.learned_matching import LearnedMatcher

SIZES_PX = (320, 640, 1280)
"""The footage may show the thing smaller or larger than the photo does."""

MOST_POINTS = 256


def looks_of(matcher: LearnedMatcher, query: Wanted) -> list[Bits]:
    """Return packed descriptors of the part that matters, as found at several sizes."""
    box, scale = query.box, query.rgb.shape[1] / query.features.size[0]
    left, top = max(0, int(box.left * scale)), max(0, int(box.top * scale))
    right, bottom = (box.left + box.width) * scale, (box.top + box.height) * scale
    part = query.rgb[top : max(top + 8, int(bottom)), left : max(left + 8, int(right))]
    return [
        bits_of(
            matcher.features(
                np.ascontiguousarray(part), longest_px=side, most=MOST_POINTS
            ).descriptors
        )
        for side in SIZES_PX
    ]
