"""How far the place of something can be trusted after it was carried from one photo to another."""

from enum import Enum


class PlaceState(Enum):
    """Whether a carried place is known.

    Unknown: the photos could not be laid over each other, or there was nothing to carry.
    """

    CARRIED = "carried"
    UNCERTAIN = "uncertain"
    HIDDEN = "hidden"
    OUTSIDE = "outside"
    UNKNOWN = "unknown"
