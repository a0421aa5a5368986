"""What to redo on the demo engine at the time before its redo, by hand from its story.

Built from the story's words alone: its photos are not opened. The engine ran on a stand, so
battery, fluids and hoist cost nothing more.
"""

import shutil
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from leaktrack.model.record import added
from leaktrack.model.redo_benefit import ChanceFrom, Standing
from leaktrack.model.redo_plan import AccessStep, RedoDecision
from leaktrack.model.redo_problem import WorkKind
from leaktrack.model.redo_terms import RedoTerms
from leaktrack.model.sealing_job import SealingJob, TorquePass
from leaktrack.model.trace import CauseState
from leaktrack.report.composing import composed
from leaktrack.report.contents import Drawing, Facts, Table
from leaktrack.workflows import tell_demo_story, tell_demo_work
from leaktrack.workflows.gather_findings import findings_of
from leaktrack.workflows.plan_redo import amend_access_step, amend_task
from leaktrack.workflows.project import open_project
from leaktrack.workflows.record_sealing_job import record_job
from leaktrack.workflows.replan import keep_choice, replan
from leaktrack.workflows.settle_redo import decide, settle_terms, tick_off
from leaktrack.workflows.tell_demo_story import DemoStory, read_story
from leaktrack.workflows.trace_leak import set_verdict
from leaktrack.workflows.weigh_redo import redo_inputs, weighed, weighed_redo
from leaktrack.workflows.write_work_sheet import work_sheet
from tests.builders import a_photo

DEMO = Path(__file__).parents[3] / "demo_project"
RESOURCES = Path(__file__).parents[3] / "resources"
BEFORE_THE_REDO = datetime.fromisoformat("2026-04-05T00:00:00+02:00")

COVER_1 = "Seal the bank 1 cover again, new bolts with sealant"
SOLENOID_2 = "Seal the bank 2 solenoid again"
SCREEN = "Clean the pick-up screen and look into the pan"
SENDER = "Test or renew the oil pressure sender"
COVER_2 = "Seal the bank 2 cover again"
SOLENOID_1 = "Seal the bank 1 solenoid again"
REAR_SEAL = "Renew the rear shaft seal"


@pytest.fixture(scope="module")
def bench(tmp_path_factory, empty_project_folder):
    """A folder with the demo engine after the inspection of 4 April, and its story's keys."""
    folder = tmp_path_factory.mktemp("before the redo") / "bench"
    shutil.copytree(empty_project_folder, folder)
    with open_project(folder, folder.parent / "cache", RESOURCES) as project:
        return folder, tell(project).keys


@pytest.fixture(scope="module")
def inputs(bench):
    with open_project(bench[0], bench[0].parent / "cache", RESOURCES) as project:
        return redo_inputs(project, bench[1]["engine"])


@pytest.fixture(scope="module")
def found(inputs):
    return weighed(inputs)


@pytest.fixture
def project(tmp_path, bench):
    shutil.copytree(bench[0], tmp_path / "bench")
    with open_project(tmp_path / "bench", tmp_path / "cache", RESOURCES) as opened:
        yield opened


@pytest.fixture
def story(project, bench):
    return DemoStory(project, DEMO, {}, bench[1])


