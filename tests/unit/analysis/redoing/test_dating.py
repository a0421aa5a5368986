"""A schedule on the clock: people go home in the evening, cures go on."""

from itertools import pairwise

import pytest

from leaktrack.analysis.redoing.choosing import Chooser
from leaktrack.analysis.redoing.dating import dated
from leaktrack.analysis.redoing.networking import teardown
from leaktrack.analysis.redoing.ordering import ordered
from leaktrack.analysis.redoing.reaching import routes_taken
from leaktrack.model.redo_problem import RedoProblem, Step, Task, WorkKind
from tests.random_redo import random_problem


def on_the_clock(problem, day_hours):
    chooser = Chooser(problem)
    chosen = chooser.best()
    if chosen is None:
        return None
    waits = routes_taken(problem, chosen.selection, chooser.costs)
    network = teardown(problem, chosen.selection, waits)
    return network, dated(network, ordered(network, problem.workers, 0.05), day_hours)


def test_work_stops_in_the_evening_and_a_cure_does_not():
    """By hand: 6 h off, 4 h of work of which 2 on the next day, 24 h of cure, 1 h on again."""
    off = Step(id="off", hours=6, refit_hours=1)
    seal = Task(
        id="seal", hours=4, benefit=9000, cure_h=24, does_cure_block_refit=True, needs=("off",)
    )

    _, slots = on_the_clock(RedoProblem(steps=(off,), tasks=(seal,), hour_rate=1), 8)

    spans = {slot.slot.kind: slot.spans for slot in slots}
    assert spans == {
        WorkKind.TAKE_OFF: ((0, 6),),
        WorkKind.TASK: ((6, 8), (24, 26)),
        WorkKind.CURE: ((26, 50),),
        WorkKind.REFIT: ((50, 51),),
    }


@pytest.mark.parametrize("seed", range(20))
def test_every_sheet_keeps_to_the_day_the_order_and_one_thing_at_a_time(seed):
    day_hours = (2.5, 8, 24)[seed % 3]
    found = on_the_clock(random_problem(seed + 40), day_hours)
    if found is None:
        return
    network, slots = found
    by_key = {(slot.slot.id, slot.slot.kind): slot for slot in slots}
    busy = []
    for piece in network.pieces:
        slot = by_key[piece.id, piece.kind]
        assert sum(end - begin for begin, end in slot.spans) == pytest.approx(piece.hours)
        for before in piece.after:
            other = network.pieces[before]
            assert by_key[other.id, other.kind].end_h <= slot.begin_h + 1e-6
        if slot.slot.worker is None:
            assert len(slot.spans) == 1
            continue
        for begin, end in slot.spans:
            assert end <= begin // 24 * 24 + day_hours + 1e-6
            busy.append((slot.slot.worker, begin, end))
    busy.sort()
    for (who, _, end), (other, begin, _) in pairwise(busy):
        assert who != other or end <= begin + 1e-6
