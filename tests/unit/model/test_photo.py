from datetime import UTC, datetime

import pytest

from leaktrack.model.photo import TakenAt


def test_photos_are_sorted_by_the_moment_and_not_by_the_camera_clock():
    earlier = TakenAt(datetime.fromisoformat("2026-03-08T16:20:00"), 120)
    later = TakenAt(datetime.fromisoformat("2026-03-08T15:30:00"), 0)

    assert earlier.sortable < later.sortable
    assert earlier.sortable == datetime(2026, 3, 8, 14, 20, tzinfo=UTC)


@pytest.mark.parametrize(("local", "offset"), [("0001-01-01", 840), ("9999-12-31T23:59", -720)])
def test_a_clock_at_either_end_of_the_calendar_can_still_be_sorted(local, offset):
    at = datetime.fromisoformat(local)

    assert TakenAt(at, offset).sortable == at.replace(tzinfo=UTC)
