"""Where the bars of a schedule lie: one lane for each person, further ones for cures."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import floor, log10

from leaktrack.model.work_sheet import CLOCK_H, DatedSlot

NIGHT_SHARE = 0.12
"""So much of the width of a working hour has an hour of the night. Own judgement."""

_SAME_H = 1e-9
_NICE = (1.0, 2.0, 5.0, 10.0)


@dataclass(frozen=True, slots=True)
class Lane:
    """One row of bars, in the order of time.

    Attributes:
        worker: Whose it is, counted from 1; None for cures, which need nobody.
    """

    worker: int | None
    slots: tuple[DatedSlot, ...]


def lanes(slots: Sequence[DatedSlot], workers: int) -> tuple[Lane, ...]:
    """Return a lane for each person, also for who has nothing to do, then lanes for cures.

    Cures that run at the same time lie in lanes of their own. What takes no time has no bar.
    """
    timed = [one for one in slots if one.end_h - one.begin_h > _SAME_H]
    timed.sort(key=lambda one: (one.begin_h, one.end_h))
    most = max([workers, *(one.slot.worker for one in timed if one.slot.worker is not None)])
    people = [
        Lane(person, tuple(one for one in timed if one.slot.worker == person))
        for person in range(1, most + 1)
    ]
    cures = _packed([one for one in timed if one.slot.worker is None])
    return (*people, *(Lane(None, tuple(row)) for row in cures))


def _packed(slots: Sequence[DatedSlot]) -> list[list[DatedSlot]]:
    rows: list[list[DatedSlot]] = []
    for one in slots:
        free = next((row for row in rows if row[-1].end_h <= one.begin_h + _SAME_H), None)
        if free is None:
            rows.append([one])
        else:
            free.append(one)
    return rows


@dataclass(frozen=True, slots=True)
class Clock:
    """Hours from the first morning along a line on which nights are short.

    Attributes:
        day_hours: Hours of work from each morning on.
    """

    day_hours: float

    @property
    def day_length(self) -> float:
        """How much of the line a day with its night takes, in working hours."""
        return self.day_hours + (CLOCK_H - self.day_hours) * NIGHT_SHARE

    def place(self, hours: float) -> float:
        """Return where a time lies, in working hours from the beginning of the line.

        >>> Clock(8.0).place(5.0), round(Clock(8.0).place(26.0), 2)
        (5.0, 11.92)
        """
        day, rest = divmod(hours, CLOCK_H)
        work, night = min(rest, self.day_hours), max(rest - self.day_hours, 0.0)
        return day * self.day_length + work + night * NIGHT_SHARE

    def nights(self, until: float) -> Iterator[tuple[float, float]]:
        """Yield from when to when nights last that begin before a time."""
        begin = self.day_hours
        while begin < until - _SAME_H and self.day_hours < CLOCK_H:
            yield begin, min(begin - self.day_hours + CLOCK_H, until)
            begin += CLOCK_H

    def mornings(self, until: float) -> Iterator[float]:
        """Yield when days begin, before a time."""
        begin = 0.0
        while begin <= until:
            yield begin
            begin += CLOCK_H


@dataclass(frozen=True, slots=True)
class TimeScale:
    """The line of a clock along x.

    Attributes:
        left_px: Where the first morning lies.
        px_per_h: How wide a working hour is.
    """

    clock: Clock
    left_px: float
    px_per_h: float

    def x(self, hours: float) -> float:
        """Return where a time lies."""
        return self.left_px + self.clock.place(hours) * self.px_per_h


def tick_step(px_per_h: float, least_px: float) -> float:
    """Return how many hours apart the figures of an axis stand: 1, 2 or 5 times a power of ten.

    >>> tick_step(10, 60), tick_step(100, 60), tick_step(2, 60)
    (10.0, 1.0, 50.0)
    """
    least = least_px / px_per_h
    power = 10.0 ** floor(log10(least))
    return next(nice * power for nice in _NICE if nice * power >= least - _SAME_H)
