"""What scale does a photo have, by the measured bolts of a joint that it shows?"""

from collections.abc import Sequence
from itertools import pairwise

from leaktrack.analysis.stationing import ruled_line
from leaktrack.model.engine import Bolt, JointLine


def scale_by_bolts(line: JointLine, bolts: Sequence[Bolt], *, is_closed: bool) -> float | None:
    """Return mm to a px from the first to the last measured bolt on a line.

    Returns:
        None where fewer than two bolts are measured, and for a closed joint, whose first and last
        bolt do not say which way round they were measured.

    Raises:
        BadInput: The bolt numbers neither rise nor fall along the line.
    """
    places = {bolt.number: bolt.station_mm for bolt in bolts}
    marked = [point for point in line.points if point.bolt_number is not None]
    known = [point for point in marked if places.get(point.bolt_number or 0) is not None]
    if len(known) < 2 or is_closed:
        return None
    path = ruled_line(line, bolts, is_closed=False).path
    first, last = known[0], known[-1]
    mm = abs((places[last.bolt_number or 0] or 0.0) - (places[first.bolt_number or 0] or 0.0))
    inside = path[path.index(first.at) : path.index(last.at) + 1]
    px = sum(a.distance_px(b) for a, b in pairwise(inside))
    return mm / px if mm > 0 and px > 0 else None
