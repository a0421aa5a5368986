"""How long, how wide and how large is a particle? Calipers about its outline."""

import cv2
import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


def calipers(outline: Floats) -> tuple[float, float]:
    """Return the largest and the smallest caliper of an outline, (n, 2).

    The largest is the greatest distance between two of its places; the smallest the least distance
    between two parallel lines that hold it, one of which lies along a side of its convex hull.

    Source:
        Feret diameters, as ISO 13322-1 has them; rotating calipers: M. Shamos, 1978; from memory.
    """
    hull = cv2.convexHull(outline.astype(np.float32)).reshape(-1, 2).astype(np.float64)
    if len(hull) < 3:
        return float(np.linalg.norm(np.ptp(outline, axis=0))), 0.0
    between = hull[:, None] - hull[None]
    sides = np.roll(hull, -1, axis=0) - hull
    lengths = np.linalg.norm(sides, axis=1)
    across = np.stack([-sides[:, 1], sides[:, 0]], axis=1)[lengths > 0]
    across /= lengths[lengths > 0][:, None]
    return float(np.linalg.norm(between, axis=2).max()), float(
        np.ptp(hull @ across.T, axis=0).min()
    )


def area_inside(outline: Floats) -> float:
    """Return the area inside an outline, (n, 2), by the shoelace formula."""
    x, y = outline.T
    return float(abs(x @ np.roll(y, -1) - y @ np.roll(x, -1)) / 2)
