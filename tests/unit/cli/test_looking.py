import re
import time

import pytest

from leaktrack import bootstrap
from leaktrack.cli.main import main
from leaktrack.model.engine import Engine
from leaktrack.model.record import added


@pytest.fixture
def far_east(monkeypatch):
    """Set the local clock 14 hours ahead of UTC, where most of the bench's days are the next."""
    if not hasattr(time, "tzset"):
        pytest.skip("only Unix lets a program choose its local clock")
    with monkeypatch.context() as patched:
        patched.setenv("TZ", "FAR-14")
        time.tzset()
        yield
    time.tzset()


def test_show_lists_engine_zones_inspections_leaks_and_causes(bench, capsys):
    assert main(["show", str(bench)]) == 0

    shown = capsys.readouterr().out
    assert "3 zones, 3 joints, 3 sealing jobs" in shown
    assert "nothing noticed > 2 seep > 3 heavy seep > 0 dry" in " ".join(shown.split())
    assert "confirmed: Cover joint" in shown
    assert "To redo: 1 task, 3.5 h of labour." in shown


def test_show_as_json_is_one_document(bench, json_of):
    engine = json_of("show", str(bench))["engines"][0]

    assert engine["name"] == "W"
    assert [leak["number"] for leak in engine["leaks"]] == [1, 2, 3]


def test_a_project_without_an_engine_says_so(empty_bench, capsys):
    assert main(["show", str(empty_bench)]) == 0
    assert capsys.readouterr().out == "This project has no engine yet.\n"


@pytest.mark.parametrize("command", ["compare", "trace", "plan", "report"])
def test_what_needs_an_engine_says_that_there_is_none(command, empty_bench, capsys):
    assert main([command, str(empty_bench)]) == 1
    assert "This project has no engine yet." in capsys.readouterr().err


def test_several_engines_have_to_be_told_apart(bench, json_of, capsys):
    with bootstrap.open_project(bench) as project:
        project.apply(added(Engine(name="Pump")))

    unnamed = main(["plan", str(bench)])
    complaint = capsys.readouterr().err
    named = json_of("plan", str(bench), "--engine", "w")

    assert unnamed == 1
    assert "several engines: W, Pump. Say which with --engine NAME." in complaint
    assert named["engine"] == "W"


def test_compare_takes_the_last_two_inspections_unless_told_otherwise(bench, json_of):
    last_two = json_of("compare", str(bench))
    first_two = json_of("compare", str(bench), "--before", "1", "--after", "2")

    assert last_two["before"]["looked_at"] < last_two["after"]["looked_at"]
    assert first_two["after"]["looked_at"] <= last_two["before"]["looked_at"]


def test_compare_takes_dates_and_newest(bench, json_of):
    by_number = json_of("compare", str(bench), "--before", "1", "--after", "4")
    first, last = by_number["before"]["looked_at"][:10], by_number["after"]["looked_at"][:10]

    assert json_of("compare", str(bench), "--before", first, "--after", last) == by_number
    assert json_of("compare", str(bench), "--before", first, "--after", "newest") == by_number


def test_compare_can_look_at_one_zone(bench, json_of):
    document = json_of("compare", str(bench), "--zone", "cover")

    assert {leak["zone"] for leak in document["leaks"]} == {"Cover"}


def test_a_leak_that_nobody_could_see_has_no_grade_in_the_document(bench, json_of):
    leaks = {leak["number"]: leak for leak in json_of("compare", str(bench))["leaks"]}

    assert leaks[3]["after"]["grade"] is None
    assert leaks[3]["after"]["word"] == "not seen"
    assert leaks[3]["change"] == "not_seen"


@pytest.mark.parametrize(
    ("option", "value", "complaint"),
    [
        ("--before", "9", "No inspection is meant by '9'. There are: 1: 2026-"),
        ("--after", "yesterday", "No inspection is meant by 'yesterday'."),
        ("--zone", "Nowhere", "None fits the zone 'Nowhere'. There are: Cover, Solenoid, Sump."),
        ("--zone", "S", "Several fit the zone 'S'. There are: Cover, Solenoid, Sump."),
    ],
)
def test_what_is_not_there_is_answered_with_what_there_is(option, value, complaint, bench, capsys):
    assert main(["compare", str(bench), option, value]) == 1
    assert complaint in capsys.readouterr().err


