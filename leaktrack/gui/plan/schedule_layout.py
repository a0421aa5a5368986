"""Where the bars of a schedule lie: one lane for each person, further ones for cures."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import floor, log10

from leaktrack.model.redo_problem import Schedule, Slot

_SAME_H = 1e-9
_NICE = (1.0, 2.0, 5.0, 10.0)


@dataclass(frozen=True, slots=True)
class Lane:
    """One row of bars, in the order of time.

    Attributes:
        worker: Whose it is, counted from 1; None for cures, which need nobody.
    """

    worker: int | None
    slots: tuple[Slot, ...]


def lanes(schedule: Schedule, workers: int) -> tuple[Lane, ...]:
    """Return a lane for each person, also for who has nothing to do, then lanes for cures.

    Cures that run at the same time lie in lanes of their own. What takes no time has no bar.
    """
    timed = [slot for slot in schedule.slots if slot.end_h - slot.start_h > _SAME_H]
    timed.sort(key=lambda slot: (slot.start_h, slot.end_h))
    most = max([workers, *(slot.worker for slot in timed if slot.worker is not None)])
    people = [
        Lane(person, tuple(slot for slot in timed if slot.worker == person))
        for person in range(1, most + 1)
    ]
    cures = _packed([slot for slot in timed if slot.worker is None])
    return (*people, *(Lane(None, tuple(row)) for row in cures))


def _packed(slots: Sequence[Slot]) -> list[list[Slot]]:
    rows: list[list[Slot]] = []
    for slot in slots:
        free = next((row for row in rows if row[-1].end_h <= slot.start_h + _SAME_H), None)
        if free is None:
            rows.append([slot])
        else:
            free.append(slot)
    return rows


@dataclass(frozen=True, slots=True)
class TimeScale:
    """Hours along x.

    Attributes:
        left_px: Where hour 0 lies.
        px_per_h: How wide an hour is.
    """

    left_px: float
    px_per_h: float

    def x(self, hours: float) -> float:
        """Return where a time lies."""
        return self.left_px + hours * self.px_per_h

    def hours(self, x: float) -> float:
        """Return the time that lies at x."""
        return (x - self.left_px) / self.px_per_h


def tick_step(px_per_h: float, least_px: float) -> float:
    """Return how many hours apart the figures of an axis stand: 1, 2 or 5 times a power of ten.

    >>> tick_step(10, 60), tick_step(100, 60), tick_step(2, 60)
    (10.0, 1.0, 50.0)
    """
    least = least_px / px_per_h
    power = 10.0 ** floor(log10(least))
    return next(nice * power for nice in _NICE if nice * power >= least - _SAME_H)
