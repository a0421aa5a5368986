"""From records of looks and runs to between which hours a seal began to leak."""

from datetime import timedelta
from math import inf

import pytest

from leaktrack.model.engine import SealKind
from leaktrack.model.identity import new_id
from leaktrack.model.inspection import Inspection, TestRun
from leaktrack.model.leak import SeepageGrade
from leaktrack.model.record import added, replaced
from leaktrack.model.seal_life import DryTime, SealRecord
from leaktrack.model.seal_life_words import group_sentence, rule_sentence
from leaktrack.model.sealing_job import Material, SealingRule
from leaktrack.model.trace import Cause, CauseState
from leaktrack.workflows.tell_seal_history import (
    NOT_LOOKED_AT,
    NOT_TIMED,
    WET_BEFORE_RUNNING,
    history_report,
    seal_history,
)
from tests.builders import (
    A_MOMENT,
    a_face,
    a_job,
    a_joint,
    a_leak,
    a_mark,
    a_photo,
    a_zone,
    an_engine,
)
from tests.unit.analysis.cosmesis import RCT, RT

DAY = timedelta(days=1)


class Bench:
    """One engine with one joint, run for two hours each day and looked at in the evening."""

    def __init__(self, project):
        self.project = project
        self.engine = an_engine()
        face = a_face(self.engine.id)
        self.zone = a_zone(face.id)
        self.material = Material(name="Grey", seal_kind=SealKind.LIQUID_GASKET)
        self.joint = a_joint(self.zone.id)
        self.job = a_job(self.joint.id, material_id=self.material.id, bead_mm=5.0)
        project.apply(added(self.engine, face, self.zone, self.material, self.joint, self.job))
        self.looks = {}

    def run_and_look(self, *days, minutes=120.0):
        for day in days:
            at = A_MOMENT + day * DAY
            run = TestRun(engine_id=self.engine.id, started_at=at, minutes=minutes)
            look = Inspection(engine_id=self.engine.id, looked_at=at + DAY / 4)
            photo = a_photo(zone_id=self.zone.id, inspection_id=look.id, sha256=f"{day:064x}")
            self.project.apply(added(run, look, photo))
            self.looks[day] = photo

    def leak(self, grades, **fields):
        leak = a_leak(self.zone.id, **{"joint_id": self.joint.id, **fields})
        marks = [a_mark(leak.id, self.looks[day].id, grade=grade) for day, grade in grades.items()]
        self.project.apply(added(leak, *marks))
        return leak

    def times(self):
        return [one.time for one in seal_history(self.project).records]


@pytest.fixture
def bench(project):
    return Bench(project)


def test_a_leak_began_between_the_last_dry_look_and_the_first_wet_one(bench):
    bench.run_and_look(1, 2, 3)
    bench.leak({2: SeepageGrade.DRY, 3: SeepageGrade.SEEP})

    assert bench.times() == [DryTime(4.0, 6.0)]


def test_a_photo_without_marks_saw_it_dry_before_it_was_known(bench):
    bench.run_and_look(1, 2, 3)
    bench.leak({3: SeepageGrade.STAIN})

    assert bench.times() == [DryTime(4.0, 6.0)]


def test_what_nobody_saw_is_never_dry(bench):
    bench.run_and_look(1, 2, 3)
    bench.leak({1: SeepageGrade.DRY, 2: SeepageGrade.NOT_SEEN, 3: SeepageGrade.DRIP})

    assert bench.times() == [DryTime(2.0, 6.0)]


def test_a_joint_that_never_leaked_was_dry_as_long_as_it_was_looked_at(bench):
    bench.run_and_look(1, 2)

    assert bench.times() == [DryTime(4.0, inf)]


def test_sealing_again_ends_the_first_seal_s_time(bench):
    bench.run_and_look(1, 2, 4, 5)
    bench.leak({2: SeepageGrade.SEEP, 4: SeepageGrade.DRY, 5: SeepageGrade.DRY})
    bench.project.apply(added(a_job(bench.joint.id, done_at=A_MOMENT + 3 * DAY)))

    assert bench.times() == [DryTime(2.0, 4.0), DryTime(4.0, inf)]


def test_a_leak_that_a_person_ruled_out_or_blames_elsewhere_does_not_count(bench):
    bench.run_and_look(1, 2)
    leak = bench.leak({2: SeepageGrade.SEEP})
    bench.project.apply(
        added(
            Cause(
                leak_id=leak.id,
                sealing_job_id=bench.job.id,
                state=CauseState.RULED_OUT,
                reason="dry there",
                decided_at=A_MOMENT,
            )
        )
    )

    assert bench.times() == [DryTime(4.0, inf)]


@pytest.mark.parametrize(
    ("prepare", "why"),
    [
        (lambda bench: None, NOT_LOOKED_AT),
        (lambda bench: bench.run_and_look(1, minutes=None), NOT_TIMED),
        (
            lambda bench: (
                bench.run_and_look(1, minutes=0.0),
                bench.leak({1: SeepageGrade.SEEP}),
            ),
            WET_BEFORE_RUNNING,
        ),
    ],
)
def test_a_job_that_says_nothing_is_left_out_and_counted(bench, prepare, why):
    prepare(bench)
    report = seal_history(bench.project)

    assert report.left_out == ((why, 1),)
    assert report.groups == ()


def test_whether_the_rule_was_kept_is_asked_of_the_job(bench):
    bench.run_and_look(1)
    kept = lambda: [one.kept_rule for one in seal_history(bench.project).records]  # noqa: E731
    assert kept() == [None]

    rule = SealingRule(material_id=bench.material.id, bead_min_mm=2.0, bead_max_mm=6.0)
    bench.project.apply(added(rule))
    assert kept() == [True]

    narrow = SealingRule(id=rule.id, material_id=bench.material.id, bead_max_mm=3.0)
    bench.project.apply(replaced(rule, narrow))
    assert kept() == [False]


def records_of(times, kept_rule):
    return [
        SealRecord(
            job_id=new_id(),
            engine="W",
            joint="Cover",
            kind="gasket",
            material="",
            kept_rule=kept_rule,
            time=time,
        )
        for time in times
    ]


def test_leaving_the_rule_is_told_with_its_interval():
    """The published data of two treatments stand in for two kinds of work; ratio 2.500."""
    report = history_report([*records_of(RT, True), *records_of(RCT, False)])

    assert report.hazard_ratio.value == pytest.approx(2.5, abs=0.001)
    assert "2.5 times as fast (1.4 to 4.4)" in rule_sentence(report)
    whole = report.groups[0]
    assert "Half of them within 29 h (25 to 35)" in group_sentence(whole)
    assert [one.by for one in report.groups] == ["all", "seal kind", "rule", "rule"]


def test_too_few_are_said_to_be_too_few():
    report = history_report(records_of([DryTime(2.0, 4.0), DryTime(6.0)], True))

    assert group_sentence(report.groups[0]).endswith("Too few to say how long they last.")
    assert report.groups[0].law is None
    assert "cannot be told" in rule_sentence(report)
