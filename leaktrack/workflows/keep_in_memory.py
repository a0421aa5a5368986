"""Keep the last few results of slow work in memory, for whoever asks again."""

from collections import OrderedDict
from collections.abc import Callable, Hashable
from threading import Lock
from typing import Generic, TypeVar

T = TypeVar("T")

_LOOK_AGAIN_S = 0.05


class KeptInMemory(Generic[T]):
    """A few results by what they were made of; safe to use from several threads.

    Two that ask for the same at once get one result: the second waits for the first. Where the
    first is stopped or fails, the second does the work itself.

    Args:
        most: So many results are kept; the one longest unused goes first.
    """

    def __init__(self, most: int) -> None:
        self._most = most
        self._kept: OrderedDict[Hashable, T] = OrderedDict()
        self._under_way: dict[Hashable, Lock] = {}
        self._lock = Lock()

    def __len__(self) -> int:
        """Return how many results are kept."""
        return len(self._kept)

    def get(self, key: Hashable, make: Callable[[], T], waiting: Callable[[], object]) -> T:
        """Return the result for a key, made now if it is not kept.

        Args:
            key: All that the result depends on.
            make: Does the work; what it raises is passed on, and nothing is kept.
            waiting: Called every now and then while another thread does the work; may raise to
                stop waiting.
        """
        with self._lock:
            work = self._under_way.setdefault(key, Lock())
        while not work.acquire(timeout=_LOOK_AGAIN_S):
            waiting()
        try:
            with self._lock:
                if key in self._kept:
                    self._kept.move_to_end(key)
                    return self._kept[key]
            made = make()
            with self._lock:
                self._kept[key] = made
                while len(self._kept) > self._most:
                    self._kept.popitem(last=False)
            return made
        finally:
            with self._lock:
                if self._under_way.get(key) is work:
                    del self._under_way[key]
            work.release()