def tell(project):
    told = read_story(DEMO / "engine.json")
    early = {
        "runs": "started_at",
        "inspections": "looked_at",
        "jobs": "done_at",
    }
    for part, at in early.items():
        told[part] = [
            one for one in told[part] if datetime.fromisoformat(one[at]) < BEFORE_THE_REDO
        ]
    looks = {one["key"] for one in told["inspections"]}
    photos = {name: one for name, one in told["photos"].items() if one.get("inspection") in looks}
    told["marks"] = [one for one in told["marks"] if one["photo"] in photos]
    story = DemoStory(project, DEMO, told)
    tell_demo_story.tell_engine(story)
    tell_demo_story.tell_zones(story)
    tell_demo_story.tell_materials(story)
    tell_demo_story.tell_runs(story)
    tell_demo_story.tell_inspections(story)
    tell_demo_story.tell_checks(story)
    for number, (name, place) in enumerate(photos.items()):
        photo = a_photo(
            sha256=f"{number:064x}",
            original_name=name,
            width_px=2000,
            height_px=1500,
            zone_id=story.key(place["zone"]),
            inspection_id=story.key(place["inspection"]),
        )
        project.apply(added(photo))
        story.keys[name] = photo.id
    for one in told["jobs"]:
        job = SealingJob(
            joint_id=story.key(one["joint"]),
            material_id=story.key(one["material"]),
            done_at=datetime.fromisoformat(one["done_at"]),
        )
        passes = [
            TorquePass(sealing_job_id=job.id, number=number, **torque)
            for number, torque in enumerate(one["torque"], start=1)
        ]
        project.apply(record_job(project, job, torque_passes=passes))
        story.keys[one["key"]] = job.id
    tell_demo_work.tell_marks(story)
    for leak, job in ((1, "J1"), (3, "J4")):
        project.apply(
            set_verdict(
                project, story.key(f"leak {leak}"), story.key(job), CauseState.CONFIRMED, "seen"
            )
        )
    tell_demo_work.tell_redo_work(story)
    off(story, "battery", "fluids", "out")
    return story


def off(story, *keys):
    for key in keys:
        step = story.project.get(AccessStep, story.key(key))
        story.project.apply(amend_access_step(story.project, step, replace(step, is_done=True)))


def named(found, name):
    return next(one for one in found.tasks if one.task.name == name)


def names(tasks):
    return {one.task.name for one in tasks}


def test_the_two_guilty_seals_and_what_is_worth_it_while_the_engine_is_out(found):
    assert names(found.chosen) == {COVER_1, SOLENOID_2, SCREEN, SENDER, REAR_SEAL}
    assert names(found.left) == {COVER_2, SOLENOID_1}


def test_the_hours_add_up_by_hand(found):
    why = {one.task.name: one.why for one in found.tasks}

    # Intake 2.2, cover 1 0.8, pan 1.6, flywheel 1.1; tasks 1.5, 0.7, 0.8, 0.3 and 0.4.
    assert found.answer.labour_hours == pytest.approx(5.7 + 3.7)
    # Intake 12, pan 8; 38, 6, 0, 24 and 18.
    assert found.answer.money == pytest.approx(20 + 86)
    now = {name: one.marginal_hours for name, one in why.items()}
    assert now == pytest.approx(
        {
            COVER_1: 1.5 + 2.2 + 0.8,
            SOLENOID_2: 0.7,
            SCREEN: 0.8 + 1.6,
            SENDER: 0.3,
            REAR_SEAL: 0.4 + 1.1,
            COVER_2: 1.5 + 0.8,  # the intake comes off anyway
            SOLENOID_1: 0.7,
        }
    )
    # Later, from a whole engine: battery 0.4, fluids 1.1, engine 9.5, crossmember 3.6.
    later = {one.task.name: one.benefit.later_hours for one in found.tasks}
    assert later == pytest.approx(
        {
            COVER_1: 0.4 + 2.2 + 0.8 + 1.5,
            SOLENOID_2: 0.4 + 0.7,
            SCREEN: 0.4 + 1.1 + 3.6 + 1.6 + 0.8,
            SENDER: 0.4 + 1.1 + 9.5 + 0.3,
            REAR_SEAL: 0.4 + 1.1 + 9.5 + 1.1 + 0.4,
            COVER_2: 0.4 + 2.2 + 0.8 + 1.5,
            SOLENOID_1: 0.4 + 0.7,
        }
    )
    assert named(found, SCREEN).saved_hours == pytest.approx(7.5 - 2.4)


