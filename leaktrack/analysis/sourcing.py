"""Where does a wet area begin? Oil runs down, and sideways where air drives it."""

from collections.abc import Mapping, Sequence
from math import atan2, cos, degrees, hypot, radians, sin

from leaktrack.model.engine import FaceSide
from leaktrack.model.inspection import Airflow
from leaktrack.model.shapes import Outline, PointPx, segments
from leaktrack.model.source import DownFrom, FoundSource, SourcePoint, Trail

# Faces whose photos look along gravity: up and down mean nothing in them.
_LYING_FACES = frozenset({FaceSide.TOP, FaceSide.UNDERSIDE})
# How well an arrow that a person drew says which way is down, and one that was carried over by the
# bolts of another photo; one standard deviation. Own judgement.
ARROW_DEG = 5.0
CARRIED_ARROW_DEG = 8.0
# How strongly air drives oil against gravity, where an arrow says its direction. Own judgement.
AIR_SHARE = 0.7
# How deep below its highest point a wet area still counts as its top. Own judgement.
TOP_MM = 4.0
# Nearer to the photo's edge than this share of its longer side is at the edge. Own judgement.
EDGE_SHARE = 0.01


def trail(
    places: Mapping[str, float],
    side: FaceSide,
    airflow: Airflow | None = None,
    down_deg: float | None = None,
    carried_down_deg: float | None = None,
    air_deg: float | None = None,
) -> Trail:
    """Return which way oil runs in a photo.

    An arrow drawn in the photo counts first, then one of another photo of the zone that was carried
    over; else down is down in the upright photo, as the camera's own sense of up has turned it. A
    photo of the engine's top or underside looks along gravity: without an arrow nothing is known.
    Air over the engine turns the run: where an arrow says which way it blew, towards there;
    otherwise nobody knows where to, and the direction is less sure.

    Args:
        places: The weights' figures of places.
        side: The face that the photo shows.
        airflow: What the inspection says of air over the engine.
        down_deg: An arrow in the photo, from straight down towards the right edge.
        carried_down_deg: The same, carried over from another photo.
        air_deg: Which way the air blew in the photo, counted likewise.
    """
    if down_deg is not None:
        toward, sigma, said_by = down_deg, ARROW_DEG, DownFrom.ARROW
    elif carried_down_deg is not None:
        toward, sigma, said_by = carried_down_deg, CARRIED_ARROW_DEG, DownFrom.OTHER_PHOTO
    elif side in _LYING_FACES:
        return Trail(is_blown=_is_blown(airflow))
    else:
        toward, sigma, said_by = 0.0, places["upright_deg"], DownFrom.UPRIGHT
    if not _is_blown(airflow):
        return Trail(toward, sigma, said_by)
    if air_deg is None:
        return Trail(toward, hypot(sigma, places["air_deg"]), said_by, is_blown=True)
    x = sin(radians(toward)) + AIR_SHARE * sin(radians(air_deg))
    y = cos(radians(toward)) + AIR_SHARE * cos(radians(air_deg))
    sigma = hypot(sigma, places["air_known_deg"])
    return Trail(degrees(atan2(x, y)), sigma, said_by, is_blown=True)


def found_source(
    places: Mapping[str, float],
    outline: Outline,
    marked_at: PointPx | None,
    runs: Trail,
    size_px: tuple[int, int],
    mm_per_px: float | None,
) -> FoundSource | None:
    """Return where a wet area begins, with what of it is mere run-off.

    A source that a person placed counts most. As people also click where it is wettest, the top of
    the wet area keeps a small share. Without such a click the source is the middle of the top.

    Args:
        places: The weights' figures of places.
        outline: Edge of the wet area; may be empty.
        marked_at: Where a person placed the source.
        runs: Which way oil runs in this photo.
        size_px: Width and height of the upright photo.
        mm_per_px: Its scale, where known.

    Returns:
        None where there is neither outline nor click.
    """
    if marked_at is None and len(outline) < 3:
        return None
    scale = mm_per_px or places["photo_mm"] / max(size_px)
    top = _top(outline, runs, scale) if len(outline) > 2 else None
    points = _points(places, marked_at, top)
    below = _below(outline, points[0].at, runs, TOP_MM / scale) if runs.is_known else ()
    return FoundSource(
        points=points,
        trail=runs,
        mm_per_px=scale,
        is_scale_assumed=mm_per_px is None,
        width_px=size_px[0],
        height_px=size_px[1],
        is_marked=marked_at is not None,
        comes_from_edge=_comes_from_edge(outline, runs, size_px, scale),
        run_off_px=below,
        run_off_mm=_run_mm(below, points[0].at, runs, scale) if outline else None,
    )


def _is_blown(airflow: Airflow | None) -> bool:
    return airflow in (Airflow.FAN, Airflow.DRIVEN)


def _points(
    places: Mapping[str, float], marked_at: PointPx | None, top: SourcePoint | None
) -> tuple[SourcePoint, ...]:
    if marked_at is None:
        assert top is not None
        return (top,)
    share = places["wet_top_share"]
    if top is None or share <= 0:
        return (SourcePoint(marked_at, places["click_mm"]),)
    return (
        SourcePoint(marked_at, places["click_mm"], 1 - share),
        SourcePoint(top.at, top.sigma_mm, share),
    )


