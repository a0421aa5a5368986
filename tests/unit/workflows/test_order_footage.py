"""Clips of a day follow each other in the order of their recording."""

from datetime import date, datetime

import pytest

from leaktrack.model.footage_sequence import FootageSequence
from leaktrack.model.photo import Clip, TakenAt
from leaktrack.model.record import added
from leaktrack.workflows.order_footage import footage_days, sequence_with


def a_clip(name, recorded="", duration_ms=1000):
    at = TakenAt(datetime.fromisoformat(recorded)) if recorded else None
    return Clip(
        name=name, path=name, sha256=name.ljust(64, "0"), size_bytes=1, duration_ms=duration_ms,
        width_px=1, height_px=1, recorded=at,
    )  # fmt: skip


LATE = a_clip("a", "2026-03-07T18:00:00", 2000)
EARLY = a_clip("b", "2026-03-07T09:00:00", 3000)
TWIN = a_clip("c", "2026-03-07T18:00:00", 4000)
NEXT_DAY = a_clip("d", "2026-03-08T00:00:01")
UNDATED = (a_clip("z"), a_clip("e"))


@pytest.fixture
def days(project):
    project.apply(added(LATE, EARLY, TWIN, NEXT_DAY, *UNDATED))
    return footage_days(project)


def test_a_day_is_one_sequence_and_what_has_no_date_stands_alone(days):
    assert [(day.day, [clip.name for clip in day.clips]) for day in days] == [
        (date(2026, 3, 7), ["b", "a", "c"]),
        (date(2026, 3, 8), ["d"]),
        (None, ["e"]),
        (None, ["z"]),
    ]


def test_times_run_through_the_clips_of_a_day(days):
    day = days[0]

    assert day.duration_ms == 9000
    assert day.starts_ms == (0, 3000, 5000)
    assert [(clip.name, ms) for clip, ms in map(day.at, (-5, 2999, 3000, 8999, 99_999))] == [
        ("b", 0), ("b", 2999), ("a", 0), ("c", 3999), ("c", 4000),
    ]  # fmt: skip


def test_a_clip_leads_to_its_sequence(project, days):
    assert sequence_with(project, TWIN.id) == days[0]
    assert sequence_with(project, None) == FootageSequence()
