"""What changed between two inspections?"""

from math import hypot

from leaktrack.model.comparison import Change, Sighting
from leaktrack.model.leak import SeepageGrade, wetness

# How much larger a wet area of the same grade must be to have grown. Outlines drawn twice by hand,
# and scales taken in tilted planes, differ by about this much. Own judgement.
AREA_TOLERANCE = 1.25

# Where both areas have standard deviations, they differ if they do by so many of their difference.
# Two hold 95 of 100 of normal errors.
SIGMAS = 2.0


def change(before: Sighting, after: Sighting) -> Change:
    """Return how a leak fared; not seen if either inspection could not see it.

    The grade decides. Between equal grades the wet areas decide, where both are known in mm2: an
    area in pixels depends on how near the camera stood. They must differ by two standard deviations
    of their difference where these are known, else by a quarter. A leak of which nothing was
    noticed before, though its zone was photographed, is new once it is wet.
    """
    was, now = wetness(before.grade), wetness(after.grade)
    if now is None:
        return Change.NOT_SEEN
    if was is None:
        return Change.NEW if before.nothing_noticed and now > 0 else Change.NOT_SEEN
    if now == 0:
        return Change.STILL_DRY if was == 0 else Change.GONE
    if was == 0:
        return Change.NEW
    if now != was:
        return Change.GROWING if now > was else Change.SHRINKING
    return _change_of_area(before, after)


def is_wet(grade: SeepageGrade) -> bool:
    """Return whether something was seen to be wet."""
    return (wetness(grade) or 0) > 0


def _change_of_area(before: Sighting, after: Sighting) -> Change:
    was, now = before.area_mm2, after.area_mm2
    if was is None or now is None:
        return Change.STEADY
    if before.area_sigma_mm2 is not None and after.area_sigma_mm2 is not None:
        least = SIGMAS * hypot(before.area_sigma_mm2, after.area_sigma_mm2)
        is_larger, is_smaller = now - was > least, was - now > least
    else:
        is_larger, is_smaller = now > was * AREA_TOLERANCE, was > now * AREA_TOLERANCE
    if is_larger:
        return Change.GROWING
    return Change.SHRINKING if is_smaller else Change.STEADY
