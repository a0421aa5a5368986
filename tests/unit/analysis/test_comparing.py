import pytest

from leaktrack.analysis.comparing import change
from leaktrack.model.comparison import Change, Sighting
from leaktrack.model.identity import new_id
from leaktrack.model.leak import SeepageGrade

INSPECTION = new_id()


def sighting(grade, area_mm2=None, nothing_noticed=False):
    return Sighting(INSPECTION, grade, area_mm2=area_mm2, nothing_noticed=nothing_noticed)


DRY = sighting(SeepageGrade.DRY)
SEEP = sighting(SeepageGrade.SEEP)
DRIP = sighting(SeepageGrade.DRIP)
NOT_SEEN = sighting(SeepageGrade.NOT_SEEN)
NOTHING_NOTICED = sighting(SeepageGrade.NOT_SEEN, nothing_noticed=True)


@pytest.mark.parametrize(
    ("before", "after", "expected"),
    [
        (DRY, DRY, Change.STILL_DRY),
        (DRY, SEEP, Change.NEW),
        (SEEP, DRIP, Change.GROWING),
        (SEEP, SEEP, Change.STEADY),
        (DRIP, SEEP, Change.SHRINKING),
        (DRIP, DRY, Change.GONE),
        (NOTHING_NOTICED, SEEP, Change.NEW),
    ],
)
def test_the_grade_decides_how_a_leak_fared(before, after, expected):
    assert change(before, after) is expected


@pytest.mark.parametrize("seen", [DRY, SEEP, DRIP, NOT_SEEN])
def test_a_leak_nobody_could_see_is_neither_better_nor_worse(seen):
    assert change(NOT_SEEN, seen) is Change.NOT_SEEN
    assert change(seen, NOT_SEEN) is Change.NOT_SEEN


def test_nothing_noticed_before_does_not_make_a_dry_place_still_dry():
    assert change(NOTHING_NOTICED, DRY) is Change.NOT_SEEN


@pytest.mark.parametrize(
    ("before_mm2", "after_mm2", "expected"),
    [
        (100, 130, Change.GROWING),
        (100, 120, Change.STEADY),
        (120, 100, Change.STEADY),
        (130, 100, Change.SHRINKING),
        (None, 100, Change.STEADY),
        (100, None, Change.STEADY),
    ],
)
def test_between_equal_grades_the_wet_area_decides_beyond_a_tolerance(
    before_mm2, after_mm2, expected
):
    before = sighting(SeepageGrade.SEEP, before_mm2)
    after = sighting(SeepageGrade.SEEP, after_mm2)

    assert change(before, after) is expected


def test_a_larger_area_does_not_outweigh_a_lower_grade():
    before = sighting(SeepageGrade.DRIP, 100)
    after = sighting(SeepageGrade.SEEP, 900)

    assert change(before, after) is Change.SHRINKING


@pytest.mark.parametrize("seen", [DRY, SEEP, DRIP])
def test_comparing_a_sighting_with_itself_shows_nothing_worse(seen):
    assert change(seen, seen) in (Change.STEADY, Change.STILL_DRY)


@pytest.mark.parametrize(
    ("after_mm2", "expected"),
    [(128, Change.GROWING), (112, Change.STEADY), (92, Change.STEADY), (70, Change.SHRINKING)],
)
def test_areas_with_standard_deviations_must_differ_by_two_of_their_difference(after_mm2, expected):
    """5 and 12 mm2 make 13 mm2 of their difference (5, 12, 13: Pythagoras), so 26 mm2 count."""
    before = Sighting(INSPECTION, SeepageGrade.SEEP, area_mm2=100, area_sigma_mm2=5)
    after = Sighting(INSPECTION, SeepageGrade.SEEP, area_mm2=after_mm2, area_sigma_mm2=12)

    assert change(before, after) is expected
