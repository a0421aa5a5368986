"""What is settled, ticked off and told of a teardown on the command line."""

import pytest

from leaktrack import bootstrap
from leaktrack.cli.main import main
from leaktrack.model.redo_plan import RedoDecision, RedoTask
from leaktrack.model.redo_terms import WorkTime

TASK = "Seal"


@pytest.fixture
def plan(bench, json_of):
    return lambda *options: json_of("plan", str(bench), *options)


def test_terms_are_kept_only_where_that_is_asked_for(plan):
    assert plan("--hour-rate", "50")["weighed"]["terms"]["hour_rate"] == 50
    terms = plan("--workers", "2", "--settle")["weighed"]["terms"]
    assert (terms["hour_rate"], terms["workers"]) == (80, 2)
    assert plan()["weighed"]["terms"] == terms


def test_decisions_are_kept(plan):
    (task,) = plan("--must", TASK, "--hour-rate", "0.5")["weighed"]["tasks"]
    assert (task["decision"], task["chosen"]) == ("must", True)

    (task,) = plan("--never", TASK)["weighed"]["tasks"]
    assert (task["decision"], task["chosen"]) == ("never", False)
    assert task["worth"] > 0


def test_what_is_done_is_fixed_and_told_beside_the_plan(plan, bench, capsys):
    main(["plan", str(bench), "--must", TASK, "--keep", "as decided", "--sheet"])
    told = capsys.readouterr().out
    assert told.startswith("Day 1\n  person 1\n    [ ] +0:00  ")
    assert "Put back: Take off the intake" in told

    sheet = plan("--sheet", "--done", "Take off the intake=0.9")["sheet"]
    main(["plan", str(bench), "--done", f"{TASK}=2,5"])

    assert "done: Seal" in capsys.readouterr().out
    kinds = [line["kind"] for day in sheet["days"] for line in day["lines"]]
    assert "take-off" not in kinds  # it is off
    assert "refit" in kinds


def test_every_factor_is_told_with_where_it_comes_from(bench, capsys):
    main(["plan", str(bench), "--factors"])

    told = " ".join(capsys.readouterr().out.split())
    assert "labour of a teardown for it later" in told
    assert "own proposal" in told
    assert "recorded here" in told


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (["--must", "Polish"], "--must: Nothing is called 'Polish'. There are: Seal"),
        (["--done", "Seal=soon"], "--done Seal=soon: 'soon' are no hours"),
        (["--done", "Seal=-1"], "cannot have taken -1 h"),
        (["--must", "Seal", "--refitted", "Intake"], "--refitted: Nothing is called 'Intake'"),
    ],
)
def test_what_cannot_be_is_told_and_nothing_is_kept(bench, options, said, capsys):
    assert main(["plan", str(bench), *options]) == 1
    assert said in capsys.readouterr().err
    with bootstrap.open_project(bench) as project:
        (task,) = project.all(RedoTask)
        assert (task.decision, task.is_done) == (RedoDecision.DECIDE, False)
        assert project.all(WorkTime) == ()


def test_the_library_lists_and_adds(bench, json_of, capsys):
    offered = json_of("library", str(bench))
    pan = next(one for one in offered["offers"] if one["id"] == "pan-off")
    assert (pan["kind"], pan["taken"], pan["recorded"]) == ("step", False, 0)

    added = json_of("library", str(bench), "--add", "pick-up-screen")["added"]
    assert added[-1] == "Clean the pick-up screen and look into the pan"
    assert main(["library", str(bench), "--add", "pick-up-screen"]) == 0
    assert "has all of these already" in capsys.readouterr().out
    main(["library", str(bench)])
    assert "pick-up-screen" in capsys.readouterr().out