def _top(outline: Outline, runs: Trail, mm_per_px: float) -> SourcePoint:
    """Return the middle of an area's top; of all of it where nobody knows where up is."""
    if not runs.is_known:
        middle = PointPx(
            sum(point.x for point in outline) / len(outline),
            sum(point.y for point in outline) / len(outline),
        )
        far = max(point.distance_px(middle) for point in outline)
        return SourcePoint(middle, max(2.0, far * mm_per_px / 2))
    turned = [_turned(point, runs) for point in outline]
    highest = min(down for _, down in turned)
    cap = _clipped(turned, highest + TOP_MM / mm_per_px, keep_below=False)
    left, right = min(across for across, _ in cap), max(across for across, _ in cap)
    middle_across = (left + right) / 2
    # Uniform over the width of the top: its standard deviation is the width by the root of twelve.
    sigma = hypot(TOP_MM / 2, (right - left) * mm_per_px / 12**0.5)
    return SourcePoint(_turned_back(middle_across, highest, runs), sigma)


def _comes_from_edge(
    outline: Outline, runs: Trail, size_px: tuple[int, int], mm_per_px: float
) -> bool | None:
    """Return whether the top of a wet area lies on the photo's edge, towards which up points."""
    if len(outline) < 3 or not runs.is_known:
        return None
    reach = EDGE_SHARE * max(size_px)
    highest = min(_turned(point, runs)[1] for point in outline)
    depth = TOP_MM / mm_per_px + reach
    return any(
        _is_at_upper_edge(point, runs, size_px, reach)
        for point in outline
        if _turned(point, runs)[1] <= highest + depth
    )


def _is_at_upper_edge(point: PointPx, runs: Trail, size_px: tuple[int, int], reach: float) -> bool:
    """Return whether a point lies at an edge of the photo beyond which it goes up."""
    x, y = sin(radians(runs.toward_deg)), cos(radians(runs.toward_deg))
    steep = 0.5  # an edge that oil would have to cross at less than 30 degrees is not above
    return (
        (y > steep and point.y <= reach)
        or (y < -steep and point.y >= size_px[1] - 1 - reach)
        or (x > steep and point.x <= reach)
        or (x < -steep and point.x >= size_px[0] - 1 - reach)
    )


def _below(outline: Outline, source: PointPx, runs: Trail, gap_px: float) -> Outline:
    """Return the part of a wet area that lies more than a gap below its source."""
    if len(outline) < 3:
        return ()
    turned = [_turned(point, runs) for point in outline]
    kept = _clipped(turned, _turned(source, runs)[1] + gap_px, keep_below=True)
    return tuple(_turned_back(across, down, runs) for across, down in kept)


def _run_mm(below: Outline, source: PointPx, runs: Trail, mm_per_px: float) -> float:
    start = _turned(source, runs)[1]
    return max((_turned(point, runs)[1] - start for point in below), default=0.0) * mm_per_px


def _turned(point: PointPx, runs: Trail) -> tuple[float, float]:
    """Return how far a point lies across the run, and how far down along it."""
    x, y = sin(radians(runs.toward_deg)), cos(radians(runs.toward_deg))
    return point.x * y - point.y * x, point.x * x + point.y * y


def _turned_back(across: float, down: float, runs: Trail) -> PointPx:
    x, y = sin(radians(runs.toward_deg)), cos(radians(runs.toward_deg))
    return PointPx(across * y + down * x, -across * x + down * y)


def _clipped(
    turned: Sequence[tuple[float, float]], level: float, *, keep_below: bool
) -> list[tuple[float, float]]:
    """Return the part of a closed shape on one side of a level line.

    Source:
        One step of Sutherland and Hodgman, Communications of the ACM 17, 1974; from memory.
    """
    sign = 1.0 if keep_below else -1.0
    corners = [PointPx(across, down) for across, down in turned]
    kept: list[tuple[float, float]] = []
    for start, end in segments(corners, is_closed=True):
        a, b = sign * (start.y - level), sign * (end.y - level)
        if a >= 0:
            kept.append((start.x, start.y))
        if a * b < 0:
            share = a / (a - b)
            kept.append((start.x + share * (end.x - start.x), level))
    return kept


def is_above(place: PointPx, other: PointPx, runs: Trail) -> bool:
    """Return whether oil would run from one place towards another; yes where nobody knows."""
    return not runs.is_known or _turned(place, runs)[1] <= _turned(other, runs)[1]


def below(place: PointPx, runs: Trail, off_px: float) -> PointPx:
    """Return the place so far down from one; the same where nobody knows which way is down."""
    if not runs.is_known:
        return place
    turn = radians(runs.toward_deg)
    return PointPx(place.x + off_px * sin(turn), place.y + off_px * cos(turn))


def carried_down(
    down_deg: float, there: Sequence[PointPx], here: Sequence[PointPx]
) -> float | None:
    """Return which way is down in a photo, by an arrow in another photo and points of both.

    Args:
        down_deg: The arrow in the other photo.
        there: Points in the other photo, such as bolts.
        here: The same points in this photo.

    Returns:
        From straight down towards the right edge; None where fewer than two points tell.

    Source:
        The rotation with the least squares of two sets of points: the angle of the sums of their
        cross and dot products about their middles; from memory.
    """
    if len(there) < 2 or len(there) != len(here):
        return None
    a, b = _about_middle(there), _about_middle(here)
    cross = sum(p[0] * q[1] - p[1] * q[0] for p, q in zip(a, b, strict=True))
    dot = sum(p[0] * q[0] + p[1] * q[1] for p, q in zip(a, b, strict=True))
    if cross == dot == 0:
        return None
    # The turn from x towards y, which runs down; an arrow's angle runs from down towards x.
    return (down_deg - degrees(atan2(cross, dot)) + 180) % 360 - 180


def _about_middle(points: Sequence[PointPx]) -> list[tuple[float, float]]:
    x = sum(point.x for point in points) / len(points)
    y = sum(point.y for point in points) / len(points)
    return [(point.x - x, point.y - y) for point in points]
