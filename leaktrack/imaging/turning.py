"""Match a photo that lies on its side: a camera held straight down cannot tell which way is up."""

import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.learned_matching import Features, LearnedMatcher

# The networks hardly match photos that are turned by more than 45 degrees.
_QUARTER_TURNS = (1, 3, 2)


def matched_turned(
    matcher: LearnedMatcher,
    reference: Features,
    new_rgb: NDArray[np.uint8],
    new_size: tuple[int, int],
) -> tuple[Features, NDArray[np.int64]]:
    """Return points of a new photo and their matches, found with the photo turned as fits best.

    Args:
        matcher: The two networks.
        reference: Points of the reference photo.
        new_rgb: The upright new photo or a smaller decode of it.
        new_size: Width and height of the full new photo.

    Returns:
        Points in px of the new photo as it is given, and (K, 2) matches of the reference with them.
    """
    best: tuple[Features, NDArray[np.int64]] | None = None
    for turns in _QUARTER_TURNS:
        size = new_size[::-1] if turns % 2 else new_size
        seen = matcher.features(np.ascontiguousarray(np.rot90(new_rgb, turns)), size)
        pairs = matcher.matches(reference, seen)
        if best is None or len(pairs) > len(best[1]):
            best = _turned_back(seen, turns), pairs
    assert best is not None
    return best


def _turned_back(seen: Features, turns: int) -> Features:
    """Return features of a photo turned anticlockwise as they lie in the photo itself."""
    x, y = seen.xy[:, 0], seen.xy[:, 1]
    width, height = seen.size
    back = {1: (height - 1 - y, x), 2: (width - 1 - x, height - 1 - y), 3: (y, width - 1 - x)}
    size = (height, width) if turns % 2 else (width, height)
    return Features(np.stack(back[turns], axis=1).astype(np.float32), seen.descriptors, size)
