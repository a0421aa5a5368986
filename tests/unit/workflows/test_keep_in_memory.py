import threading

import pytest

from leaktrack.model.errors import Cancelled
from leaktrack.workflows.keep_in_memory import KeptInMemory


def idle():
    pass


def test_the_work_is_done_once_for_each_key():
    made = []
    kept = KeptInMemory(3)

    for key in ("a", "b", "a", "b"):
        kept.get(key, lambda key=key: made.append(key), idle)

    assert made == ["a", "b"]


def test_the_one_longest_unused_goes_first():
    made = []
    kept = KeptInMemory(2)

    for key in ("a", "b", "a", "c", "a", "b"):
        kept.get(key, lambda key=key: made.append(key), idle)

    assert len(kept) == 2
    assert made == ["a", "b", "c", "b"]


def test_work_that_was_stopped_is_not_kept():
    kept = KeptInMemory(2)

    with pytest.raises(Cancelled):
        kept.get("a", stopped, idle)

    assert kept.get("a", lambda: "made", idle) == "made"


def test_two_that_ask_at_once_get_one_result():
    kept, may_end, made, got = KeptInMemory(2), threading.Event(), [], []

    def slow():
        may_end.wait(5)
        made.append("once")
        return object()

    threads = [
        threading.Thread(target=lambda: got.append(kept.get("a", slow, idle))) for _ in range(2)
    ]
    for thread in threads:
        thread.start()
    may_end.set()
    for thread in threads:
        thread.join(5)

    assert made == ["once"]
    assert got[0] is got[1]


def test_who_waits_can_stop_waiting():
    kept, may_end, began = KeptInMemory(2), threading.Event(), threading.Event()

    def slow():
        began.set()
        may_end.wait(5)

    worker = threading.Thread(target=lambda: kept.get("a", slow, idle))
    worker.start()
    began.wait(5)
    try:
        with pytest.raises(Cancelled):
            kept.get("a", slow, stopped)
    finally:
        may_end.set()
        worker.join(5)


def stopped():
    raise Cancelled("stopped")
