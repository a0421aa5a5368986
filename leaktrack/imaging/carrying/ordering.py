"""Put eight arrays in order, place by place."""

import numpy as np

from leaktrack.imaging.carrying.flattening import Floats

_IN_ORDER = (
    *((0, 1), (2, 3), (4, 5), (6, 7)),
    *((0, 2), (1, 3), (4, 6), (5, 7)),
    *((1, 2), (5, 6), (0, 4), (3, 7)),
    *((1, 5), (2, 6)),
    *((1, 4), (3, 6)),
    *((2, 4), (3, 5)),
    (3, 4),
)
"""Which two of eight to put in order, one after the other."""


def in_order(eights: Floats) -> list[Floats]:
    """Return eight arrays, of which the first has the least of each place, and the last the most.

    Whole arrays are held against each other: many times faster than NumPy sorts eight at a time.

    Source:
        K. E. Batcher, "Sorting networks and their applications", AFIPS Spring Joint Computer
        Conference 1968.
    """
    sorted_so_far = list(eights)
    for low, high in _IN_ORDER:
        one, other = sorted_so_far[low], sorted_so_far[high]
        sorted_so_far[low], sorted_so_far[high] = np.minimum(one, other), np.maximum(one, other)
    return sorted_so_far
