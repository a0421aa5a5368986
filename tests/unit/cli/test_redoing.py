"""``leaktrack redo``: the document, the words, and what it says of what cannot be done."""

import json
from pathlib import Path

import jsonschema
import pytest

from leaktrack.cli.main import main

SCHEMAS = Path(__file__).parents[3] / "resources" / "schemas"
PROBLEM = {
    "hour_rate": 80,
    "workers": 2,
    "steps": [
        {"id": "engine out", "hours": 6, "refit_hours": 5},
        {"id": "flywheel", "hours": 1.5, "refit_hours": 1, "needs": ["engine out"]},
        {"id": "pan", "hours": 2, "refit_hours": 1, "money": 12, "needs": ["engine out"]},
        {"id": "intake", "hours": 1, "refit_hours": 1.25},
    ],
    "tasks": [
        {"id": "rear seal", "hours": 0.5, "benefit": 0, "must": True, "needs": ["flywheel"]},
        {"id": "pan bead", "hours": 1, "benefit": 300, "cure_h": 24, "needs": ["pan"]},
        {
            "id": "cover",
            "hours": 1,
            "benefit": 600,
            "cure_h": 12,
            "cure_blocks_refit": True,
            "needs": [{"any_of": [["intake"], ["engine out"]]}],
        },
    ],
}


@pytest.fixture
def run(tmp_path, capsys):
    def run(problem, *arguments):
        path = tmp_path / "plan.json"
        path.write_text(json.dumps(problem), encoding="utf-8")
        status = main(["redo", str(path), *arguments])
        return (status, *capsys.readouterr())

    return run


def schema(name):
    return json.loads((SCHEMAS / name).read_text(encoding="utf-8"))


def test_the_example_is_a_problem():
    jsonschema.validate(PROBLEM, schema("redo-problem.schema.json"))


def test_the_document_keeps_its_promise(run):
    status, out, _ = run(PROBLEM, "--json")

    told = json.loads(out)
    jsonschema.validate(told, schema("redo-answer.schema.json"))
    assert status == 0
    assert (told["state"], told["tasks"]) == ("optimal", ["rear seal", "cover"])
    assert told["steps"] == ["engine out", "flywheel"]
    # By hand: engine 11, flywheel 2.5, seal 0.5, cover 1; the cover is worth 600.
    assert told["labour_hours"] == 15
    assert told["value"] == 600 - 15 * 80
    # The engine goes back in after the cover has cured: 6 off, 1 sealed, 12 cured, 5 on.
    assert told["ready_h"] == 6 + 1 + 12 + 5
    pan = next(one for one in told["why"] if one["task"] == "pan bead")
    assert (pan["alone_hours"], pan["marginal_hours"]) == (15, 4)
    assert pan["worth_it_from"] == 4 * 80 + 12


def test_the_words_say_what_to_do_and_why(run):
    status, out, _ = run(PROBLEM)

    assert status == 0
    told = " ".join(out.split())
    assert "would be done above 332" in told
    assert "15 h of labour" in told
    assert "Ready after 24 h" in told


def test_what_cannot_be_done_says_which_requirement_makes_it_so(run):
    status, out, err = run({**PROBLEM, "hours_budget": 10}, "--json")

    told = json.loads(out)
    jsonschema.validate(told, schema("redo-answer.schema.json"))
    assert status == 0
    assert (told["state"], told["value"], told["schedule"]) == ("infeasible", None, [])
    assert "rear seal must be done and takes at least 14 h" in told["conflict"]
    assert told["conflict"] in err


def test_nothing_worth_doing_is_an_answer(run):
    tasks = [{"id": "pan bead", "hours": 1, "benefit": 1, "needs": ["pan"]}]

    _, out, _ = run({**PROBLEM, "tasks": tasks})

    assert "Nothing is worth taking the engine apart for." in out


def test_a_wrong_file_fails_with_its_place(run):
    status, out, err = run({**PROBLEM, "hour_rate": "much"}, "--json")

    assert (status, out) == (1, "")
    assert "hour_rate must be a number" in err
