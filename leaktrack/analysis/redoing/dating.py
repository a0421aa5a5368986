"""On which day is each piece of work done? People go home in the evening, cures go on."""

from collections.abc import Iterator

from leaktrack.analysis.redoing.networking import Network
from leaktrack.model.redo_problem import Schedule
from leaktrack.model.work_sheet import CLOCK_H, DatedSlot

_SAME_H = 1e-9


def dated(network: Network, schedule: Schedule, day_hours: float) -> tuple[DatedSlot, ...]:
    """Return a schedule on the clock, in the order in which its pieces begin.

    Each person keeps the order of the schedule. Work that is not finished in the evening goes on in
    the morning; a cure that ends at night is over by then.

    Args:
        network: The pieces of work that were scheduled.
        schedule: Who does what in which order.
        day_hours: Hours that one person works in a day, above 0, at most 24.
    """
    place_of = {(piece.id, piece.kind): place for place, piece in enumerate(network.pieces)}
    ends: dict[int, float] = {}
    free: dict[int, float] = {}
    found = []
    for slot in sorted(schedule.slots, key=lambda one: (one.start_h, place_of[one.id, one.kind])):
        place = place_of[slot.id, slot.kind]
        piece = network.pieces[place]
        begin = max((ends[before] for before in piece.after), default=0.0)
        if slot.worker is None:
            spans: tuple[tuple[float, float], ...] = ((begin, begin + piece.hours),)
        else:
            begin = max(begin, free.get(slot.worker, 0.0))
            spans = tuple(_worked(begin, piece.hours, day_hours))
            free[slot.worker] = spans[-1][1]
        ends[place] = spans[-1][1]
        found.append(DatedSlot(slot, spans))
    return tuple(sorted(found, key=lambda one: one.begin_h))


def _worked(begin: float, hours: float, day_hours: float) -> Iterator[tuple[float, float]]:
    """Yield when some hours are worked, day by day."""
    while True:
        morning = begin // CLOCK_H * CLOCK_H
        evening = morning + day_hours
        is_over = begin > evening + _SAME_H
        if is_over or (hours > _SAME_H and begin >= evening - _SAME_H):
            begin = morning + CLOCK_H
            continue
        end = min(begin + hours, max(evening, begin))
        yield begin, end
        hours -= end - begin
        if hours <= _SAME_H:
            return
        begin = morning + CLOCK_H
