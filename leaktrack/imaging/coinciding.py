"""The same file twice: every place lies where it lies."""

from dataclasses import dataclass

import numpy as np

from leaktrack.imaging.matching.aligning import AlignmentState, Carried
from leaktrack.imaging.matching.moving import Points
from leaktrack.model.place import PlaceState

SIGMA_PX = 0.01
"""Nothing is uncertain here, but who divides by a standard deviation must be able to."""


@dataclass(frozen=True, slots=True)
class SamePhoto:
    """How a photo lies over itself.

    Attributes:
        size: Width and height of the photo.
    """

    size: tuple[int, int]

    @property
    def state(self) -> AlignmentState:
        """It fits."""
        return AlignmentState.ALIGNED

    def carry(self, points: Points) -> Carried:
        """Return (N, 2) points as they are; those that lie on no pixel are outside."""
        xy = np.array(points, np.float64).reshape(-1, 2)
        is_inside = np.all((xy >= -0.5) & (xy < np.array(self.size) - 0.5), axis=1)
        states = tuple(PlaceState.CARRIED if inside else PlaceState.OUTSIDE for inside in is_inside)
        xy[~is_inside] = np.nan
        return Carried(xy, np.where(is_inside, SIGMA_PX, np.inf), states)

    def places(self, points: Points) -> Points:
        """Return (N, 2) points as they are."""
        return np.array(points, np.float64).reshape(-1, 2)
