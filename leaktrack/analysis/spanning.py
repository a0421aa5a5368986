"""Which stretch of a joint does a wet area reach?"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from leaktrack.analysis.stationing import RuledLine
from leaktrack.model.shapes import PointPx, nearest_on_path


def wet_span(
    line: RuledLine, outline: Sequence[PointPx], source: PointPx, *, within_px: float
) -> tuple[float, float]:
    """Return the lowest and highest station that a wet area's edge reaches near the joint.

    Args:
        line: Must be ruled.
        outline: Edge of the wet area; may be empty.
        source: Where it starts; the span always holds its station.
        within_px: How far from the line still counts as near.

    Returns:
        On a closed joint the span may run below the first bolt or above the last one; it is given
        without a jump, such as 0.8 to 1.3.
    """
    foot = nearest_on_path(line.path, source, is_closed=line.is_loop)
    reached = np.array([foot.along_px])
    if len(outline) > 2:
        along, distance = line.feet(_edge(outline, within_px / 2))
        reached = np.append(reached, along[distance <= within_px])
    if line.is_loop:  # the shorter way round from the source
        half = line.total_px / 2
        reached = foot.along_px + (reached - foot.along_px + half) % line.total_px - half
    ends = (line.station_along(float(reached.min())), line.station_along(float(reached.max())))
    station = line.station_along(foot.along_px)
    shift = line.ruler.wrapped(station) - station
    return min(ends) + shift, max(ends) + shift


def _edge(outline: Sequence[PointPx], step_px: float) -> NDArray[np.float64]:
    """Return points all along a closed outline, at most a step apart, of shape (n, 2)."""
    corners = np.array([(point.x, point.y) for point in outline])
    spans = np.roll(corners, -1, axis=0) - corners
    pieces = np.maximum(1, np.ceil(np.hypot(spans[:, 0], spans[:, 1]) / step_px)).astype(int)
    index = np.repeat(np.arange(len(corners)), pieces)
    place = np.arange(len(index)) - np.repeat(np.cumsum(pieces) - pieces, pieces)
    edge: NDArray[np.float64] = corners[index] + spans[index] * (place / pieces[index])[:, None]
    return edge
