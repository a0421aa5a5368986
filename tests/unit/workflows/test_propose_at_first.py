"""What two photos alone say is there first, and says whether other photos may know better."""

from types import SimpleNamespace

import pytest

from leaktrack.model.errors import Cancelled
from leaktrack.model.leak import SeepageGrade
from leaktrack.model.place import PlaceState
from leaktrack.model.shapes import PointPx
from leaktrack.workflows import carry_through, propose_marks
from leaktrack.workflows.align_photos import CarriedPoint
from leaktrack.workflows.carry_through import alignment_through
from leaktrack.workflows.propose_marks import propose_at_first
from tests.pictures import casting, write_photo
from tests.zone_bench import ZoneBench

AT = PointPx(50, 40)


@pytest.fixture
def bench(project):
    return ZoneBench(project)


@pytest.fixture
def photos(bench, tmp_path):
    """Three photos of a zone, a day apart."""
    files = [write_photo(tmp_path / f"{day}.png", casting(200, 150, seed=day)) for day in range(3)]
    return [bench.photo(file, day) for day, file in enumerate(files)]


@pytest.fixture
def carried(monkeypatch):
    """Set what two photos say; all say that it lies elsewhere, for sure."""
    says = {False: [], True: CarriedPoint(PlaceState.CARRIED, PointPx(70, 60), 2.0)}
    between = []

    def align(_project, _from_id, _to_id, progress, *, is_thorough=False):
        progress(0, 4, "one.png")
        return is_thorough

    def carried_by(placing, points):
        return (says[True],) * len(points) if placing else tuple(says[False])

    monkeypatch.setattr(propose_marks, "corrected_alignment", align)
    monkeypatch.setattr(propose_marks, "carried_by", carried_by)
    monkeypatch.setattr(propose_marks, "carried_outline", lambda _placing, _outline: ())
    monkeypatch.setattr(propose_marks, "photos_between", lambda *_: tuple(between))

    def say(*states, has_more):
        says[False] = [CarriedPoint(state, AT, 3.0) for state in states]
        between[:] = [object()] if has_more else []

    return say


@pytest.mark.parametrize(
    ("states", "has_more", "may_move"),
    [
        ((PlaceState.CARRIED, PlaceState.CARRIED), True, False),
        ((PlaceState.CARRIED, PlaceState.UNCERTAIN), True, True),
        ((PlaceState.CARRIED, PlaceState.HIDDEN), True, True),
        ((PlaceState.CARRIED, PlaceState.UNCERTAIN), False, False),
    ],
    ids=["sure by two", "one not sure", "one hidden", "nobody else to ask"],
)
def test_places_may_move_where_one_is_not_sure_and_others_can_be_asked(
    project, bench, photos, carried, states, has_more, may_move
):
    for _ in states:
        bench.mark(photos[1], SeepageGrade.SEEP, source_px=AT)
    carried(*states, has_more=has_more)

    first = propose_at_first(project, photos[2].id)
    last = propose_marks.propose_marks(project, photos[2].id)

    assert [(each.state, each.source_px, each.may_move) for each in first] == [
        (state, AT, may_move) for state in states
    ]
    is_asked = PlaceState.CARRIED is not states[1]
    assert [each.source_px != AT for each in last] == [is_asked] * 2
    assert not any(each.may_move for each in last)


def test_both_can_be_stopped(project, bench, photos, carried):
    def stop(_done, _total, _what):
        raise Cancelled("")

    bench.mark(photos[1], SeepageGrade.SEEP, source_px=AT)
    carried(PlaceState.CARRIED, has_more=True)

    for propose in (propose_at_first, propose_marks.propose_marks):
        with pytest.raises(Cancelled):
            propose(project, photos[2].id, stop)


def test_steps_are_told_in_their_order_over_all_photos(project, photos, monkeypatch):
    told = []

    def placing_through(photos, align, _cache, progress):
        align(0, 1)
        for between in range(2, len(photos)):
            align(0, between)
            align(between, 1)
        progress(3, 4, "all at once")
        return SimpleNamespace()

    monkeypatch.setattr(carry_through, "placing_through", placing_through)
    monkeypatch.setattr(carry_through, "has_features", lambda *_: True)
    monkeypatch.setattr(
        carry_through, "alignment_of", lambda _project, _here, _there, tell: tell(2, 4, "matching")
    )

    alignment_through(project, photos[0].id, photos[2].id, lambda *step: told.append(step))

    between = photos[1].original_name
    assert told == [
        (0, 4, photos[2].original_name),
        (1, 4, between),
        (2, 4, between),
        (3, 4, "all at once"),
    ]
