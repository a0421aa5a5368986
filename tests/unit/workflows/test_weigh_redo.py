"""What doing each task now is worth, on the engine whose leaks are told in ``leaking_engine``."""

from dataclasses import replace

import pytest

from leaktrack.analysis.redoing.benefiting import GOES_ON
from leaktrack.model.inspection import TestRun
from leaktrack.model.leak import LeakMark, SeepageGrade
from leaktrack.model.record import added, removed, replaced
from leaktrack.model.redo_benefit import ChanceFrom
from leaktrack.model.redo_terms import RedoTerms
from leaktrack.model.trace import CauseState
from leaktrack.workflows.trace_leak import set_verdict, trace
from leaktrack.workflows.weigh_redo import weighed_redo
from tests.builders import a_face, a_job, a_joint, a_zone, an_engine
from tests.leaking_engine import tell


@pytest.fixture
def story(project):
    return tell(project)


def weighed(project, story, **terms):
    return weighed_redo(project, story.engine.id, RedoTerms(engine_id=story.engine.id, **terms))


def of(found, task):
    return next(one.benefit for one in found.tasks if one.task.id == task.id)


def test_a_worth_is_the_chance_times_a_teardown_of_its_own(project, story):
    benefit = of(weighed(project, story, hour_rate=100, mess=50), story.cover_task)

    assert benefit.later_hours == 3.5
    assert benefit.worth == pytest.approx(benefit.chance * (3.5 * 100 + benefit.later_money + 50))


def test_a_leak_that_is_still_wet_after_a_redo_speaks_for_sealing_again(project, story):
    """Traced to the joint by both of its jobs, last seen wet: neither dry nor mended."""
    found = trace(project, story.bolt_leak.id)
    comes = sum(one.chance for one in found.candidates if one.joint == story.cover_joint)

    benefit = of(weighed(project, story), story.cover_task)

    assert (benefit.chance_from, benefit.about_ids) == (ChanceFrom.LEAKS, (story.bolt_leak.id,))
    least = comes * min(GOES_ON.values())
    assert least < benefit.chance < 1


def test_a_confirmed_cause_counts_as_certain(project, story):
    before = of(weighed(project, story), story.cover_task)
    for job in (story.first_job, story.second_job):
        project.apply(
            set_verdict(
                project, story.bolt_leak.id, job.id, CauseState.CONFIRMED, "seen", story.bolt_4.id
            )
        )

    after = of(weighed(project, story), story.cover_task)

    assert after.chance >= before.chance


def test_a_dry_seal_has_the_chance_of_its_kind(project, story):
    project.apply(removed(story.bolt_cause))
    for mark in project.all(LeakMark, leak_id=story.bolt_leak.id):
        project.apply(replaced(mark, replace(mark, grade=SeepageGrade.DRY)))

    benefit = of(weighed(project, story), story.cover_task)

    assert benefit.chance_from is ChanceFrom.HISTORY
    # One of the kind's jobs was confirmed as the cause of a leak.
    assert 0.1 < benefit.chance < 0.5


def test_how_seals_fared_on_the_workshop_s_other_engines_counts(project, story):
    project.apply(removed(story.bolt_cause))
    for mark in project.all(LeakMark, leak_id=story.bolt_leak.id):
        project.apply(replaced(mark, replace(mark, grade=SeepageGrade.DRY)))
    before = of(weighed(project, story), story.cover_task)
    engine, kind = an_engine(), story.cover_joint.seal_kind
    face = a_face(engine.id)
    zone = a_zone(face.id)
    joints = [a_joint(zone.id, name=name, seal_kind=kind) for name in "ab"]
    jobs = [a_job(joint.id) for joint in joints]
    run = TestRun(engine_id=engine.id, started_at=jobs[0].done_at)
    project.apply(added(engine, face, zone, *joints, *jobs, run))

    after = of(weighed(project, story), story.cover_task)

    # Two more jobs of its kind that ran and stayed dry.
    ran = next(f.value for f in before.factors if f.name.startswith("jobs of this kind"))
    assert after.chance == pytest.approx(before.chance * (10 + ran) / (12 + ran))


def test_dear_labour_makes_a_separate_teardown_dear_too(project, story):
    cheap = of(weighed(project, story, hour_rate=10), story.cover_task)
    dear = of(weighed(project, story, hour_rate=200), story.cover_task)

    assert dear.worth > cheap.worth


def test_a_task_that_is_done_is_weighed_no_more(project, story):
    project.apply(replaced(story.cover_task, replace(story.cover_task, is_done=True)))

    assert weighed(project, story).tasks == ()


def test_a_budget_of_nothing_chooses_nothing(project, story):
    found = weighed(project, story, hours_budget=0)

    assert found.answer.tasks == ()
    assert not found.answer.conflict
