import json
from copy import deepcopy

import pytest

from leaktrack.model.errors import BadInput
from leaktrack.model.redo_problem import AnyOf
from leaktrack.workflows.read_redo_problem import problem_of, read_redo_problem

WHOLE = {
    "hour_rate": 80,
    "steps": [
        {"id": "out", "hours": 6, "refit_hours": 5, "done": True},
        {"id": "pan", "hours": 2, "money": 12.5, "needs": ["out"]},
    ],
    "tasks": [
        {
            "id": "pan",
            "hours": 1,
            "benefit": 350,
            "cure_h": 24,
            "needs": [{"any_of": [["pan"], ["out"]]}],
        }
    ],
}


def changed(path, value):
    """The problem with one value changed; the path is keys and numbers."""
    told = deepcopy(WHOLE)
    inner = told
    for key in path[:-1]:
        inner = inner[key]
    inner[path[-1]] = value
    return told


def test_a_problem_is_read_with_its_defaults():
    named = problem_of(WHOLE)

    problem = named.problem
    assert (problem.workers, problem.hours_budget, problem.money_budget) == (1, None, None)
    assert problem.steps[0].is_done
    assert problem.tasks[0].needs == (AnyOf((("pan",), ("out",))),)


def test_a_task_may_be_called_as_a_step_is():
    named = problem_of(WHOLE)

    (task,) = named.problem.tasks
    assert task.id != "pan"
    assert named.names[task.id] == "pan"


@pytest.mark.parametrize(
    ("path", "value", "said"),
    [
        (("steps", 1, "needs"), ["pann"], r"steps\[1\].needs\[0\] names 'pann', which is no step"),
        (("steps", 0, "needs"), ["pan"], r"steps\[\d\].needs goes round in a circle: '"),
        (("steps", 1, "needs"), ["pan"], "'pan' needs 'pan'"),
        (("steps", 0, "hours"), -2, r"steps\[0\].hours is -2, but cannot be below 0"),
        (("tasks", 0, "hours"), "1", r'tasks\[0\].hours must be a number, not "1"'),
        (("tasks", 0, "hours"), True, r"tasks\[0\].hours must be a number"),
        (("tasks", 0, "must"), 1, r"tasks\[0\].must must be true or false"),
        (("tasks", 0, "bonus"), 1, r"tasks\[0\] has a field 'bonus' that nobody knows"),
        (("tasks", 0, "needs"), [["pan"]], r"tasks\[0\].needs\[0\] must be a step's id or"),
        (("tasks", 0, "needs"), [{"any_of": []}], r"any_of must be a list with at least one"),
        (("tasks", 0, "needs"), [{"any_of": [[1]]}], r"any_of\[0\] must be a list of steps' ids"),
        (("steps", 1, "id"), "out", r"steps\[1\].id is 'out', as that of steps\[0\] is"),
        (("workers",), 0, "workers must be a whole number from 1"),
        (("workers",), 1.5, "workers must be a whole number from 1"),
        (("hours_budget",), -1, "hours_budget is -1, but cannot be below 0"),
        (("steps",), {}, "steps must be a list"),
    ],
)
def test_what_is_wrong_is_said_with_its_place(path, value, said):
    with pytest.raises(BadInput, match=said):
        problem_of(changed(path, value))


@pytest.mark.parametrize("key", ["steps", "tasks", "hour_rate"])
def test_what_is_missing_is_named(key):
    told = {name: value for name, value in WHOLE.items() if name != key}

    with pytest.raises(BadInput, match=f"has no '{key}'"):
        problem_of(told)


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"{", "is no JSON: .* line 1"),
        (b"[]", "must be an object in braces"),
        (b"\xff\xfe\x00", "no text in UTF-8"),
        (b'{"hour_rate": NaN, "steps": [], "tasks": []}', "NaN is no number"),
        (b'{"hour_rate": 1e999, "steps": [], "tasks": []}', "must be a number"),
        (b"[" * 100_000, "nested too deeply"),
    ],
)
def test_a_file_that_is_no_problem_is_refused_by_name(tmp_path, content, said):
    path = tmp_path / "plan.json"
    path.write_bytes(content)

    with pytest.raises(BadInput, match=f"plan.json.*{said}"):
        read_redo_problem(path)


def test_a_missing_file_is_said(tmp_path):
    with pytest.raises(BadInput, match=r"plan.json cannot be opened"):
        read_redo_problem(tmp_path / "plan.json")


def test_a_file_with_a_byte_order_mark_is_read(tmp_path):
    path = tmp_path / "plan.json"
    path.write_text(json.dumps(WHOLE), encoding="utf-8-sig")

    assert read_redo_problem(path).problem.hour_rate == 80
