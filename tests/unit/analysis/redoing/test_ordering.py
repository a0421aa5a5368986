from itertools import pairwise

import pytest

from leaktrack.analysis.redoing.choosing import Chooser
from leaktrack.analysis.redoing.networking import Piece, network, teardown
from leaktrack.analysis.redoing.ordering import _Search, ordered
from leaktrack.analysis.redoing.reaching import costs_of, routes_taken
from leaktrack.model.redo_problem import RedoProblem, Step, Task, WorkKind
from tests.random_redo import random_problem


def pieces(told):
    """Pieces of work from their hours and the numbers of what they wait for, counted from 1."""
    return [
        Piece(
            str(number), WorkKind.TASK, hours, needs_hands=True, after=tuple(b - 1 for b in before)
        )
        for number, (hours, before) in enumerate(told, start=1)
    ]


CPM_1 = [
    *((3, ()), (5, ()), (5, (1,)), (4, ()), (3, (2,)), (3, (4,)), (1, (5,)), (3, (6,))),
    *((6, (1,)), (3, (3,)), (2, (6,)), (2, (9, 10)), (4, (7, 8)), (2, (11, 12)), (8, (11, 12))),
    (3, (13, 14)),
]
CPM_2 = [
    *((8, ()), (4, ()), (3, ()), (5, (1,)), (1, (1,)), (2, (3,)), (7, (4,)), (6, (3,))),
    *((9, (2, 5, 6)), (6, (8,))),
]
CPM_3 = [
    *((7, ()), (5, ()), (3, (1,)), (5, (2,)), (4, (3,)), (4, (3, 4)), (3, (5, 6)), (1, (7,))),
]


@pytest.mark.parametrize(
    ("told", "length", "slacks"),
    [
        (CPM_1, 21, (0, 5, 0, 4, 5, 4, 5, 4, 2, 0, 4, 0, 4, 3, 0, 3)),
        (CPM_2, 20, (0, 7, 5, 0, 2, 6, 0, 5, 2, 5)),
        (CPM_3, 18, (0,) * 8),
    ],
    ids=["computing course", "exercise site", "all critical"],
)
def test_critical_paths_are_those_of_the_textbooks(told, length, slacks):
    """Exercises with their answers: a computing course's handout, an exercise site, a third."""
    found = network(pieces(told))

    assert found.length == length
    assert found.slacks() == slacks


def test_enough_people_are_ready_after_the_critical_path():
    found = ordered(network(pieces(CPM_1)), workers=16)

    assert found.ready_h == found.least_h == 21


def check(net, schedule, workers):
    """An independent look: nothing too early, nobody at two places at once, nothing missed."""
    at = {(slot.id, slot.kind): slot for slot in schedule.slots}
    assert len(at) == len(schedule.slots) == len(net.pieces)
    for piece in net.pieces:
        slot = at[piece.id, piece.kind]
        assert slot.end_h == pytest.approx(slot.start_h + piece.hours)
        assert (slot.worker is not None) == piece.needs_hands
        for before in piece.after:
            earlier = net.pieces[before]
            assert at[earlier.id, earlier.kind].end_h <= slot.start_h + 1e-9
    for who in range(1, workers + 1):
        times = sorted((one.start_h, one.end_h) for one in schedule.slots if one.worker == who)
        assert all(first[1] <= then[0] + 1e-9 for first, then in pairwise(times))
    assert all(one.worker is None or 1 <= one.worker <= workers for one in schedule.slots)
    assert schedule.ready_h == pytest.approx(max((s.end_h for s in schedule.slots), default=0))
    assert schedule.least_h <= schedule.ready_h


def soonest_by_trying(net, workers):
    """Return when all is ready at the soonest, over every order in which work can be begun."""
    search = _Search(net, workers, float("inf"))
    soonest = float("inf")
    waiting = [search._begun()]
    while waiting:
        state = waiting.pop()
        if not state.open:
            soonest = min(soonest, state.ready)
        for place in state.open:
            branch = state.copy()
            search._place(branch, place)
            waiting.append(branch)
    return soonest


def everything(problem):
    """The network of a problem of which everything is done."""
    tasks = tuple(
        Task(
            id=task.id, hours=task.hours, benefit=0, is_must=True, cure_h=task.cure_h,
            does_cure_block_refit=task.does_cure_block_refit, needs=task.needs,
        )
        for task in problem.tasks
    )  # fmt: skip
    whole = RedoProblem(steps=problem.steps, tasks=tasks, hour_rate=10)
    selection = Chooser(whole).best().selection
    return teardown(whole, selection, routes_taken(whole, selection, costs_of(whole)))


@pytest.mark.parametrize("workers", [1, 2, 3])
def test_schedules_hold_and_small_ones_are_the_soonest(workers):
    for seed in range(30):
        net = everything(random_problem(seed))

        found = ordered(net, workers)

        check(net, found, workers)
        if len(net.pieces) <= 7:
            assert found.ready_h == pytest.approx(soonest_by_trying(net, workers)), seed


def test_one_person_works_on_while_a_seal_cures():
    steps = (Step(id="cover", hours=1, refit_hours=1),)
    sealed = Task(
        id="seal", hours=1, benefit=0, cure_h=3, does_cure_block_refit=True, needs=("cover",)
    )
    cleaned = Task(id="clean", hours=2, benefit=0, needs=("cover",))
    net = everything(RedoProblem(steps=steps, tasks=(sealed, cleaned), hour_rate=1))

    found = ordered(net, 1)

    assert [(slot.id, slot.kind) for slot in found.slots][:4] == [
        ("cover", WorkKind.TAKE_OFF),
        ("seal", WorkKind.TASK),
        ("seal", WorkKind.CURE),
        ("clean", WorkKind.TASK),
    ]
    assert found.ready_h == 1 + 1 + 3 + 1


def test_a_long_list_says_how_much_sooner_it_could_be_at_best():
    net = network(pieces([(1 + number % 7 / 10, ()) for number in range(60)]))

    found = ordered(net, 7, seconds=0.05)

    check(net, found, 7)
    assert found.least_h <= found.ready_h <= found.least_h + 1


def test_nothing_to_do_is_ready_at_once():
    found = ordered(network([]), 2)

    assert (found.slots, found.ready_h, found.least_h) == ((), 0, 0)
