"""The tree of what comes off: where things hang, and by which way in."""

from dataclasses import replace
from uuid import uuid4

from leaktrack.gui.plan.plan_tree import NodeState, Picked, plan_tree
from leaktrack.model.redo_plan import AccessStep, AnyOf, RedoTask

ENGINE = uuid4()


def step(name, *needs, **told):
    return AccessStep(engine_id=ENGINE, name=name, hours=1.0, needs=needs, **told)


def task(name, *needs, **told):
    return RedoTask(engine_id=ENGINE, name=name, hours=1.0, needs=needs, **told)


DRAIN, INTAKE = step("Drain"), step("Intake")
LIFT = step("Lift", DRAIN.id, INTAKE.id)
ASIDE = step("Aside", position=1)
SUMP = step("Sump", AnyOf(((LIFT.id,), (ASIDE.id,))))
SEAL, LOOK = task("Seal", SUMP.id), task("Look", DRAIN.id, LIFT.id)
STEPS, TASKS = (DRAIN, INTAKE, LIFT, ASIDE, SUMP), (SEAL, LOOK)


def told(roots):
    return [(root.record.name, told(root.children)) for root in roots]


def picked(*records):
    ids = frozenset(one.id for one in records)
    return Picked(ids, ids, {})


def test_each_hangs_below_the_last_that_comes_off_before_it():
    roots = plan_tree(TASKS, STEPS, picked(DRAIN, INTAKE, LIFT, LOOK))

    assert told(roots) == [
        ("Drain", [("Lift", [("Sump", [("Seal", [])]), ("Look", [])])]),
        ("Intake", []),
        ("Aside", []),
    ]
    lift = roots[0].children[0]
    assert lift.also == ("Intake",)
    assert lift.children[1].also == ("Drain",)


def test_what_is_reached_by_a_choice_hangs_below_the_way_that_is_taken():
    roots = plan_tree(TASKS, STEPS, picked(ASIDE, SUMP, SEAL))

    (sump,) = roots[2].children
    assert (sump.record, sump.state) == (SUMP, NodeState.COMES_OFF)
    assert sump.ways == (("Aside",), ("Lift",))
    assert roots[0].state is NodeState.STAYS_ON


def test_what_is_off_and_what_is_done_is_told_apart_from_what_comes():
    off, done = replace(DRAIN, is_done=True), replace(LOOK, is_done=True)

    roots = plan_tree((SEAL, done), (off, *STEPS[1:]), picked())

    states = {node.record.name: node.state for root in roots for node in root.walk()}
    assert (states["Drain"], states["Look"], states["Seal"]) == (
        NodeState.IS_OFF,
        NodeState.DONE,
        NodeState.LEFT,
    )


def test_steps_in_a_loop_do_not_hang_the_tree():
    one, other = step("One"), step("Other")
    loop = (replace(one, needs=(other.id,)), replace(other, needs=(one.id,)))

    plan_tree((), loop, None)
