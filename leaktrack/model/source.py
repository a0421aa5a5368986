"""Where a wet area begins: the place its oil came from, and which way it ran from there."""

from dataclasses import dataclass
from enum import Enum

from leaktrack.model.shapes import Outline, PointPx


class DownFrom(Enum):
    """What says which way is down in a photo."""

    ARROW = "arrow"
    OTHER_PHOTO = "other_photo"
    UPRIGHT = "upright"
    NOTHING = "nothing"


@dataclass(frozen=True, slots=True)
class Trail:
    """Which way oil runs in a photo.

    Attributes:
        toward_deg: From straight down, counted towards the right edge of the upright photo.
        sigma_deg: One standard deviation; 180 where nobody can say, as in a photo from above.
        said_by: What says which way is down.
        is_blown: Air was driven over the engine before the look.
    """

    toward_deg: float = 0.0
    sigma_deg: float = 180.0
    said_by: DownFrom = DownFrom.NOTHING
    is_blown: bool = False

    @property
    def is_known(self) -> bool:
        """Whether up and down mean something in this photo."""
        return self.sigma_deg < 90.0


@dataclass(frozen=True, slots=True)
class SourcePoint:
    """One place where the oil may come out.

    Attributes:
        sigma_mm: One standard deviation of the place, in each direction.
        share: How likely it is this one rather than the others; they add up to 1.
    """

    at: PointPx
    sigma_mm: float
    share: float = 1.0


@dataclass(frozen=True, slots=True)
class FoundSource:
    """Where a wet area begins, as one photo shows it.

    Attributes:
        points: The places in question, the likeliest first; at least one.
        trail: Which way the oil ran.
        mm_per_px: Scale used.
        is_scale_assumed: Nothing says the scale: the photo counts as usually wide.
        width_px: Of the upright photo.
        height_px: The same.
        is_marked: A person placed the source; else it is the top of the wet area.
        comes_from_edge: The wet area comes in at the photo's upper edge, so the oil comes from
            above, out of this photo; None where no outline or no direction tells.
        run_off_px: Part of the wet area below its source; empty where there is none.
        run_off_mm: How far the oil ran down from its source.
        later: Where the same leak begins in photos of later looks, brought into this photo.
    """

    points: tuple[SourcePoint, ...]
    trail: Trail
    mm_per_px: float
    is_scale_assumed: bool
    width_px: int
    height_px: int
    is_marked: bool
    comes_from_edge: bool | None = None
    run_off_px: Outline = ()
    run_off_mm: float | None = None
    later: tuple["FoundSource", ...] = ()

    @property
    def at(self) -> PointPx:
        """The likeliest place."""
        return self.points[0].at

    @property
    def sigma_mm(self) -> float:
        """One standard deviation of the likeliest place."""
        return self.points[0].sigma_mm
