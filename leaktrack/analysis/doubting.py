"""How well is a station known? By clicks, by the bolts, by the lean, by unknown spacings."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import hypot, sqrt

from leaktrack.analysis.leaning import STRAIGHT, laid_flat
from leaktrack.analysis.stationing import RuledLine

# One standard deviation of a point along a line, as a share of the photo's longest side: of a bolt
# that a person clicked beside; of one that was carried there and accepted, since nobody sees how
# far it slid along; of a leak's source, which has no sharp edge. The second was measured on
# rendered engines (2.5 px of 1000), the others are own judgement.
CLICKED = 0.0015
CARRIED = 0.0025
SOURCE = 0.003

# Spacings of bolts along one joint differ by so much of their mean; own judgement. It matters where
# a bolt is not on the line and its place was not measured.
SPACING_DOUBT = 0.08

# A joint bends a little between the corners that somebody clicked, and lobes run round its bolts:
# half way from bolt to bolt, stations are off by so much of one. Own measurement on rendered
# engines: 0.009 to 0.014.
_BENDS = 0.012

_TAPE_MM = 0.5  # places along a joint are measured with a tape; own judgement

# What lies off the line is looked up at its nearest place, but what is square to the joint on the
# engine need not be so in the photo: by so much of the distance. Own judgement.
SLANT = 0.15


@dataclass(frozen=True, slots=True)
class StationDoubt:
    """One standard deviation of a place along a joint.

    Attributes:
        stations: In bolt coordinates; in fractions of the line where the joint has no bolts.
        mm: The same in mm, where the bolts are measured or the photo has a scale.
    """

    stations: float
    mm: float | None


def station_doubt(
    line: RuledLine,
    along_px: float,
    *,
    place_px: float,
    knots_px: float | Sequence[float],
    are_alike: bool = False,
    off_line_px: float = 0.0,
    past_end_px: float = 0.0,
    mm_per_px: float | None = None,
) -> StationDoubt:
    """Return how well the station of a place is known; about 68 of 100 lie within it.

    Args:
        line: Must be ruled.
        along_px: The place, as a length along the line.
        place_px: One standard deviation of the place in the photo.
        knots_px: The same of the line's bolts: one for all, or one for each knot of the line.
        are_alike: Whether neighbouring knots are off by the same, as places carried close together
            are: then one does not make up for the other.
        off_line_px: How far from the line the place was marked.
        past_end_px: How far past the line's end it was marked.
        mm_per_px: The photo's scale.
    """
    here = line.station_along(along_px)
    per_px = abs(line.station_along(along_px + 1.0) - line.station_along(along_px - 1.0)) / 2
    first, last, share = _pair(line, along_px)
    known = knots_px if isinstance(knots_px, Sequence) else (knots_px,) * len(line.knots_px)
    ends = ((1 - share) * known[first], share * known[last])
    parts = [
        per_px * place_px,
        per_px * SLANT * off_line_px,
        per_px * past_end_px,
        per_px * (sum(ends) if are_alike else hypot(*ends)),
        _spacing(line, first, last, share),
        _bends(line, first, last, share),
        *(_moved(line, along_px, place) - here for place in range(len(line.lean.doubt))),
    ]
    stations = hypot(*parts)
    mm = _mm_per_station(line, here, per_px, mm_per_px)
    tape_mm = _TAPE_MM if line.ruler.is_measured else 0.0
    return StationDoubt(stations, None if mm is None else hypot(stations * mm, tape_mm))


def _pair(line: RuledLine, along_px: float) -> tuple[int, int, float]:
    """Return the two knots that a place is told by, and how far it is from one to the other."""
    knots = line.knots_px
    inside = along_px % line.total_px if line.is_loop else along_px
    last = next((i for i, knot in enumerate(knots) if knot >= inside), len(knots) - 1)
    last = max(last, 1)
    first = last - 1
    if line.lean is not STRAIGHT and not knots[0] <= inside <= knots[-1]:
        first, last = 0, len(knots) - 1
    return first, last, (inside - knots[first]) / (knots[last] - knots[first])


def _bends(line: RuledLine, first: int, last: int, share: float) -> float:
    """Return the doubt that a path brings which is straighter than its joint, in stations."""
    start, end = (line.station_along(line.knots_px[knot]) for knot in (first, last))
    # Lobes come again at each bolt: a longer piece is off by more, but not in step with its length.
    return _BENDS * sqrt(abs(end - start)) * 2 * sqrt(max(share * (1 - share), 0.0))


def _spacing(line: RuledLine, first: int, last: int, share: float) -> float:
    """Return the doubt that bolts of unknown place bring, in stations."""
    if line.ruler.is_measured or not line.ruler.counts_bolts:
        return 0.0
    bolts = abs(line.knots_s[last] - line.knots_s[first])
    if 0 <= share <= 1:  # as of a walk whose both ends are known, with steps that differ
        return SPACING_DOUBT * sqrt(bolts * share * (1 - share)) if bolts > 1 else 0.0
    beyond = bolts * (-share if share < 0 else share - 1)
    return SPACING_DOUBT * sqrt(beyond * (1 + beyond))


def _moved(line: RuledLine, along_px: float, place: int) -> float:
    """Return the station if the flange leaned otherwise by one standard deviation."""
    other = line.lean.others[place]
    flat = laid_flat(line.path, other, is_closed=line.is_loop)
    return replace(line, flat=flat, lean=line.lean).station_along(along_px)


def _mm_per_station(
    line: RuledLine, station: float, stations_per_px: float, mm_per_px: float | None
) -> float | None:
    if line.ruler.is_measured:
        return abs(line.ruler.value(station + 0.5) - line.ruler.value(station - 0.5))
    return mm_per_px / stations_per_px if mm_per_px and stations_per_px > 0 else None
