from dataclasses import replace
from datetime import timedelta

import pytest

from leaktrack.model.errors import BadInput
from leaktrack.model.grade_card_words import card_words
from leaktrack.model.inspection import Inspection, TestRun
from leaktrack.model.leak import Fluid, Leak, LeakMark, SeepageGrade
from leaktrack.model.oil_account import DipstickPoint
from leaktrack.model.photo import Light, Photo
from leaktrack.model.record import added, replaced
from leaktrack.model.severity import GradeLimits, GradeRule, PmcsClass, Verdict
from leaktrack.workflows.judge_leaks import grade_card
from leaktrack.workflows.mark_leaks import change_mark
from tests.leaking_engine import tell


@pytest.fixture
def story(project):
    return tell(project)


@pytest.fixture
def hanging(project, story):
    (mark,) = project.all(LeakMark, leak_id=story.gap_leak.id, photo_id=story.cover_photos[2].id)
    return mark


def _card(project, mark, limits=None, **fields):
    if fields:
        project.apply(change_mark(project, mark.id, **fields))
    return grade_card(project, mark.id, limits)


def test_a_mark_with_a_hanging_drop_is_proposed_as_a_heavy_seep(project, hanging):
    card = _card(project, hanging, grade=SeepageGrade.SEEP)

    assert card.proposal.grade is SeepageGrade.HEAVY_SEEP
    assert card.offers_other_grade


def test_a_grade_that_fits_is_not_offered_again(project, hanging):
    assert not _card(project, hanging).offers_other_grade


def test_bare_wetness_speaks_against_no_wetter_grade(project, hanging):
    card = _card(project, hanging, grade=SeepageGrade.SEEP, has_hanging_drop=None)

    assert card.proposal.grade is SeepageGrade.STAIN
    assert not card.offers_other_grade


def test_the_size_counts_for_the_time_that_somebody_gives(project, hanging):
    card = _card(project, hanging, wet_for_min=30.0)

    # The outline is a square of 120 px at 0.15 mm per px: 25 mm from corner to corner.
    assert card.seen.extent_mm == pytest.approx(25.46, abs=0.01)
    assert card.seen.extent_sigma_mm == pytest.approx(2.5, abs=0.1)
    assert card.proposal.by_extent.grade is SeepageGrade.SEEP
    assert card.proposal.grade is SeepageGrade.HEAVY_SEEP  # the drop is the worse of the two


def test_otherwise_the_time_since_the_engine_was_cleaned_counts(project, story, hanging):
    look = project.get(Inspection, story.inspections[2].id)
    cleaned = replace(look, cleaned_at=look.looked_at - timedelta(minutes=20))
    project.apply(replaced(look, cleaned))

    card = _card(project, hanging)

    assert card.seen.minutes == 20
    assert not card.is_time_told
    assert card.proposal.by_extent is not None


def test_a_size_is_measured_on_the_plane_of_the_target(project, story, hanging):
    photo = project.get(Photo, hanging.photo_id)
    # Twice as many mm to a px across as along: a surface seen from the side.
    plane = (0.3, 0.0, 0.0, 0.0, 0.15, 0.0, 0.0, 0.0, 1.0)
    project.apply(replaced(photo, replace(photo, plane=plane)))

    extent = _card(project, hanging).seen.extent_mm

    assert extent == pytest.approx(120 * (0.3**2 + 0.15**2) ** 0.5)


def test_limits_that_a_person_set_are_used(project, hanging):
    limits = GradeLimits(stain_below_mm=5, seep_below_mm=10, heavy_seep_below_mm=20)

    card = _card(project, hanging, limits, wet_for_min=10.0)

    assert (card.proposal.grade, card.proposal.fired.rule) == (SeepageGrade.DRIP, GradeRule.EXTENT)


def test_a_mark_is_judged_with_its_published_class_and_its_seal(project, story, hanging):
    card = _card(project, hanging)

    assert card.judgement.verdict is Verdict.REPAIR_IF_NECESSARY
    assert card.classes.pmcs is PmcsClass.II
    assert card.seal_kind is None
    leak = project.get(Leak, story.gap_leak.id)
    project.apply(replaced(leak, replace(leak, joint_id=story.cover_joint.id)))
    assert _card(project, hanging).seal_kind is story.cover_joint.seal_kind


