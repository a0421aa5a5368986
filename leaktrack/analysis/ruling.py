"""How bolt numbers, measured millimetres and turns around a closed joint go together."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import floor

from leaktrack.model.engine import Bolt
from leaktrack.model.errors import BadInput


@dataclass(frozen=True, slots=True)
class Ruler:
    """A scale along one joint. Its values are mm where all bolts are measured, else stations.

    Attributes:
        count: Bolts; 0 for a joint without.
        is_closed: Whether stations repeat after one turn.
        ticks: Value at bolt 1, 2, ...; on a closed joint also at the first bolt of the next turn.
    """

    count: int
    is_closed: bool
    ticks: tuple[float, ...]

    @property
    def counts_bolts(self) -> bool:
        """Whether stations are bolt coordinates rather than fractions."""
        return self.count > 0

    @property
    def is_measured(self) -> bool:
        """Whether its values are mm."""
        return len(self.ticks) > 1

    @property
    def first(self) -> float:
        """Lowest station of one turn."""
        return 1.0 if self.counts_bolts else 0.0

    @property
    def turn(self) -> float:
        """Stations in one turn of a closed joint."""
        return float(self.count) if self.counts_bolts else 1.0

    def value(self, station: float) -> float:
        """Return the value at a station; beyond the ends the end pieces go on, or the turns."""
        if len(self.ticks) < 2:
            return station
        turns = floor((station - self.first) / self.turn) if self.is_closed else 0
        inside = station - turns * self.turn
        index = min(max(floor(inside) - 1, 0), len(self.ticks) - 2)
        piece = self.ticks[index + 1] - self.ticks[index]
        return self.ticks[index] + (inside - 1 - index) * piece + turns * self._round

    def station(self, value: float) -> float:
        """Return the station at a value, not wrapped; the inverse of ``value``."""
        if len(self.ticks) < 2:
            return value
        turns = floor((value - self.ticks[0]) / self._round) if self.is_closed else 0
        inside = value - turns * self._round
        index = sum(tick <= inside for tick in self.ticks[1:-1])
        piece = self.ticks[index + 1] - self.ticks[index]
        return index + 1 + (inside - self.ticks[index]) / piece + turns * self.turn

    def has(self, station: float) -> bool:
        """Whether a joint has such a station; on an open one, stations go on beyond the ends."""
        return not self.is_closed or self.first <= station <= self.first + self.turn

    def wrapped(self, station: float) -> float:
        """Return a station within one turn: from the first bolt up to just below it again."""
        if not self.is_closed:
            return station
        inside = (station - self.first) % self.turn + self.first
        return self.first if inside >= self.first + self.turn - 1e-9 else inside

    def turns(self, station: float) -> tuple[float, ...]:
        """Return all the values that a line may use for a station."""
        if not self.is_closed:
            return (station,)
        return tuple(station + turn * self.turn for turn in (-1, 0, 1, 2))

    def split(self, low: float, high: float) -> tuple[tuple[float, float], ...]:
        """Return a stretch as pieces that each lie within one turn."""
        if not self.is_closed:
            return ((low, high),)
        end = self.first + self.turn
        if high - low >= self.turn - 1e-6:
            return ((self.first, end),)
        start = self.wrapped(low)
        stop = start + high - low
        if stop <= end:
            return ((start, stop),)
        return ((self.first, stop - self.turn), (start, end))

    @property
    def _round(self) -> float:
        return self.ticks[-1] - self.ticks[0]


def ruler_of(bolts: Sequence[Bolt], *, is_closed: bool, length_mm: float | None) -> Ruler:
    """Return a joint's ruler: by mm where every bolt is measured in rising order.

    A closed joint also needs its length, since the piece from the last bolt to the first has no
    figure otherwise.
    """
    places = [bolt.station_mm for bolt in sorted(bolts, key=lambda bolt: bolt.number)]
    ticks = [place for place in places if place is not None]
    if is_closed and ticks:
        ticks.append(ticks[0] + (length_mm or 0.0))
    is_measured = None not in places and all(a < b for a, b in pairwise(ticks))
    return Ruler(len(bolts), is_closed, tuple(ticks) if is_measured else ())


def unwrapped_numbers(numbers: Sequence[int], around: int | None) -> list[int]:
    """Return bolt numbers along a line as a run that only rises or only falls.

    Args:
        numbers: As drawn.
        around: Number of bolts of a closed joint; None for an open one.

    Raises:
        BadInput: They jump back and forth.

    >>> unwrapped_numbers([7, 8, 1, 2], around=8)
    [7, 8, 9, 10]
    >>> unwrapped_numbers([5, 4, 3], around=None)
    [5, 4, 3]
    """
    if around is None:
        steps = [b - a for a, b in pairwise(numbers)]
        if all(step > 0 for step in steps) or all(step < 0 for step in steps):
            return list(numbers)
        raise _jumping(numbers)
    rising = [(b - a) % around for a, b in pairwise(numbers)]
    falling = [(a - b) % around for a, b in pairwise(numbers)]
    steps = rising if sum(rising) <= sum(falling) else [-step for step in falling]
    if 0 in steps or abs(sum(steps)) >= max(around, 2):
        raise _jumping(numbers)
    run = list(numbers[:1])
    for step in steps:
        run.append(run[-1] + step)
    return run


def _jumping(numbers: Sequence[int]) -> BadInput:
    return BadInput(
        f"The bolts along this joint line are numbered {', '.join(map(str, numbers))}: they must "
        "only rise or only fall. Nothing was changed. Draw the line again, bolt by bolt."
    )
