"""Leave out points of a drawn line that hardly change it."""

from collections.abc import Sequence

from leaktrack.model.shapes import PointPx, nearest_on_path


def simplified(path: Sequence[PointPx], tolerance_px: float) -> tuple[PointPx, ...]:
    """Return the path with fewer points, nowhere further off than the tolerance.

    Source:
        Douglas and Peucker, 1973, "Algorithms for the reduction of the number of points required
        to represent a digitized line or its caricature".

    >>> simplified([PointPx(0, 0), PointPx(5, 0.1), PointPx(10, 0), PointPx(10, 8)], 0.5)
    (PointPx(x=0, y=0), PointPx(x=10, y=0), PointPx(x=10, y=8))
    """
    if len(path) < 3:
        return tuple(path)
    kept = {0, len(path) - 1}
    open_spans = [(0, len(path) - 1)]
    while open_spans:
        first, last = open_spans.pop()
        if last - first < 2:
            continue
        chord = (path[first], path[last])
        offs = [
            nearest_on_path(chord, point, is_closed=False).distance_px
            for point in path[first + 1 : last]
        ]
        furthest = max(range(len(offs)), key=offs.__getitem__)
        if offs[furthest] > tolerance_px:
            middle = first + 1 + furthest
            kept.add(middle)
            open_spans += [(first, middle), (middle, last)]
    return tuple(path[index] for index in sorted(kept))
