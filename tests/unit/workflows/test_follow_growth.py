"""Growth, heat and beads out of the records of an engine."""

from dataclasses import replace

import pytest

from leaktrack.model.growth import GrowthGap, Measure, TrendState
from leaktrack.model.growth_words import growth_sentences
from leaktrack.model.heat import HeatGap
from leaktrack.model.record import replaced
from leaktrack.model.sealant import WaitKind
from leaktrack.model.sealant_words import bead_sentences, missing_for_sums
from leaktrack.workflows.follow_growth import growth_of
from leaktrack.workflows.view_sealing_job import job_view
from leaktrack.workflows.weigh_heat import heat_between
from leaktrack.workflows.work_out_bead import bead_sums
from tests.leaking_engine import tell


@pytest.fixture
def story(project):
    return tell(project)


def test_a_leak_s_history_is_told_by_running_hours(project, story):
    found = growth_of(project, story.gap_leak.id)

    assert [point.hours for point in found.points] == pytest.approx([25 / 60, 50 / 60, 75 / 60])
    assert [point.area_mm2 for point in found.points] == pytest.approx([36.0, 324.0, 0.0])
    assert found.trend(Measure.AREA).gap is GrowthGap.TOO_FEW
    assert "cannot be told from chance: 3 looks" in growth_sentences(found)[0]


def test_a_wipe_between_looks_is_found_in_the_records(project, story):
    last = story.inspections[3]
    wiped = replace(last, cleaned_at=story.second_job.done_at)
    project.apply(replaced(last, wiped))

    found = growth_of(project, story.gap_leak.id)

    assert [point.series for point in found.points] == [0, 0, 1]
    assert growth_sentences(found) == (
        "Growth and the time to the next grade cannot be told: 1 look since the last wipe, and "
        "4 are needed.",
    )
    until = growth_of(project, story.gap_leak.id, story.inspections[2].id)
    assert until.trend(Measure.AREA).looks == 2
    assert until.trend(Measure.AREA).state is TrendState.CANNOT_SAY


def test_heat_needs_the_oil_s_grade(project, story):
    first, second = story.inspections[1:3]
    assert heat_between(project, first.id, second.id).missing == (HeatGap.OIL_GRADE,)

    project.apply(replaced(second, replace(second, oil_grade="5W-30")))
    found = heat_between(project, first.id, second.id)

    assert found.hours == 2.0
    assert found.oil.likely == pytest.approx(2.0)  # 86 C in both runs
    assert found.rate.likely == pytest.approx(1.0)


def test_the_baseline_had_not_run(project, story):
    first, second = story.inspections[:2]

    assert HeatGap.NOT_RUN_BEFORE in heat_between(project, first.id, second.id).missing


def sums_of(project, job, joint, **fields):
    changed = replace(job, **fields)
    project.apply(replaced(job, changed))
    view = job_view(project, job.id)
    return bead_sums(view.job, joint, view.rule, view.first_run_at)


def test_a_job_s_bead_is_worked_out(project, story):
    """Computed: a round 2 mm bead spreads 31.42 mm in 0.1 mm; 7.069 mL a metre for 3 mm."""
    joint = replace(story.cover_joint, gap_mm=0.1, face_mm=8.0, length_mm=1000.0)
    sums = sums_of(
        project, story.first_job, joint, bead_mm=2.0, temperature_c=33.0, humidity_percent=50.0
    )

    assert sums.film_mm.most == pytest.approx(31.42, abs=0.005)
    assert sums.ml.most == pytest.approx(3.1416, abs=0.0001)
    assert sums.face_bead_mm.least == pytest.approx(1.009, abs=0.0005)
    (wait,) = sums.waits
    assert (wait.kind, wait.rule_h * 60) == (WaitKind.OPEN, 10)
    assert wait.here_h.likely * 60 == pytest.approx(5.0)
    assert wait.actual_h * 60 == pytest.approx(16.0)
    told = " ".join(bead_sentences(sums))
    assert "some is squeezed out past the edges" in told
    assert "Open time: the rule says 10 min; at 33 °C and 50 % humidity that is about 5 min" in told
    assert missing_for_sums(sums) == ()


def test_a_time_within_the_rule_may_be_too_long_in_this_air(project, story):
    sums = sums_of(
        project,
        story.first_job,
        story.cover_joint,
        temperature_c=38.0,
        bead_laid_at=story.first_job.closed_at.replace(minute=38),
    )

    assert "within the rule but perhaps not in this air" in " ".join(bead_sentences(sums))


def test_what_is_not_recorded_is_named_and_nothing_is_made_up(project, story):
    sums = sums_of(project, story.first_job, story.cover_joint)

    assert sums.film_mm is None
    assert sums.waits[0].here_h is None
    assert missing_for_sums(sums) == (
        "the bead's width",
        "the joint's gap",
        "the width of the joint's face",
        "the air temperature",
        "the air humidity",
    )


def test_only_liquid_gaskets_have_a_bead(project, story):
    assert bead_sums(story.first_job, story.sump_gasket, None, None) is None
