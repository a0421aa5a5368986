"""Share work that falls into equal parts among the processor's cores."""

import os
from collections.abc import Callable, Iterable
from concurrent.futures import ThreadPoolExecutor
from typing import TypeVar

Part = TypeVar("Part")
Result = TypeVar("Result")
Other = TypeVar("Other")


def go_on() -> None:
    """Never stop."""


def each_in_turn(
    work: Callable[[Part], Result], parts: Iterable[Part], pause: Callable[[], None]
) -> list[Result]:
    """Return what ``work`` makes of each part, in the order of the parts.

    OpenCV and NumPy let other threads run while they compute, so threads are enough.

    Args:
        work: Called from several threads at once.
        parts: What to work on.
        pause: Called in the caller's thread before each part is waited for; may raise to stop, and
            then no further part is begun.
    """
    done = []
    with ThreadPoolExecutor(os.cpu_count()) as threads:
        waiting = [threads.submit(work, part) for part in parts]
        try:
            for each in waiting:
                pause()
                done.append(each.result())
        except BaseException:
            threads.shutdown(wait=True, cancel_futures=True)
            raise
    return done


def at_once(aside: Callable[[], Result], meanwhile: Callable[[], Other]) -> tuple[Result, Other]:
    """Return what two pieces of work give; the second is done in the caller's thread."""
    with ThreadPoolExecutor(1) as thread:
        waiting = thread.submit(aside)
        done = meanwhile()
        return waiting.result(), done
