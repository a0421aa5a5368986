from dataclasses import replace

import pytest

from leaktrack.model.errors import BadInput
from leaktrack.model.inspection import Inspection, TestRun
from leaktrack.model.leak import LeakMark
from leaktrack.model.oil_account import AccountState, DipstickPoint, LeakWay
from leaktrack.model.oil_words import account_details, account_sentence
from leaktrack.model.record import removed, replaced
from leaktrack.workflows.account_oil import oil_account
from leaktrack.workflows.calibrate_dipstick import dipstick_points, next_point, set_dipstick
from leaktrack.workflows.mark_leaks import change_mark
from tests.leaking_engine import at, tell


@pytest.fixture
def story(project):
    return tell(project)


@pytest.fixture
def run(project, story):
    """The second run: leak 1 drips, leak 2 is a wet area, leak 3 has no size."""
    (mark,) = project.all(LeakMark, leak_id=story.gap_leak.id, photo_id=story.cover_photos[2].id)
    project.apply(change_mark(project, mark.id, drops_per_minute=40.0, drop_edge_mm=4.0))
    return story.runs[1]


def _calibrated(project, story):
    ends = ((0.0, 0.0), (20.0, 200.0))
    points = [
        DipstickPoint(engine_id=story.engine.id, height_mm=height, volume_ml=volume)
        for height, volume in ends
    ]
    project.apply(set_dipstick(project, story.engine.id, points))


def _read(project, run, **fields):
    before = project.get(TestRun, run.id)
    project.apply(replaced(before, replace(before, **fields)))


def test_heights_on_the_calibrated_dipstick_are_set_against_the_marks(project, story, run):
    _calibrated(project, story)
    heights = {"dipstick_before_mm": 20.0, "dipstick_after_mm": 10.0}
    _read(project, run, **heights, dipstick_before_c=60.0, dipstick_after_c=60.0)

    account = oil_account(project, run.id)

    assert account.state is AccountState.DRAWN_UP
    assert account.is_calibrated
    assert account.loss.ml == pytest.approx(100.0)  # 10 mm of 10 mL each
    # Nobody recorded what the engine holds, but both temperatures are alike.
    assert "both at the same oil temperature" in " ".join(account_details(account))
    assert account.loss.sigma_ml == pytest.approx(10 * 2**0.5)
    # 40 drops a minute for 25 min of the worked drop of 28.1 uL are 28 mL.
    dripping, film, unsized = account.leaks
    assert dripping.ml.low < 28.1 < dripping.ml.high
    assert (film.way, unsized.way) == (LeakWay.FILM, LeakWay.NO_SIZE)
    assert account_sentence(account) == "Visible leaks explain 21 to 49 % of the loss."


def test_amounts_typed_in_ml_count_as_less_sure(project, story, run):
    _read(project, run, oil_before_ml=5000.0, oil_after_ml=4000.0, oil_added_ml=200.0)

    account = oil_account(project, run.id)

    assert not account.is_calibrated
    assert account.loss.ml == pytest.approx(1200.0)
    assert account.loss.sigma_ml > 100 * 2**0.5
    told = " ".join(account_details(account))
    assert "is not calibrated" in told
    assert "with readings up to 10 °C apart in oil temperature" in told
    assert "18 °F apart" in " ".join(account_details(account, "imperial"))


def test_a_small_loss_cannot_be_told_from_none(project, story, run):
    _read(project, run, oil_before_ml=5000.0, oil_after_ml=4900.0)

    account = oil_account(project, run.id)

    assert account.state is AccountState.LOSS_IN_DOUBT
    assert account_sentence(account).startswith(
        "How much of the loss leaks explain cannot be said: the dipstick cannot tell this loss"
    )


def test_without_readings_the_leaks_are_still_told(project, story, run):
    account = oil_account(project, run.id)

    assert (account.state, len(account.leaks)) == (AccountState.NO_READINGS, 3)


def test_without_a_look_it_cannot_be_said(project, story, run):
    for look in project.all(Inspection, test_run_id=run.id):
        before = project.get(Inspection, look.id)
        project.apply(
            replaced(before, replace(before, test_run_id=None, looked_at=at("03-01 10:00")))
        )

    assert oil_account(project, run.id).state is AccountState.NO_LOOK


def test_leaks_that_nobody_counted_leave_the_share_open_above(project, story, run):
    (mark,) = project.all(LeakMark, leak_id=story.bolt_leak.id, photo_id=story.cover_photos[2].id)
    project.apply(change_mark(project, mark.id, do_drops_fall=True))
    _read(project, run, oil_before_ml=5000.0, oil_after_ml=4000.0)

    account = oil_account(project, run.id)

    assert account.share.high == float("inf")
    assert account_sentence(account) == "Visible leaks explain 2 % or more of the loss."


def test_a_height_far_outside_the_calibration_is_refused(project, story, run):
    _calibrated(project, story)
    _read(project, run, dipstick_before_mm=20.0, dipstick_after_mm=-40.0)

    with pytest.raises(BadInput, match="dipstick is -40 mm, but must lie between -10 mm and 30"):
        oil_account(project, run.id)


def test_a_dipstick_begins_with_its_lower_mark_and_is_kept_by_height(project, story):
    first = next_point(story.engine.id, ())
    second = replace(next_point(story.engine.id, (first,)), height_mm=20.0, volume_ml=900.0)

    project.apply(set_dipstick(project, story.engine.id, (second, first)))

    kept = dipstick_points(project, story.engine.id)
    assert [(one.height_mm, one.volume_ml) for one in kept] == [(0.0, 0.0), (20.0, 900.0)]
    project.apply(set_dipstick(project, story.engine.id, (first,)))
    assert dipstick_points(project, story.engine.id) == (first,)


def test_more_height_must_be_more_oil(project, story):
    first = next_point(story.engine.id, ())
    wrong = replace(next_point(story.engine.id, (first,)), height_mm=20.0, volume_ml=-5.0)

    with pytest.raises(BadInput, match="more height must be more oil"):
        set_dipstick(project, story.engine.id, (first, wrong))
    with pytest.raises(BadInput, match="height on the dipstick cannot be 2000 mm"):
        set_dipstick(project, story.engine.id, (replace(first, height_mm=2000.0),))


def test_a_removed_reading_takes_the_account_back(project, story, run):
    _calibrated(project, story)
    points = dipstick_points(project, story.engine.id)
    project.apply(removed(*points))

    assert not oil_account(project, run.id).is_calibrated