def test_a_dry_seal_has_its_own_honest_number(found):
    dry = named(found, COVER_2)

    # Four jobs ran, two of them leaked; reckoned with beforehand 10 and 1.5.
    assert dry.benefit.chance == pytest.approx((1.5 + 2) / (10 + 4))
    assert dry.benefit.chance_from is ChanceFrom.HISTORY
    # 2.3 h and 38 now, against 4.9 h, 45 - 45 + 12 + 38 and 40 of mess later.
    assert dry.worth_it_chance == pytest.approx((2.3 * 80 + 38) / (4.9 * 80 + 50 + 40))
    assert not dry.is_chosen
    standings = {factor.standing for factor in dry.benefit.factors}
    assert {Standing.RECORDED, Standing.OWN_PROPOSAL, Standing.COMPUTED} <= standings


def test_a_leak_that_grew_counts_for_more(found):
    """By hand: a heavy seep goes on with 0.85, odds 17 to 3, doubled as it grew; or it starts."""
    guilty = named(found, SOLENOID_2)

    on = 2 * 17 / (2 * 17 + 3)
    assert guilty.benefit.chance == pytest.approx(1 - (1 - on) * (1 - 0.25), abs=0.01)
    told = {factor.name: factor for factor in guilty.benefit.factors}
    assert told["leak 3 comes from here"].standing is Standing.TYPED
    assert told["leak 3 was growing at the last two looks: times its odds"].value == 2


def test_a_chance_that_a_person_types_goes_before_the_computed_one(project, story, found):
    dry = named(found, COVER_2)
    project.apply(amend_task(project, dry.task, replace(dry.task, chance=0.01)))
    inputs = redo_inputs(project, story.engine_id)
    known = inputs.foreseen[dry.task.id]
    assert (known.chance, known.said_by) == (0.01, ChanceFrom.TYPED)

    for chance in (dry.worth_it_chance - 0.01, dry.worth_it_chance + 0.01):
        typed = {**inputs.foreseen, dry.task.id: replace(known, chance=chance)}
        again = weighed(replace(inputs, foreseen=typed), is_explained=False)
        is_done = str(dry.task.id) in again.answer.tasks
        assert is_done is (chance > dry.worth_it_chance)


def test_the_hour_rate_that_is_told_is_the_one_at_which_it_turns(inputs, found):
    turns = 0
    for one in found.tasks:
        for at, step in ((one.why.rates.low, -0.01), (one.why.rates.high, 0.01)):
            if at is None or at + step < 0:
                continue
            turns += 1
            for rate, is_chosen in ((at + step, not one.is_chosen), (at - step, one.is_chosen)):
                terms = replace(found.terms, hour_rate=rate)
                again = weighed(inputs, terms, is_explained=False)
                is_done = str(one.task.id) in again.answer.tasks
                assert is_done is is_chosen, one.why.reason
    assert turns


def test_what_must_and_what_never_is_settled_and_what_it_would_be_worth_is_kept(inputs, found):
    before = found
    cover, screen = (named(before, name).task.id for name in (COVER_2, SCREEN))

    found = weighed(inputs, decisions={cover: RedoDecision.MUST, screen: RedoDecision.NEVER})

    assert COVER_2 in names(found.chosen)
    assert found.left[-1].task.name == SCREEN
    never = named(found, SCREEN)
    assert never.benefit.worth == named(before, SCREEN).benefit.worth
    assert never.why.marginal_hours == pytest.approx(2.4)
    assert never.why.reason.startswith("Never to be done. Worth ")


def test_a_must_beyond_the_budget_is_named_with_its_place(project, story, found):
    task = named(found, COVER_1).task
    project.apply(decide(project, task.id, RedoDecision.MUST))
    project.apply(settle_terms(project, RedoTerms(engine_id=story.engine_id, hours_budget=3)))

    refused = weighed_redo(project, story.engine_id)

    assert refused.answer.conflict == (
        f"Task '{COVER_1}' must be done and takes at least 4.5 h of labour, but the hours budget "
        "of the terms is 3."
    )


