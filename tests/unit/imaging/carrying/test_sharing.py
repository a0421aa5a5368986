from threading import Event

import pytest

from leaktrack.imaging.carrying.sharing import at_once, each_in_turn


def go_on():
    """Never stop."""


def test_results_come_in_the_order_of_the_parts():
    assert each_in_turn(lambda part: part * part, range(50), go_on) == [n * n for n in range(50)]


def test_no_further_part_is_begun_once_stopped():
    begun = []

    def stop():
        if len(begun) >= 3:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        each_in_turn(lambda part: begun.append(part) or sum(range(100_000)), range(5000), stop)

    assert len(begun) < 5000


def test_what_goes_wrong_in_a_part_is_told():
    def divide(part):
        return 1 / part

    with pytest.raises(ZeroDivisionError):
        each_in_turn(divide, [2, 1, 0, 3], go_on)


def test_two_pieces_of_work_are_done_at_once():
    begun, met = Event(), Event()

    def aside():
        begun.set()
        return met.wait(10)

    def meanwhile():
        was_begun = begun.wait(10)
        met.set()
        return was_begun

    assert at_once(aside, meanwhile) == (True, True)


@pytest.mark.parametrize("at", [0, 1])
def test_what_goes_wrong_in_either_piece_is_told(at):
    works = [lambda: 1, lambda: 1]
    works[at] = lambda: 1 / 0

    with pytest.raises(ZeroDivisionError):
        at_once(*works)
