import pytest

from leaktrack.model.leak import SeepageGrade
from leaktrack.model.logbook import EntryKind
from leaktrack.workflows.plan_redo import keep_plan
from leaktrack.workflows.view_logbook import logbook
from tests.leaking_engine import at, tell


@pytest.fixture
def story(project):
    return tell(project)


def entry_of(project, story, record):
    return next(one for one in logbook(project, story.engine.id) if one.record_id == record.id)


def test_the_logbook_is_newest_first_with_open_checks_on_top(project, story):
    entries = logbook(project, story.engine.id)

    assert [one.record_id for one in entries[:3]] == [
        story.codes.id,
        story.inspections[3].id,
        story.runs[2].id,
    ]
    assert entries[-1].record_id == story.first_job.id


def test_every_kind_of_entry_is_listed(project, story):
    project.apply(keep_plan(project, story.engine.id, made_at=at("05-01 10:00")))

    assert {one.kind for one in logbook(project, story.engine.id)} == set(EntryKind)


def test_an_inspection_says_how_many_photos_it_has_and_how_bad_it_was(project, story):
    entry = entry_of(project, story, story.inspections[2])

    assert entry.title == "After 4 hours"
    assert entry.detail == "2 photos, 3 leaks wet"
    assert entry.grade is SeepageGrade.HEAVY_SEEP


def test_a_baseline_of_photographed_zones_without_marks_is_dry(project, story):
    assert entry_of(project, story, story.inspections[0]).grade is SeepageGrade.DRY


def test_a_sealing_job_says_joint_and_material_and_that_it_departs_from_its_rule(project, story):
    entry = entry_of(project, story, story.first_job)

    assert entry.title == "Cover joint"
    assert entry.detail.startswith("Blue sealant")
    assert entry.needs_attention


def test_a_run_with_facts_nobody_was_asked_for_needs_attention(project, story):
    entry = entry_of(project, story, story.runs[0])

    assert entry.detail == "25 min, oil 86 °C"
    assert entry.needs_attention


def test_a_failed_check_says_what_was_found(project, story):
    entry = entry_of(project, story, story.strainer)

    assert entry.detail == "failed, grey flakes"
    assert entry.needs_attention