def test_what_is_done_is_fixed_and_what_comes_in_is_weighed(project, story, found):
    project.apply(keep_choice(found))
    intake, cover = story.key("intake"), named(found, COVER_1).task
    project.apply(tick_off(project, intake, WorkKind.TAKE_OFF, 0.8))
    project.apply(tick_off(project, story.key("cover1"), WorkKind.TAKE_OFF))
    project.apply(tick_off(project, cover.id, WorkKind.TASK, 2.0))

    again = replan(project, story.engine_id)

    assert [task.name for task in again.done] == [COVER_1]
    assert {task.name for task in again.still} == {SOLENOID_2, SCREEN, SENDER, REAR_SEAL}
    assert (again.dropped, again.found) == ((), ())
    # What was 9.4 h is less the cover with its access; the intake is off.
    assert again.weighed.answer.labour_hours == pytest.approx(9.4 - 1.5 - 2.2 - 0.8)
    (curing,) = work_sheet(project, again.weighed).curing
    assert (curing.name, curing.blocks_refit) == (COVER_1, False)
    later = datetime.now(UTC) + timedelta(hours=24)
    assert work_sheet(project, again.weighed, later).curing == ()
    estimate = again.weighed.estimates[intake, WorkKind.TAKE_OFF]
    assert (estimate.hours, estimate.count) == (0.9, 1)  # between the 1.0 written and the 0.8


def test_the_work_sheet_says_what_to_do_with_what_and_how(project, found):
    sheet = work_sheet(project, found)

    lines = [line for day in sheet.days for line in day.lines]
    cover = next(line for line in lines if line.name == COVER_1 and line.kind is WorkKind.TASK)
    assert cover.tools == ("plastic scraper", "small torque wrench")
    assert any("N m" in one for one in cover.instructions)
    # All labour, and the refits of what is off already: battery 0.2, fluids 0.5, engine 5.0.
    assert sum(line.hours for line in lines) == pytest.approx(9.4 + 5.7)
    assert all(line.end_h <= 8 + 1e-6 for line in lines if line.kind is not WorkKind.CURE)
    parts = {one.part.name: one.part.count for one in sheet.parts}
    assert parts["cover bolt with sealant"] == 11
    assert parts["liquid gasket, tube"] == 2
    assert "flywheel bolt" in parts
    # Nothing waits for a cure but the engine: the last one begins in the first two days.
    assert sheet.ready_h >= 24


def test_the_report_tells_the_choice_the_days_and_the_parts(project, story):
    findings = findings_of(project, story.engine_id, BEFORE_THE_REDO, "leaktrack")

    (section,) = (one for one in composed(findings).sections if one.heading == "What to redo")

    tables = {one.caption.split(".")[0]: one for one in section.blocks if isinstance(one, Table)}
    worth = [row[0].text for row in tables["Worth doing"].rows]
    assert set(worth) == {COVER_1, SOLENOID_2, SCREEN, SENDER, REAR_SEAL}
    left = tables["Not worth doing now, and what would change that"]
    assert {row[0].text for row in left.rows} == {COVER_2, SOLENOID_1}
    assert "Would become worth it at a chance above 46%" in left.rows[0][1].text
    assert {"Day 1", "Parts and fluids to have at hand"} <= tables.keys()
    (drawing,) = (one for one in section.blocks if isinstance(one, Drawing))
    assert f"Let cure: {COVER_1}" in drawing.alternative
    facts = dict(next(one for one in section.blocks[3:] if isinstance(one, Facts)).rows)
    assert facts["Labour of all that is worth it"] == "9.4 h"
    assert (
        facts["The same as jobs of their own, later"] == "37.3 h"
    )  # 4.9 + 1.1 + 7.5 + 11.3 + 12.5
