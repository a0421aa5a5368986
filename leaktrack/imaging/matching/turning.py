"""See a photo turned: a camera held straight down cannot tell which way is up.

The networks hardly match photos that are turned by more than 45 degrees against each other.
"""

import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.matching.learned_matching import Features, LearnedMatcher

QUARTER_TURNS = (1, 3, 2)
"""Anticlockwise, commonest first: on its side to the left, to the right, upside down."""


def features_turned(
    matcher: LearnedMatcher,
    rgb: NDArray[np.uint8],
    size: tuple[int, int],
    turns: int,
) -> Features:
    """Return points of a photo that are found with the photo turned.

    Args:
        matcher: The two networks.
        rgb: The upright photo or a smaller decode of it.
        size: Width and height of the full photo.
        turns: By how many quarters anticlockwise.

    Returns:
        Points in px of the turned photo; ``turned`` by -turns gives those in the photo.
    """
    turned_size = size[::-1] if turns % 2 else size
    picture = np.ascontiguousarray(np.rot90(rgb, turns))
    return matcher.features(picture, turned_size)


def turned(features: Features, turns: int) -> Features:
    """Return features as they lie in the photo turned anticlockwise by so many quarters."""
    x, y = features.xy[:, 0], features.xy[:, 1]
    width, height = features.size
    ways = (
        (x, y),
        (y, width - 1 - x),
        (width - 1 - x, height - 1 - y),
        (height - 1 - y, x),
    )
    size = (height, width) if turns % 2 else (width, height)
    xy = np.stack(ways[turns % 4], axis=1).astype(np.float32)
    return Features(xy, features.descriptors, size)
