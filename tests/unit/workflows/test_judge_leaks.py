from dataclasses import replace

import pytest

from leaktrack.model.leak import LeakMark, SeepageGrade
from leaktrack.model.severity import PmcsClass, Verdict
from leaktrack.workflows.judge_leaks import judgement, observations_of, proposed_grade
from tests.leaking_engine import tell


@pytest.fixture
def story(project):
    return tell(project)


@pytest.fixture
def hanging(project, story):
    (mark,) = project.all(LeakMark, leak_id=story.gap_leak.id, photo_id=story.cover_photos[2].id)
    return mark


def test_a_mark_with_a_hanging_drop_is_proposed_as_a_heavy_seep(story, hanging):
    seen = observations_of(replace(hanging, grade=SeepageGrade.STAIN), story.cover_photos[2])

    assert proposed_grade(seen).grade is SeepageGrade.HEAVY_SEEP


def test_the_size_counts_once_somebody_says_how_long_it_took(story, hanging):
    seen = observations_of(hanging, story.cover_photos[2], minutes=30)

    # The outline is a square of 120 px at 0.15 mm per px: 25 mm from corner to corner.
    assert seen.extent_mm == pytest.approx(25.46, abs=0.01)
    assert proposed_grade(seen).by_extent.grade is SeepageGrade.SEEP


def test_a_mark_is_judged_with_its_published_class(project, hanging):
    judged, classes = judgement(project, hanging.id)

    assert judged.verdict is Verdict.REPAIR_IF_NECESSARY
    assert classes.pmcs is PmcsClass.II
