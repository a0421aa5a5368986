"""Garbage is collected on the window's thread, and on no other."""

import threading
from typing import ClassVar

from leaktrack.gui.tidying import collect_if_due


class Circle:
    """Something that only the collector frees; notes on which thread."""

    freed_on: ClassVar[list[str]] = []

    def __init__(self) -> None:
        self.me = self

    def __del__(self) -> None:
        self.freed_on.append(threading.current_thread().name)


def _much_garbage() -> None:
    for _ in range(5_000):
        Circle()


def test_work_in_the_background_frees_no_circle(qtbot):
    Circle.freed_on.clear()
    worker = threading.Thread(target=_much_garbage, name="worker")

    worker.start()
    worker.join()
    before = list(Circle.freed_on)
    collect_if_due()
    qtbot.waitUntil(lambda: len(Circle.freed_on) == 5_000, timeout=10_000)

    assert before == []
    assert set(Circle.freed_on) == {"MainThread"}
