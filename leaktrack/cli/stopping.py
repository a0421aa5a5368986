"""Let Ctrl+C stop long work between two steps, so that what was finished can be kept."""

import signal
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from types import FrameType

from leaktrack.model.errors import Cancelled

Step = Callable[[int, int, str], None]


@contextmanager
def stoppable(progress: Step) -> Iterator[Step]:
    """Give a progress that raises Cancelled at the first step after Ctrl+C.

    Pressed a second time, Ctrl+C stops at once, as usual. Only for the program's main thread.

    Args:
        progress: Told of each step that is not stopped.
    """
    is_asked = False
    usual = signal.getsignal(signal.SIGINT)

    def ask(_number: int, _frame: FrameType | None) -> None:
        nonlocal is_asked
        is_asked = True
        signal.signal(signal.SIGINT, usual)

    def step(done: int, total: int, what: str) -> None:
        if is_asked:
            raise Cancelled("Stopped by hand. What was finished until now is kept.")
        progress(done, total, what)

    signal.signal(signal.SIGINT, ask)
    try:
        yield step
    finally:
        signal.signal(signal.SIGINT, usual)


def one_after_other(first: Step, then: Step) -> Step:
    """Return a progress that tells two of each step, in this order; either may raise to stop."""

    def step(done: int, total: int, what: str) -> None:
        first(done, total, what)
        then(done, total, what)

    return step
