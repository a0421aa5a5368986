"""Access steps and tasks from the library, fitted to an engine's joints."""

import pytest

from leaktrack.model.engine import SealKind
from leaktrack.model.errors import BadInput
from leaktrack.model.record import added
from leaktrack.model.redo_plan import AccessStep, AnyOf, RedoPart, RedoTask
from leaktrack.model.redo_problem import WorkKind
from leaktrack.workflows.read_redo_library import read_library, redo_library
from leaktrack.workflows.settle_redo import tick_off
from leaktrack.workflows.use_redo_library import add_from_library, offers
from tests.builders import a_face, a_joint, a_zone, an_engine

OWN = """
[[step]]
id = "pan-off"
name = "Pan off, our way"
hours = 0.5
needs = ["oil-drained"]

[[task]]
id = "dipstick"
name = "Renew the ring of the dipstick"
hours = 0.1
parts = [{name = "dipstick ring", count = 2}, {name = "pick", single_use = false}]
"""


@pytest.fixture
def engine(project):
    """An engine with a pan joint, a rear shaft seal and a cover."""
    engine = an_engine()
    face = a_face(engine.id)
    zone = a_zone(face.id)
    joints = [
        a_joint(zone.id, name=name, seal_kind=kind)
        for name, kind in (
            ("Oil pan joint", SealKind.LIQUID_GASKET),
            ("Rear shaft seal", SealKind.LIP_SEAL),
            ("Bank 2 cover joint", SealKind.LIQUID_GASKET),
        )
    ]
    project.apply(added(engine, face, zone, *joints))
    return engine


@pytest.fixture
def own(project, tmp_path):
    project.own_weights_file = tmp_path / "trace_weights.toml"
    return tmp_path / "redo_library.toml"


def steps(project):
    return {step.template: step for step in project.all(AccessStep)}


def test_a_task_is_offered_for_the_joints_that_it_fits(project, engine):
    found = {one.item.id: one for one in offers(project, engine.id)}

    assert found["pan-seal"].joint_names == ("Oil pan joint",)
    assert found["rear-shaft-seal"].joint_names == ("Rear shaft seal",)
    assert found["head-cover-seal"].joint_names == ("Bank 2 cover joint",)
    assert found["solenoid-seal"].joint_names == ()
    assert not any(one.is_taken for one in found.values())


def test_a_task_brings_the_steps_that_it_needs_with_their_ways_in(project, engine):
    project.apply(add_from_library(project, engine.id, ["pan-seal", "pick-up-screen"]))

    tasks = {task.template: task for task in project.all(RedoTask)}
    made = steps(project)
    assert tasks["pan-seal"].name == "Seal Oil pan joint again"
    assert tasks["pan-seal"].needs == (made["pan-off"].id,)
    assert tasks["pick-up-screen"].joint_id is None
    drained, ways = made["pan-off"].needs
    assert drained == made["oil-drained"].id
    assert ways == AnyOf(((made["engine-out"].id,), (made["crossmember-down"].id,)))
    # Both ways to the engine are there: the compressor aside, or out.
    assert {"compressor-aside", "compressor-out"} <= made.keys()
    assert "flywheel-off" not in made


def test_nothing_is_added_twice(project, engine):
    project.apply(add_from_library(project, engine.id, ["pan-seal"]))
    count = len(project.all(AccessStep))

    again = add_from_library(project, engine.id, ["pan-seal", "pick-up-screen"])
    project.apply(again)

    assert len(project.all(AccessStep)) == count
    assert sorted(task.template for task in project.all(RedoTask)) == ["pan-seal", "pick-up-screen"]
    taken = {one.item.id for one in offers(project, engine.id) if one.is_taken}
    assert {"pan-seal", "pan-off", "pick-up-screen"} <= taken


def test_what_was_written_by_hand_is_known_by_its_name(project, engine):
    battery = AccessStep(engine_id=engine.id, name="disconnect the  battery", hours=0.1)
    project.apply(added(battery))

    project.apply(add_from_library(project, engine.id, ["intake-off"]))

    assert battery.id in steps(project)["intake-off"].needs
    assert "battery-off" not in steps(project)


def test_an_own_file_replaces_and_adds(project, engine, own):
    own.write_text(OWN, encoding="utf-8")

    library = redo_library(project)
    project.apply(add_from_library(project, engine.id, ["dipstick", "pan-off"]))

    assert len([step for step in library.steps if step.id == "pan-off"]) == 1
    assert steps(project)["pan-off"].name == "Pan off, our way"
    (task,) = project.all(RedoTask)
    assert task.parts == (RedoPart("dipstick ring", 2), RedoPart("pick", is_single_use=False))


def test_recorded_times_of_all_engines_replace_the_library_s(project, engine):
    other = an_engine(name="other")
    project.apply(added(other))
    for one, hours in ((engine, 0.5), (other, 0.7), (other, 0.9)):
        project.apply(add_from_library(project, one.id, ["pulley-off"]))
        mine = next(
            step
            for step in project.all(AccessStep, engine_id=one.id)
            if step.template == "pulley-off"
        )
        project.apply(tick_off(project, mine.id, WorkKind.TAKE_OFF, hours))

    found = next(one for one in offers(project, engine.id) if one.item.id == "pulley-off")

    assert (found.estimate.hours, found.estimate.count) == (0.7, 3)
    assert found.estimate.spread_h == pytest.approx(0.2)
    assert (found.refit.hours, found.refit.count) == (0.6, 0)


def test_an_unknown_id_is_told_with_those_there_are(project, engine):
    with pytest.raises(BadInput, match=r"has no 'pan'\. It has: battery-off, .*coolant-hoses"):
        add_from_library(project, engine.id, ["pan"])


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("[[step]\n", "line 1"),
        ('\n[[step]]\nid = "a"\nname = "A"\nhours = -1', r"line 2, step 'a'.hours is -1, but"),
        ('[[step]]\nid = "a"\nname = "A"', r"line 1, step 'a' has no 'hours'"),
        ('[[step]]\nid = "a"\nname = "A"\nhours = 1\nhuors = 2', "has a field 'huors'"),
        (
            '[[step]]\nid = "a"\nname = "A"\nhours = 1\nneeds = ["b"]',
            r"line 1, step 'a'.needs\[0\] names 'b', which is no step",
        ),
        (
            '[[step]]\nid="a"\nname="A"\nhours=1\nneeds=["b"]\n\n'
            '[[step]]\nid="b"\nname="B"\nhours=1\nneeds=[{any_of=[["a"]]}]',
            "goes round in a circle: '(a' needs 'b' needs 'a|b' needs 'a' needs 'b)'",
        ),
        (
            '[[task]]\nid="a"\nname="A"\nhours=1\n[[task]]\nid="a"\nname="B"\nhours=1',
            "line 5, task 'a'.id is 'a', as that of line 1, task 'a' is",
        ),
        (
            '[[task]]\nid="a"\nname="A"\nhours=1\nseal_kinds=["rope"]',
            r"seal_kinds has 'rope'; known are liquid_gasket,",
        ),
        ('[[task]]\nid="a"\nname="A"\nhours=1\nparts=[{count=2}]', r"parts\[0\] has no 'name'"),
        ("[[tool]]\n", "the file has a field 'tool'"),
    ],
)
def test_a_bad_library_is_told_with_the_place(tmp_path, text, said):
    path = tmp_path / "redo_library.toml"
    path.write_text(text, encoding="utf-8")

    with pytest.raises(BadInput, match=said) as refused:
        read_library(path)

    assert str(path) in str(refused.value)
