"""In which order, and by whom, so that the engine is ready soonest?

Each person does one thing at a time; cures run by themselves. First orders are built by a simple
rule, then all orders that could be better are tried, as long as there is time; what cannot be
better by a lower bound is left out.
"""

from bisect import insort
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from time import monotonic

from leaktrack.analysis.redoing.networking import Network
from leaktrack.model.redo_problem import Schedule, Slot

MOST_SECONDS = 1.0
"""For looking for a better order; own judgement."""

_SAME_H = 1e-9  # hours nearer than this are the same moment
_MOST_PIECES = 400  # of larger networks only the first orders are built


def ordered(network: Network, workers: int, seconds: float = MOST_SECONDS) -> Schedule:
    """Return a schedule that is ready soonest, or as soon as was found in the time.

    Args:
        network: The pieces of work.
        workers: How many people there are.
        seconds: How long to look for it.

    Source:
        B. Giffler, G. L. Thompson, "Algorithms for solving production-scheduling problems",
        Operations Research 8(4), 1960 (schedules in which nothing could start sooner); J. Carlier,
        "The one-machine sequencing problem", European Journal of Operational Research 11, 1982
        (the bound for one person); both from memory.
    """
    search = _Search(network, workers, monotonic() + seconds)
    least = search.least
    for rule in (network.tails, search.followers(), [-head for head in network.heads]):
        search.take(search.listed(rule))
        if search.best.ready <= least + _SAME_H:
            break
    is_all_tried = search.best.ready <= least + _SAME_H
    if not is_all_tried and len(network.pieces) <= _MOST_PIECES:
        is_all_tried = search.go_deeper()
    ready = search.best.ready
    return Schedule(
        slots=tuple(search.slots()),
        ready_h=ready,
        least_h=ready if is_all_tried else min(least, ready),
    )


@dataclass(slots=True)
class _State:
    """A schedule that is being built.

    Attributes:
        starts: When each piece starts; None where it is not placed.
        hands: Who does it.
        free: When each person is free.
        waiting: How many pieces each one still waits for.
        earliest: When all it waits for is over, as far as placed.
    """

    starts: list[float | None]
    hands: list[int | None]
    free: list[float]
    waiting: list[int]
    earliest: list[float]
    open: list[int] = field(default_factory=list)
    ready: float = 0.0

    def copy(self) -> "_State":
        return _State(
            self.starts.copy(), self.hands.copy(), self.free.copy(), self.waiting.copy(),
            self.earliest.copy(), self.open.copy(), self.ready,
        )  # fmt: skip