def test_what_only_glows_under_the_lamp_is_told_by_the_white_photo_of_the_same_look(
    project, story, hanging
):
    look_id = story.inspections[2].id
    uv = replace(
        story.cover_photos[2],
        id=story.bead_photo.id,
        sha256=story.bead_photo.sha256,
        light=Light.UV,
        inspection_id=look_id,
    )
    project.apply(replaced(story.bead_photo, uv))
    glowing = LeakMark(leak_id=story.gap_leak.id, photo_id=uv.id, grade=SeepageGrade.SEEP)
    project.apply(added(glowing))
    project.apply(change_mark(project, hanging.id, grade=SeepageGrade.DRY))

    card = _card(project, glowing)

    assert card.proposal.fired.rule is GradeRule.ONLY_GLOWS


def test_counted_drops_are_told_as_volumes_and_until_the_lower_mark(project, story, hanging):
    run = project.get(TestRun, story.runs[1].id)
    project.apply(replaced(run, replace(run, distance_km=25.0, dipstick_after_mm=12.0)))
    ends = ((0.0, 0.0), (20.0, 1000.0))
    engine_id = story.engine.id
    project.apply(
        added(*(DipstickPoint(engine_id=engine_id, height_mm=h, volume_ml=v) for h, v in ends))
    )

    outlook = _card(project, hanging, drops_per_minute=2.0, drop_edge_mm=4.0).outlook

    per_hour = outlook.rate.ml_per_hour
    assert per_hour.low < 2 * 60 * 0.0281 < per_hour.high  # the worked drop of 2 mm radius
    assert outlook.litres_per_1000_km.low == pytest.approx(per_hour.low / 60)  # 25 km in 25 min
    # 12 mm are 600 mL, read to 1 mm, 50 mL: 500 to 700 mL within two standard deviations.
    assert outlook.hours_to_minimum.low == pytest.approx(500 / per_hour.high)
    assert outlook.hours_to_minimum.high == pytest.approx(700 / per_hour.low)


def test_drops_of_another_fluid_are_not_reckoned_as_oil(project, hanging):
    card = _card(project, hanging, drops_per_minute=2.0, fluid=Fluid.FUEL)

    assert card.outlook is None
    assert card.judgement.verdict is Verdict.STOP_AND_MEND


def test_the_words_of_a_card_follow_the_units(project, hanging):
    card = _card(project, hanging, wet_for_min=30.0, drops_per_minute=1.0)

    metric, imperial = (card_words(card, units) for units in ("metric", "imperial"))

    assert "Extent: 2 seep, 25 ± 3 mm after 30 min." in metric.details
    assert "Extent: 2 seep, 1.0 ± 0.1 in after 30 min." in imperial.details
    assert metric.amounts[0].startswith("0.88 to 3 mL an hour")
    assert "It assumes drops of 15 to 50 µL" in metric.amounts[-1]
    assert "US fl oz an hour" in imperial.amounts[0]
    assert metric.proposal == (
        "Proposed: 4 drip, as drops fall (TM 10-6640-233-10, page 2-17). Then: repair; "
        "ISO/TR 11340: 4, PMCS: class III, DIN 3761: measurable leakage."
    )
    assert "edges 0.079 to 0.24 in wide" in imperial.amounts[-1]


@pytest.mark.parametrize(
    ("fields", "what"),
    [
        ({"drop_edge_mm": 0.5}, "edge that drops hang from cannot be 0.5 mm"),
        ({"wet_for_min": -1.0}, "time it had been getting wet cannot be -1 min"),
        ({"drops_per_minute": float("nan")}, "drops per minute cannot be nan"),
        ({"is_stream": True, "do_drops_fall": False}, "drops do fall"),
    ],
)
def test_what_cannot_be_is_refused_with_the_limit(project, hanging, fields, what):
    with pytest.raises(BadInput, match=what):
        change_mark(project, hanging.id, **fields)


def test_a_place_graded_dry_has_no_drops_left(project, hanging):
    project.apply(change_mark(project, hanging.id, is_stream=True, do_drops_fall=True))
    project.apply(change_mark(project, hanging.id, grade=SeepageGrade.DRY))

    mark = project.get(LeakMark, hanging.id)
    assert (mark.is_stream, mark.do_drops_fall) == (None, None)


def test_a_pool_tells_that_drops_fell_and_how_much(project, hanging):
    card = _card(project, hanging, pool_mm=80.0)

    assert card.proposal.fired.rule is GradeRule.DROPS_FALL
    # Computed: a pool of 75 mm holds about 2.9 mL; so one of 80 mm about 3.3 mL.
    assert card.pool.low < 3.3 < card.pool.high
    told = card_words(card, "metric").amounts
    assert told[0].startswith("The pool of 80 mm holds 1.6 to 5.5 mL: it assumes")
    assert "fails a roadworthiness test" in told[1]
