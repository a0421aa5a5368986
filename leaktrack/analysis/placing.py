"""Tell a line's stations from places on it that are no bolts, such as those of a close photo."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from leaktrack.analysis.leaning import STRAIGHT, laid_flat
from leaktrack.analysis.ruling import Ruler
from leaktrack.analysis.stationing import RuledLine
from leaktrack.model.shapes import PointPx


def ruled_by_places(
    path: tuple[PointPx, ...], ruler: Ruler, places: Sequence[tuple[PointPx, float]]
) -> tuple[RuledLine, tuple[int, ...]] | None:
    """Return a line that stations are told along, and which of the places tell them.

    A place that comes out of order along the line is left out.

    Args:
        path: At least two corners of a stretch that is no whole loop.
        ruler: Of the joint.
        places: In the photo, near the path, with their ruler's values; rising or falling along it.

    Returns:
        None where fewer than two places follow one another along the path.
    """
    flat = laid_flat(path, STRAIGHT, is_closed=False)
    line = RuledLine(path, False, (), (), ruler, flat.seen_px[-1], flat)
    along, _ = line.feet(np.array([(at.x, at.y) for at, _ in places]).reshape(-1, 2))
    order = np.argsort(along, kind="stable").tolist()
    falls = len(places) > 1 and places[order[-1]][1] < places[order[0]][1]
    kept: list[int] = []
    for place in order:
        is_first = not kept
        if is_first or (
            along[place] > along[kept[-1]] and (places[place][1] < places[kept[-1]][1]) is falls
        ):
            kept.append(place)
    if len(kept) < 2:
        return None
    knots_px = tuple(float(along[place]) for place in kept)
    knots_s = tuple(places[place][1] for place in kept)
    return replace(line, knots_px=knots_px, knots_s=knots_s), tuple(kept)
