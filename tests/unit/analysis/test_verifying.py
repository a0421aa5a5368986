from dataclasses import replace

import pytest

from leaktrack.analysis.verifying import (
    Finding,
    LaterLook,
    WetPlace,
    outcome,
    proposal,
    success_counts,
)
from leaktrack.model.engine import SealKind
from leaktrack.model.identity import new_id
from leaktrack.model.leak import SeepageGrade
from leaktrack.model.trace import Cause, CauseState
from leaktrack.model.verification import Outcome, Verification
from tests.unit.analysis.tracing_scenes import COVER, NOON

DRY, SEEP, NOT_SEEN = SeepageGrade.DRY, SeepageGrade.SEEP, SeepageGrade.NOT_SEEN


def look(grade, *wet):
    return LaterLook(new_id(), grade, wet)


def mine(station):
    return WetPlace(station, is_same_leak=True, is_new=False)


def another(station, is_new=True):
    return WetPlace(station, is_same_leak=False, is_new=is_new, mark_id=new_id())


def result(*looks, station=4.5, spacing_mm=None, turn=None):
    return outcome(station, looks, spacing_mm, turn)


def test_a_dry_place_is_cured():
    assert result(look(DRY)).outcome is Outcome.CURED


def test_a_place_that_is_wet_where_it_was_is_still_there():
    assert result(look(SEEP, mine(4.6))).outcome is Outcome.STILL_THERE


def test_a_place_that_is_wet_elsewhere_has_moved():
    found = result(look(SEEP, mine(6.2)))

    assert (found.outcome, found.moved_to) == (Outcome.MOVED, 6.2)


def test_another_place_that_is_newly_wet_means_moved():
    found = result(look(DRY, another(7.0)))

    assert (found.outcome, found.moved_to) == (Outcome.MOVED, 7.0)


def test_another_place_that_was_wet_before_means_nothing():
    assert result(look(DRY, another(7.0, is_new=False))).outcome is Outcome.CURED


def test_not_seen_never_means_cured_and_the_next_look_that_saw_it_decides():
    assert result(look(NOT_SEEN)).outcome is Outcome.NOT_SEEN
    assert result().outcome is Outcome.NOT_SEEN
    later = look(SEEP, mine(4.5))
    assert result(look(NOT_SEEN), later).inspection_id == later.inspection_id


def test_the_first_look_that_saw_the_place_counts_and_not_a_later_one():
    assert result(look(DRY), look(SEEP, mine(4.5))).outcome is Outcome.CURED


@pytest.mark.parametrize(("spacing_mm", "is_same"), [(100.0, False), (30.0, True)])
def test_the_same_place_means_within_ten_millimetres_where_they_are_known(spacing_mm, is_same):
    found = result(look(SEEP, mine(4.7)), spacing_mm=spacing_mm)  # 20 mm or 6 mm off

    assert (found.outcome is Outcome.STILL_THERE) is is_same


def test_stations_over_the_start_of_a_closed_joint_are_near_each_other():
    assert result(look(SEEP, mine(8.9)), station=1.05, turn=8.0).outcome is Outcome.STILL_THERE


def verdict(state):
    return Cause(
        leak_id=new_id(), sealing_job_id=new_id(), state=state, reason="x", decided_at=NOON
    )


@pytest.mark.parametrize(
    ("came_out", "is_bolt", "state"),
    [
        (Outcome.CURED, False, CauseState.CONFIRMED),
        (Outcome.CURED, True, CauseState.CONFIRMED),
        (Outcome.MOVED, False, CauseState.CONFIRMED),
        (Outcome.STILL_THERE, False, CauseState.RULED_OUT),
        (Outcome.STILL_THERE, True, None),
        (Outcome.NOT_SEEN, False, None),
    ],
)
def test_the_verdict_that_follows(came_out, is_bolt, state):
    found = proposal(Finding(came_out), "2026-04-25", "bolt 7", None, is_bolt=is_bolt)

    assert (found.state if found else None) == state


def test_a_verdict_that_stands_already_is_not_proposed_again():
    cured = Finding(Outcome.CURED)
    stands, differs = verdict(CauseState.CONFIRMED), verdict(CauseState.SUSPECTED)

    assert proposal(cured, "2026-04-25", "", stands, is_bolt=False) is None
    assert proposal(cured, "2026-04-25", "", differs, is_bolt=False) is not None


def test_success_is_counted_by_seal_kind_and_material_of_those_that_were_seen():
    one = Verification(
        leak=None, joint=COVER.joint, blamed=COVER.job, redo=COVER.job, inspection=None,
        outcome=Outcome.CURED,
    )  # fmt: skip
    bead, ring = SealKind.LIQUID_GASKET, SealKind.O_RING
    came_out = [Outcome.CURED, Outcome.MOVED, Outcome.STILL_THERE, Outcome.NOT_SEEN]
    verified = [(bead, "blue", replace(one, outcome=each)) for each in came_out]

    first, second = success_counts([*verified, (ring, "", one)])

    assert (first.seal_kind, first.material, first.cured, first.tried) == (bead, "blue", 2, 3)
    assert (second.seal_kind, second.cured, second.tried) == (ring, 1, 1)
