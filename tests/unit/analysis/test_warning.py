from dataclasses import replace
from datetime import UTC, datetime

import pytest

from leaktrack.analysis.sighting import sighting_table
from leaktrack.analysis.warning import warnings
from leaktrack.model.identity import new_id
from leaktrack.model.inspection import Inspection, TestRun
from leaktrack.model.leak import Leak, LeakMark, SeepageGrade
from leaktrack.model.photo import Photo
from leaktrack.model.warning import WarningKind

ENGINE = new_id()
CLEANED = datetime(2026, 3, 1, tzinfo=UTC)
RUN = TestRun(engine_id=ENGINE, started_at=datetime(2026, 3, 5, tzinfo=UTC))
BASELINE = Inspection(
    engine_id=ENGINE,
    looked_at=datetime(2026, 3, 2, tzinfo=UTC),
    is_baseline=True,
    cleaned_at=CLEANED,
)
LOOK = Inspection(
    engine_id=ENGINE,
    looked_at=datetime(2026, 3, 6, tzinfo=UTC),
    cleaned_at=CLEANED,
    oil_c=60,
)


def kinds(inspection, *others):
    table = sighting_table((inspection, *others), (), (), ())
    return [one.kind for one in warnings(inspection, table, (RUN,))]


def newly_wet(zones):
    """A look at which this many zones are wet for the first time."""
    leaks = [Leak(zone_id=new_id(), number=number) for number in range(zones)]
    photos = [
        Photo(
            sha256="0" * 64,
            file_type="jpg",
            original_name="zone.jpg",
            size_bytes=1,
            width_px=10,
            height_px=10,
            zone_id=leak.zone_id,
            inspection_id=LOOK.id,
        )
        for leak in leaks
    ]
    marks = [
        LeakMark(leak_id=leak.id, photo_id=photo.id, grade=SeepageGrade.SEEP)
        for leak, photo in zip(leaks, photos, strict=True)
    ]
    return leaks, sighting_table((BASELINE, LOOK), photos, leaks, marks)


def test_an_inspection_with_all_that_it_needs_warns_of_nothing():
    assert kinds(LOOK, BASELINE) == []


def test_a_look_after_a_run_without_a_baseline_is_warned_of():
    assert kinds(LOOK) == [WarningKind.NO_BASELINE]


def test_a_baseline_made_afterwards_is_none():
    late = replace(BASELINE, looked_at=datetime(2026, 3, 7, tzinfo=UTC))

    assert kinds(LOOK, late) == [WarningKind.NO_BASELINE]


def test_a_baseline_needs_no_oil_temperature():
    assert kinds(BASELINE) == []


def test_an_engine_that_nobody_cleaned_is_warned_of():
    assert kinds(replace(LOOK, cleaned_at=None), BASELINE) == [WarningKind.NOT_CLEANED]


def test_an_unknown_oil_temperature_is_warned_of():
    assert kinds(replace(LOOK, oil_c=None), BASELINE) == [WarningKind.OIL_TEMPERATURE_UNKNOWN]


def test_three_zones_newly_wet_at_once_point_to_pressure():
    leaks, table = newly_wet(zones=3)

    (warning,) = warnings(LOOK, table, (RUN,))

    assert warning.kind is WarningKind.SEVERAL_NEWLY_WET
    assert set(warning.zone_ids) == {leak.zone_id for leak in leaks}


def test_two_zones_newly_wet_do_not():
    _, table = newly_wet(zones=2)

    assert warnings(LOOK, table, (RUN,)) == ()


# Common practice, no source: several joints wet at once and high pressure is one cause. The limit
# of a used engine, 255 mmH2O, is car maker M's.
def test_three_zones_newly_wet_and_high_pressure_are_one_cause():
    _, table = newly_wet(zones=3)

    (warning,) = warnings(LOOK, table, (RUN,), pressure_mmh2o=300.0)

    assert warning.kind is WarningKind.ONE_CAUSE


@pytest.mark.parametrize("pressure", [0.0, 150.0, 255.0])
def test_without_high_pressure_it_stays_a_question(pressure):
    _, table = newly_wet(zones=3)

    (warning,) = warnings(LOOK, table, (RUN,), pressure)

    assert warning.kind is WarningKind.SEVERAL_NEWLY_WET


def test_three_joints_of_one_zone_count_as_much_as_three_zones():
    leaks, table = newly_wet(zones=1)
    joints = [replace(leaks[0], id=new_id(), joint_id=new_id()) for _ in range(3)]
    photo = next(iter(table.marks.values()))[0][1]
    marks = [
        LeakMark(leak_id=leak.id, photo_id=photo.id, grade=SeepageGrade.SEEP) for leak in joints
    ]
    table = sighting_table((BASELINE, LOOK), (photo,), joints, marks)

    (warning,) = warnings(LOOK, table, (RUN,), 300.0)

    assert warning.kind is WarningKind.ONE_CAUSE


@pytest.mark.parametrize(
    ("pressure", "kind"),
    [(300.0, WarningKind.PRESSURE_HIGH), (-400.0, WarningKind.PRESSURE_LOW)],
)
def test_pressure_out_of_its_limits_is_warned_of_by_itself(pressure, kind):
    table = sighting_table((BASELINE, LOOK), (), (), ())

    assert [one.kind for one in warnings(LOOK, table, (RUN,), pressure)] == [kind]
