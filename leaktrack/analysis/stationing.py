"""Where along a joint is a place in a photo? Bolt coordinates from a drawn joint line, and back.

Between two bolts that the line shows, the station grows with the length of the joint itself, so a
flange that leans away from the camera is laid flat first where its bolts tell how it leans.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import floor

import numpy as np
from numpy.typing import NDArray

from leaktrack.analysis.flattening import FlatPath
from leaktrack.analysis.leaning import STRAIGHT, Lean, laid_flat, lean_of, lean_of_plane
from leaktrack.analysis.ruling import Ruler, ruler_of, unwrapped_numbers
from leaktrack.model.engine import Bolt, JointLine
from leaktrack.model.shapes import PointPx, length_px, nearest_on_path, segments

# A line of a closed joint is a whole loop if its ends all but meet. Where every bolt is on it, the
# last side may have been left to be closed: a triangle's is half of the drawn length, a half circle
# misses 0.64 of it. Own judgement.
LOOP_GAP_SHARE = 0.1
LOOP_GAP_SHARE_ALL_BOLTS = 0.55


@dataclass(frozen=True, slots=True)
class StationFix:
    """The place on a joint that is nearest to a point of a photo.

    Attributes:
        station: Bolt coordinate; None where the line shows too few bolts to tell.
        at_px: The place on the line.
        distance_px: From the point to the line.
    """

    station: float | None
    at_px: PointPx
    distance_px: float


@dataclass(frozen=True, slots=True)
class RuledLine:
    """A joint's line in one photo, with the stations of its places.

    Attributes:
        path: Corners of the line, in the photo.
        is_loop: Whether the last corner joins the first.
        knots_px: Lengths along the path at which the place along the joint is known; rising.
        knots_s: The ruler's value there; rising or falling. Before the first knot and after the
            last one, the nearest piece's scale goes on: an extrapolation.
        ruler: Turns its values into stations.
        total_px: Length of the path, with the closing side of a loop.
        flat: Its lengths on the flange.
        lean: How the flange lies to the camera, as far as its bolts tell.
    """

    path: tuple[PointPx, ...]
    is_loop: bool
    knots_px: tuple[float, ...]
    knots_s: tuple[float, ...]
    ruler: Ruler
    total_px: float
    flat: FlatPath
    lean: Lean = STRAIGHT

    @property
    def is_ruled(self) -> bool:
        """Whether stations can be told at all: two known places are needed."""
        return len(self.knots_px) > 1

    @property
    def spacing_px(self) -> float | None:
        """Path length per bolt spacing, on average; None without bolts or with too few."""
        if not self.is_ruled or not self.ruler.counts_bolts:
            return None
        first, last = self.ruler.station(self.knots_s[0]), self.ruler.station(self.knots_s[-1])
        return (self.knots_px[-1] - self.knots_px[0]) / abs(last - first)

    def station_at(self, point: PointPx) -> StationFix:
        """Return the place on the line nearest to a point, and its station."""
        foot = nearest_on_path(self.path, point, is_closed=self.is_loop)
        station = self.ruler.wrapped(self.station_along(foot.along_px)) if self.is_ruled else None
        return StationFix(station, foot.at, foot.distance_px)

    def station_along(self, along_px: float) -> float:
        """Return the station after some length of path, not wrapped; needs ``is_ruled``."""
        turns = floor(along_px / self.total_px) if self.is_loop else 0
        inside = self.flat.flat_at(along_px - turns * self.total_px)
        value = self._between_knots(inside, self._knots_flat, self.knots_s)
        sign = 1 if self.knots_s[-1] > self.knots_s[0] else -1
        return self.ruler.station(value) + sign * turns * self.ruler.turn

    def stations_along(self, along_px: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return ``station_along`` for many lengths within the line, wrapped, of shape (n,)."""
        flats = self.flat.flats_at(along_px)
        knots = self._knots_flat
        values = np.interp(flats, knots, self.knots_s)
        for out in np.flatnonzero((flats < knots[0]) | (flats > knots[-1])):
            values[out] = self._between_knots(float(flats[out]), knots, self.knots_s)
        return np.array([self.ruler.wrapped(self.ruler.station(float(each))) for each in values])

    def point_at(self, station: float) -> PointPx | None:
        """Return the place of a station on the line; None where this photo does not show it."""
        if not self.is_ruled:
            return None
        for turn in self.ruler.turns(station):
            along = self._along(self.ruler.value(turn))
            if -1e-6 <= along <= self.total_px + 1e-6:
                return _point_along(self.path, along, is_closed=self.is_loop)
        return None

    def stretches(self) -> tuple[tuple[float, float], ...]:
        """Return the stretches of the joint that the line shows, each from low to high station.

        A stretch of a closed joint that runs over the first bolt comes as two.
        """
        if not self.is_ruled:
            return ()
        low, high = sorted((self.station_along(0.0), self.station_along(self.total_px)))
        return self.ruler.split(low, high)

    def feet(self, xy: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Return for many points how far along the path, and how far from it, they lie.

        Args:
            xy: Points, of shape (n, 2), in px.

        Returns:
            Two arrays of shape (n,), in px.
        """
        sides = np.array(
            [(a.x, a.y, b.x, b.y) for a, b in segments(self.path, is_closed=self.is_loop)]
        )
        starts, spans = sides[:, :2], sides[:, 2:] - sides[:, :2]
        lengths = np.hypot(spans[:, 0], spans[:, 1])
        begins = np.concatenate([[0.0], np.cumsum(lengths)[:-1]])
        squared = np.where(lengths > 0, lengths**2, 1.0)
        points = xy[:, None, :]
        fractions = np.clip(((points - starts) * spans).sum(axis=2) / squared, 0.0, 1.0)
        away = points - (starts + fractions[..., None] * spans)
        distances = np.hypot(away[..., 0], away[..., 1])
        nearest = distances.argmin(axis=1)
        row = np.arange(len(xy))
        along = begins[nearest] + fractions[row, nearest] * lengths[nearest]
        return along, distances[row, nearest]

    @property
    def _knots_flat(self) -> list[float]:
        return [self.flat.flat_at(knot) for knot in self.knots_px]

    def _along(self, value: float) -> float:
        sign = 1 if self.knots_s[0] < self.knots_s[-1] else -1
        rising = [sign * each for each in self.knots_s]
        return self.flat.seen_at(self._between_knots(sign * value, rising, self._knots_flat))

    def _between_knots(self, value: float, xs: Sequence[float], ys: Sequence[float]) -> float:
        """Return y at x by straight pieces between the knots; xs must rise.

        Beyond the ends the scale of all pieces goes on where lengths are those of the flange, since
        it is the same everywhere and best known from all; else that of the end piece.
        """
        index = min(max(int(np.searchsorted(xs, value)), 1), len(xs) - 1)
        first, last = index - 1, index
        if self.lean is not STRAIGHT and not xs[0] <= value <= xs[-1]:
            near = 0 if value < xs[0] else -1
            scale = (ys[-1] - ys[0]) / (xs[-1] - xs[0])
            return float(ys[near] + (value - xs[near]) * scale)
        share = (value - xs[first]) / (xs[last] - xs[first])
        return float(ys[first] + share * (ys[last] - ys[first]))


def ruled_line(
    line: JointLine,
    bolts: Sequence[Bolt],
    *,
    is_closed: bool,
    length_mm: float | None = None,
    plane: Sequence[float] | None = None,
) -> RuledLine:
    """Return a joint's line with the stations of its places.

    Between two bolts, the station grows with the length of path: 4.6 lies 60 % of the way from bolt
    4 to bolt 5. Where a bolt between them is not on the line, measured places of the bolts help;
    otherwise the bolts count as evenly spaced. Three and more measured bolts also tell how the
    flange leans, and lengths are told on the flange; else the plane of a target does, where the
    photo has one; otherwise they are those of the photo.

    The numbers may rise or fall along the line (mirrored photos). On a closed joint they may run
    over the last bolt to the first, and the station wraps from last + 1 to 1; where the numbers
    could be read both ways, as with two bolts, they rise.

    A joint without bolts has stations from 0 to 1: the fraction of the drawn line.

    Args:
        line: At least two points.
        bolts: All bolts of the joint, whether on the line or not.
        is_closed: Whether the joint runs back into its start.
        length_mm: Of the joint; lets measured bolts of a closed joint count.
        plane: As of ``Photo``.

    Raises:
        BadInput: The bolt numbers neither rise nor fall along the line.
    """
    path = line.path
    is_loop = is_closed and _is_whole_loop(line, len(bolts))
    total = length_px(path, is_closed=is_loop)
    ruler = ruler_of(bolts, is_closed=is_closed, length_mm=length_mm)
    if not bolts:
        flat = laid_flat(path, STRAIGHT, is_closed=is_loop)
        return RuledLine(path, is_loop, (0.0, total), (0.0, 1.0), ruler, total, flat)
    along = _lengths_along(path)
    places = [
        (along[index], point.bolt_number)
        for index, point in enumerate(line.points)
        if point.bolt_number is not None
    ]
    around = len(bolts) if is_closed else None
    numbers = unwrapped_numbers([number for _, number in places], around)
    knots: list[tuple[float, float]] = []
    for (place, _), number in zip(places, numbers, strict=True):
        if not knots or place > knots[-1][0]:  # two clicks on one pixel tell no scale
            knots.append((place, ruler.value(number)))
    if is_loop and knots:
        knots = _with_next_turn(knots, numbers, total, ruler)
    knots_px, knots_s = tuple(knot[0] for knot in knots), tuple(knot[1] for knot in knots)
    # The knots of the turns before and after say nothing new of the lean.
    own = slice(1, None) if is_loop else slice(None)
    lean = STRAIGHT
    if ruler.is_measured:
        lean = lean_of(path, is_closed=is_loop, bolts_px=knots_px[own], bolts_mm=knots_s[own])
    if lean is STRAIGHT and plane is not None:
        lean = lean_of_plane(path, plane)
    flat = laid_flat(path, lean, is_closed=is_loop)
    return RuledLine(path, is_loop, knots_px, knots_s, ruler, total, flat, lean)


def station_at(
    line: JointLine,
    bolts: Sequence[Bolt],
    is_closed: bool,
    point: PointPx,
    *,
    length_mm: float | None = None,
) -> StationFix:
    """Return the place on a joint's line nearest to a point; see ``ruled_line`` for the rules."""
    return ruled_line(line, bolts, is_closed=is_closed, length_mm=length_mm).station_at(point)


def point_at(
    line: JointLine,
    bolts: Sequence[Bolt],
    is_closed: bool,
    station: float,
    *,
    length_mm: float | None = None,
) -> PointPx | None:
    """Return the place of a station on a joint's line; None where the line does not show it."""
    return ruled_line(line, bolts, is_closed=is_closed, length_mm=length_mm).point_at(station)


def _is_whole_loop(line: JointLine, bolt_count: int) -> bool:
    path = line.path
    shown = {point.bolt_number for point in line.points} - {None}
    has_all = bolt_count > 0 and len(shown) == bolt_count
    share = LOOP_GAP_SHARE_ALL_BOLTS if has_all else LOOP_GAP_SHARE
    return len(path) > 2 and path[-1].distance_px(path[0]) <= share * length_px(path)


def _with_next_turn(
    knots: list[tuple[float, float]], numbers: list[int], total_px: float, ruler: Ruler
) -> list[tuple[float, float]]:
    """Return the knots of a loop, with the neighbouring turns of its end bolts on either side."""
    step = ruler.count if numbers[-1] >= numbers[0] else -ruler.count
    before = (knots[-1][0] - total_px, ruler.value(numbers[-1] - step))
    after = (knots[0][0] + total_px, ruler.value(numbers[0] + step))
    return [before, *knots, after]


def _lengths_along(path: Sequence[PointPx]) -> list[float]:
    lengths = [0.0]
    for start, end in segments(path, is_closed=False):
        lengths.append(lengths[-1] + start.distance_px(end))
    return lengths


def _point_along(path: Sequence[PointPx], along_px: float, *, is_closed: bool) -> PointPx:
    left = max(0.0, along_px)
    for start, end in segments(path, is_closed=is_closed):
        side = start.distance_px(end)
        if 0 < left <= side:
            share = left / side
            return PointPx(start.x + share * (end.x - start.x), start.y + share * (end.y - start.y))
        left -= side
    return path[0] if is_closed or along_px <= 0 else path[-1]