class _Search:
    """Looks for the order that is ready soonest.

    Attributes:
        best: The best schedule so far.
        least: Nobody could be ready before.
    """

    def __init__(self, network: Network, workers: int, until: float) -> None:
        self._net = network
        self._until = until
        self._workers = max(1, min(workers, sum(one.needs_hands for one in network.pieces)))
        self._next: list[list[int]] = [[] for _ in network.pieces]
        for place, piece in enumerate(network.pieces):
            for before in piece.after:
                self._next[before].append(place)
        self.best = _State([], [], [], [], [], ready=float("inf"))
        self.least = self._bound(self._begun())

    def followers(self) -> list[float]:
        """Return how many hours of hands wait for each piece, directly or not."""
        found: list[frozenset[int]] = [frozenset()] * len(self._next)
        for place in range(len(self._next) - 1, -1, -1):
            found[place] = frozenset(self._next[place]).union(
                *(found[after] for after in self._next[place])
            )
        return [sum(self._hands_h(after) for after in each) for each in found]

    def take(self, state: _State) -> None:
        """Keep a finished schedule if it is ready sooner."""
        if state.ready < self.best.ready - _SAME_H:
            self.best = state

    def listed(self, rule: Sequence[float]) -> _State:
        """Return the schedule that always begins next what the rule puts first of what can be."""
        state = self._begun()
        while state.open:
            soonest = min(self._start(state, place) for place in state.open)
            can_be = [
                place for place in state.open if self._start(state, place) <= soonest + _SAME_H
            ]
            self._place(state, max(can_be, key=lambda place: (rule[place], -place)))
        return state

    def go_deeper(self) -> bool:
        """Try all orders that could be better; return whether there was time for all of them."""
        stack = [self._begun()]
        while stack:
            if monotonic() > self._until:
                return False
            state = stack.pop()
            if not state.open:
                self.take(state)
                if self.best.ready <= self.least + _SAME_H:
                    return True
                continue
            branches: list[tuple[float, float, int, _State]] = []
            for place in self._worth_beginning(state):
                branch = state.copy()
                self._place(branch, place)
                bound = self._bound(branch)
                if bound < self.best.ready - _SAME_H:
                    insort(branches, (-bound, self._net.tails[place], place, branch))
            stack += [branch for *_, branch in branches]
        return True

    def slots(self) -> Iterator[Slot]:
        """Return the best schedule's slots by their start."""
        placed = [
            (start, place) for place, start in enumerate(self.best.starts) if start is not None
        ]
        for start, place in sorted(placed):
            piece = self._net.pieces[place]
            hands = self.best.hands[place]
            worker = None if hands is None else hands + 1
            yield Slot(piece.id, piece.kind, worker, start, start + piece.hours)

    def _begun(self) -> _State:
        count = len(self._net.pieces)
        state = _State(
            [None] * count, [None] * count, [0.0] * self._workers,
            [len(piece.after) for piece in self._net.pieces], [0.0] * count,
        )  # fmt: skip
        for place in range(count):
            if state.waiting[place] == 0:
                self._open(state, place)
        return state

    def _open(self, state: _State, place: int) -> None:
        """Let a piece be begun; what needs no hands begins by itself."""
        if self._net.pieces[place].needs_hands:
            state.open.append(place)
        else:
            self._finish(state, place, state.earliest[place])

    def _start(self, state: _State, place: int) -> float:
        return max(state.earliest[place], min(state.free))

    def _place(self, state: _State, place: int) -> None:
        """Begin a piece as soon as can be, by whoever has been free the shortest by then."""
        start = self._start(state, place)
        fit = [who for who, free in enumerate(state.free) if free <= start + _SAME_H]
        who = max(fit, key=lambda one: (state.free[one], -one))
        state.open.remove(place)
        state.hands[place] = who
        state.free[who] = start + self._net.pieces[place].hours
        self._finish(state, place, start)

    def _finish(self, state: _State, place: int, start: float) -> None:
        end = start + self._net.pieces[place].hours
        state.starts[place] = start
        state.ready = max(state.ready, end)
        for after in self._next[place]:
            state.waiting[after] -= 1
            state.earliest[after] = max(state.earliest[after], end)
            if state.waiting[after] == 0:
                self._open(state, after)

    def _worth_beginning(self, state: _State) -> list[int]:
        """Return the pieces one of which must come next where nothing could start sooner."""
        starts = {place: self._start(state, place) for place in state.open}
        soonest_end = min(start + self._net.pieces[place].hours for place, start in starts.items())
        return [
            place
            for place, start in starts.items()
            if start < soonest_end - _SAME_H
            or start + self._net.pieces[place].hours <= soonest_end + _SAME_H
        ]

    def _bound(self, state: _State) -> float:
        """Return when all can be ready at the soonest, given what is placed."""
        soonest = min(state.free)
        heads = list(state.earliest)
        left: list[tuple[float, float, float]] = []
        bound = state.ready
        for place, piece in enumerate(self._net.pieces):
            if state.starts[place] is not None:
                continue
            head = max([heads[place], *(self._end(state, heads, one) for one in piece.after)])
            heads[place] = head = max(head, soonest) if piece.needs_hands else head
            bound = max(bound, head + self._net.tails[place])
            if piece.needs_hands:
                left.append((head, piece.hours, self._net.tails[place] - piece.hours))
        if self._workers == 1:
            return max(bound, _alone(left, state.free[0]))
        return max(bound, _shared(left, state.free))

    def _end(self, state: _State, heads: Sequence[float], place: int) -> float:
        start = state.starts[place]
        return (heads[place] if start is None else start) + self._net.pieces[place].hours

    def _hands_h(self, place: int) -> float:
        piece = self._net.pieces[place]
        return piece.hours if piece.needs_hands else 0.0


def _alone(left: Sequence[tuple[float, float, float]], free: float) -> float:
    """Return when one person is ready who may interrupt work: always what has most behind it."""
    coming = sorted(left, reverse=True)  # heads, the soonest last
    waiting: list[tuple[float, float]] = []  # what comes behind, hours left
    now, ready = free, 0.0
    while coming or waiting:
        if not waiting:
            now = max(now, coming[-1][0])
        while coming and coming[-1][0] <= now + _SAME_H:
            _, hours, tail = coming.pop()
            insort(waiting, (tail, hours))
        tail, hours = waiting.pop()
        until = min(now + hours, coming[-1][0]) if coming else now + hours
        if until < now + hours - _SAME_H:
            insort(waiting, (tail, now + hours - until))
        else:
            ready = max(ready, until + tail)
        now = until
    return ready


def _shared(left: Sequence[tuple[float, float, float]], free: Sequence[float]) -> float:
    """Return when several people are ready at the soonest, by the work there is for them all."""
    if not left:
        return 0.0
    people = len(free)
    bound = 0.0
    for least_tail in {tail for _, _, tail in left}:
        behind = [one for one in left if one[2] >= least_tail]
        begin = sum(sorted(max(at, min(head for head, _, _ in behind)) for at in free))
        bound = max(bound, (begin + sum(hours for _, hours, _ in behind)) / people + least_tail)
    return bound
