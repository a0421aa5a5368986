import json

import pytest

from leaktrack.model.record import replaced
from leaktrack.model.warning import WarningKind
from leaktrack.workflows.show_project import summary
from tests.leaking_engine import tell


@pytest.fixture
def story(project):
    return tell(project)


@pytest.fixture
def document(project, story):
    (engine,) = summary(project)["engines"]
    return engine


def test_the_document_is_plain_json(project, story):
    document = summary(project)

    assert json.loads(json.dumps(document, allow_nan=False)) == document


def test_an_empty_project_is_an_empty_list_of_engines(project):
    assert summary(project)["engines"] == []


def test_a_leak_has_digit_and_word_at_every_inspection(document):
    gap = document["leaks"][0]

    assert [one["text"] for one in gap["grades"]] == [
        "not seen",
        "2 seep",
        "3 heavy seep",
        "0 dry",
    ]
    assert [one["grade"] for one in gap["grades"]] == [None, 2, 3, 0]
    assert [one["nothing_noticed"] for one in gap["grades"]] == [True, False, False, False]


def test_a_leak_has_its_causes_with_bolt_and_reason(document):
    (cause,) = document["leaks"][1]["causes"]

    assert (cause["state"], cause["joint"], cause["bolt"]) == ("suspected", "Cover joint", 4)
    assert cause["reason"] == "comes out at the washer"


def test_the_last_look_is_told_in_published_classes(document):
    latest = document["leaks"][1]["latest"]

    assert (latest["pmcs"], latest["iso_tr_11340"]) == ("I", 2)
    assert latest["verdict"] == "repair if necessary"


def test_zones_inspections_jobs_and_joints_are_listed(document, story):
    assert [zone["name"] for zone in document["zones"]] == ["Cover", "Solenoid", "Sump"]
    assert [joint["bolts"] for joint in document["joints"]] == [7, 0, 0]
    assert [one["photos"] for one in document["inspections"]] == [2, 2, 2, 1]
    assert document["inspections"][2]["worst"]["text"] == "3 heavy seep"
    assert document["jobs"][0]["superseded_by"] == str(story.second_job.id)


def test_a_jobs_deviations_come_with_a_sentence(document):
    late = document["jobs"][0]["deviations"][0]

    assert late["kind"] == "closed_too_late"
    assert late["sentence"] == "closed too late: 16 min, the rule says 10 min"


def test_the_redo_list_is_in_it(document):
    redo = document["redo"]

    assert (redo["state"], redo["hours"], redo["cure_h"]) == ("listed", 3.5, 24)
    assert [step["name"] for step in redo["steps"]] == ["Take off the intake"]


def test_a_redo_list_that_cannot_be_worked_out_says_why_and_spoils_nothing_else(project, story):
    looped = type(story.intake)(
        id=story.intake.id,
        engine_id=story.engine.id,
        name="Take off the intake",
        hours=1.0,
        refit_hours=0.5,
        needs=(story.intake.id,),
    )
    project.apply(replaced(story.intake, looped))

    (engine,) = summary(project)["engines"]

    assert engine["redo"]["state"] == "failed"
    assert "loop" in engine["redo"]["reason"]
    assert len(engine["leaks"]) == 3


def test_an_inspection_that_was_not_cleaned_or_warm_says_so(project, story):
    look = story.inspections[1]
    unknown = type(look)(
        id=look.id, engine_id=look.engine_id, test_run_id=look.test_run_id, looked_at=look.looked_at
    )
    project.apply(replaced(look, unknown))

    shown = summary(project)["engines"][0]["inspections"][1]["warnings"]

    kinds = {WarningKind(one["kind"]) for one in shown}
    assert kinds == {WarningKind.NOT_CLEANED, WarningKind.OIL_TEMPERATURE_UNKNOWN}