def test_trace_tells_candidates_with_their_reasons(bench, json_of, capsys):
    document = json_of("trace", str(bench), "--leak", "1")
    main(["trace", str(bench), "--leak", "1"])
    told = capsys.readouterr().out

    leak = document["leaks"][0]
    assert leak["state"] == "traced"
    assert leak["candidates"][0]["joint"] == "Cover joint"
    assert leak["candidates"][0]["verdict"]["state"] == "confirmed"
    assert leak["candidates"][0]["clues"][0]["sentence"] in told


def test_trace_tells_chances_that_add_up_and_what_became_of_a_redo(bench, json_of, capsys):
    document = json_of("trace", str(bench), "--leak", "2")
    main(["trace", str(bench), "--leak", "2"])
    told = " ".join(capsys.readouterr().out.split())

    (leak,) = document["leaks"]
    chances = [one["chance"] for one in (*leak["candidates"], *leak["others"])]
    assert sum(chances) == pytest.approx(1)
    assert leak["candidates"][0]["clues"][0]["weight_words"] in told
    assert leak["source"]["down_said_by"] == "upright"
    assert leak["next_check"]["sentence"] in told
    assert leak["next_check"]["defer"] in told
    assert [one["outcome"] for one in leak["verified"]] == ["still_there"]
    assert "Cover joint, sealed again 2026-04-11: still there (2026-04-25)." in told
    assert document["success"] == [
        {"seal_kind": "liquid_gasket", "material": "Blue sealant", "cured": 1, "tried": 2}
    ]


def test_a_trace_without_any_joint_line_says_that_it_is_unreliable(bench, json_of, capsys):
    document = json_of("trace", str(bench), "--leak", "3")
    main(["trace", str(bench), "--leak", "3"])

    assert document["leaks"][0]["state"] == "unreliable"
    assert "Unreliable: no line of a joint is drawn" in capsys.readouterr().out


def test_a_leak_of_that_number_may_not_be_there(bench, capsys):
    assert main(["trace", str(bench), "--leak", "7"]) == 1
    assert "There is no leak 7 here. There are: 1, 2, 3." in capsys.readouterr().err


def test_plan_tells_tasks_steps_and_cautions(bench, json_of, capsys):
    document = json_of("plan", str(bench))
    main(["plan", str(bench)])
    told = capsys.readouterr().out

    assert document["format"] == "leaktrack-plan"
    assert all(task["name"] in told.replace("\n", " ") for task in document["tasks"])
    assert f"Labour {document['hours']:.1f} h" in told


def test_plan_weighs_each_task_against_its_cost(bench, json_of, capsys):
    weighed = json_of("plan", str(bench), "--hour-rate", "50")["weighed"]
    dearer = json_of("plan", str(bench), "--hour-rate", "500")["weighed"]
    main(["plan", str(bench)])

    assert "Weighed against what it costs in one teardown:" in capsys.readouterr().out
    assert weighed["state"] == "optimal"
    for task, dear in zip(weighed["tasks"], dearer["tasks"], strict=True):
        later = task["later_hours"] * 50 + task["later_money"] + task["mess"]
        assert task["worth"] == pytest.approx(task["chance"] * later, abs=0.02)
        assert task["chance"] == dear["chance"]
        assert dear["worth"] > task["worth"]


@pytest.mark.parametrize(
    ("option", "value"), [("--hour-rate", "-1"), ("--hours-budget", "nan"), ("--workers", "0")]
)
def test_plan_refuses_terms_that_cannot_be(bench, option, value, capsys):
    assert main(["plan", str(bench), option, value]) == 1
    assert option in capsys.readouterr().err


def test_tables_become_lists_where_the_terminal_is_narrow(bench, monkeypatch, capsys):
    monkeypatch.setenv("COLUMNS", "30")

    main(["compare", str(bench)])

    lines = capsys.readouterr().out.splitlines()
    assert "Leak 1" in lines
    assert max(map(len, lines)) <= 34  # a name is never cut


def test_days_are_told_by_the_local_clock_as_the_options_take_them(bench, far_east, capsys):
    main(["show", str(bench)])
    shown = re.findall(r"^ ?4 +(\d{4}-\d\d-\d\d) ", capsys.readouterr().out, re.MULTILINE)

    assert main(["compare", str(bench), "--after", shown[0]]) == 0
