"""An engine is described once, and what cannot be is refused with what to do."""

from dataclasses import replace

import pytest

from leaktrack.model.engine import Bolt, Engine, Face, FaceSide, Joint, JointLine, SealKind, Zone
from leaktrack.model.errors import BadInput, MissingRecord
from leaktrack.model.identity import new_id
from leaktrack.model.sealing_job import Material, SealingRule
from leaktrack.workflows.set_up_engine import (
    amend,
    new_engine,
    new_joint,
    new_material,
    new_zone,
    remove_joint,
    remove_material,
    remove_zone,
    set_bolt_count,
    set_rule,
)


def test_a_new_engine_has_one_face_for_each_side(project):
    engine, edit = new_engine("  W7 ", sides=[FaceSide.BANK_2, FaceSide.TOP])

    project.apply(edit)

    assert project.get(Engine, engine.id).name == "W7"
    faces = project.all(Face, engine_id=engine.id)
    assert [(face.side, face.name) for face in faces] == [
        (FaceSide.BANK_2, "Bank 2"),
        (FaceSide.TOP, "Top"),
    ]


def test_a_new_engine_has_all_six_sides_unless_told_otherwise():
    _, edit = new_engine("W7")

    assert len(edit.changes) == 1 + len(FaceSide)


@pytest.mark.parametrize("name", ["", "   ", "\t\n"])
def test_an_engine_without_a_name_is_refused(name):
    with pytest.raises(BadInput, match=r"engine has no name. Type a name"):
        new_engine(name)


@pytest.mark.parametrize("oil_ml", [-1, float("nan"), float("inf")])
def test_an_impossible_amount_of_oil_is_refused(oil_ml):
    with pytest.raises(BadInput, match=r"oil capacity cannot be .* between 0 mL and"):
        new_engine("W7", oil_capacity_ml=oil_ml)


def test_zones_and_joints_stand_behind_those_that_are_there(project, filled):
    zone, zone_edit = new_zone(project, filled.face.id, "Rear")
    joint, joint_edit = new_joint(project, filled.zone.id, "Sump", SealKind.GASKET)

    project.apply(zone_edit.then(joint_edit))

    assert project.all(Zone, face_id=filled.face.id)[-1] == zone
    assert project.all(Joint, zone_id=filled.zone.id)[-1] == joint


def test_two_zones_of_one_engine_cannot_share_a_name(project, filled):
    with pytest.raises(BadInput, match="zone called 'COVER' already"):
        new_zone(project, filled.face.id, "COVER")


def test_zones_of_two_engines_may_share_a_name(project, filled):
    zone, _ = new_zone(project, filled.other_face.id, filled.zone.name)

    assert zone.name == filled.zone.name


def test_a_zone_needs_a_face_that_is_there(project):
    with pytest.raises(MissingRecord):
        new_zone(project, new_id(), "Rear")


def test_a_joint_gets_its_bolts_numbered_from_one(project, filled):
    joint, edit = new_joint(project, filled.zone.id, "Sump", SealKind.GASKET, bolt_count=3)

    project.apply(edit)

    assert [bolt.number for bolt in project.all(Bolt, joint_id=joint.id)] == [1, 2, 3]


@pytest.mark.parametrize("bolt_count", [-1, 401])
def test_a_joint_with_an_impossible_number_of_bolts_is_refused(project, filled, bolt_count):
    with pytest.raises(BadInput, match=f"cannot have {bolt_count} bolts"):
        new_joint(project, filled.zone.id, "Sump", SealKind.GASKET, bolt_count=bolt_count)


@pytest.mark.parametrize("length_mm", [0, -5])
def test_a_joint_without_length_is_refused(project, filled, length_mm):
    with pytest.raises(BadInput, match="length of the joint cannot be"):
        new_joint(project, filled.zone.id, "Sump", SealKind.GASKET, length_mm=length_mm)


def test_more_bolts_are_added_behind_the_last_one(project, filled):
    project.apply(set_bolt_count(project, filled.joint.id, 8))

    bolts = project.all(Bolt, joint_id=filled.joint.id)
    assert sorted(bolt.number for bolt in bolts) == [1, 2, 3, 4, 5, 6, 7, 8]
    assert set(filled.bolts) < set(bolts)


@pytest.mark.parametrize(
    ("bolt_count", "where"),
    [(5, "in a round of tightening"), (2, "in a round of tightening")],
)
def test_a_bolt_that_history_names_stays(project, filled, bolt_count, where):
    with pytest.raises(BadInput, match=where):
        set_bolt_count(project, filled.joint.id, bolt_count)


def test_a_material_is_stored_with_its_rule(project):
    material, edit = new_material(
        "Grey sealant", SealKind.LIQUID_GASKET, open_time_min=5, source="its tube"
    )

    project.apply(edit)

    (rule,) = project.all(SealingRule, material_id=material.id)
    assert (rule.open_time_min, rule.source) == (5, "its tube")


def test_a_material_of_which_nothing_is_known_has_no_rule(project):
    material, edit = new_material("Green ring", SealKind.O_RING, open_time_min=None, source="")

    project.apply(edit)

    assert project.get(Material, material.id) == material
    assert project.all(SealingRule, material_id=material.id) == ()


def test_a_rule_takes_the_place_of_the_one_before(project, filled):
    project.apply(set_rule(project, filled.material.id, cure_before_running_h=24))

    (rule,) = project.all(SealingRule, material_id=filled.material.id)
    assert (rule.id, rule.cure_before_running_h, rule.open_time_min) == (filled.rule.id, 24, None)


@pytest.mark.parametrize(
    ("fields", "reason"),
    [
        ({"bead_min_mm": 4, "bead_max_mm": 3}, r"smallest bead \(4 mm\) is above its largest"),
        ({"lowest_c": 30, "highest_c": 5}, r"smallest temperature \(30 °C\)"),
        ({"open_time_min": -1}, "open time cannot be -1 min"),
    ],
)
def test_a_rule_that_cannot_be_is_refused(project, filled, fields, reason):
    with pytest.raises(BadInput, match=reason):
        set_rule(project, filled.material.id, **fields)


def test_an_amended_name_must_not_be_empty(filled):
    with pytest.raises(BadInput, match="zone has no name"):
        amend(filled.zone, replace(filled.zone, name=" "))


def test_a_zone_with_photos_and_leaks_stays(project, filled):
    with pytest.raises(
        BadInput, match="2 sealing jobs, 2 leaks, 1 check, 1 redo task and 2 photos"
    ):
        remove_zone(project, filled.zone.id)


def test_a_joint_with_sealing_jobs_stays(project, filled):
    with pytest.raises(BadInput, match=r"2 sealing jobs, 1 leak, 1 check.*Move or remove these"):
        remove_joint(project, filled.joint.id)


def test_a_joint_without_history_goes_with_its_bolts_and_lines(project, filled):
    joint, edit = new_joint(project, filled.zone.id, "Sump", SealKind.GASKET, bolt_count=2)
    line = JointLine(joint_id=joint.id, photo_id=filled.later.id, points=filled.line.points)
    project.apply(edit)
    project.apply(replace(edit, changes=(replace(edit.changes[0], after=line),)))

    project.apply(remove_joint(project, joint.id))

    assert project.find(Joint, joint.id) is None
    assert project.all(Bolt, joint_id=joint.id) == ()
    assert project.all(JointLine, joint_id=joint.id) == ()


def test_a_material_that_a_job_used_stays(project, filled):
    with pytest.raises(BadInput, match=r"'Blue sealant' stays, .* needed by 1 sealing job"):
        remove_material(project, filled.material.id)


def test_large_bounds_are_told_as_people_write_them(project, filled):
    too_much = replace(filled.engine, oil_capacity_ml=99_999_999.0)

    with pytest.raises(BadInput, match=r"cannot be 99 999 999 mL.* 1 000 000 mL"):
        amend(filled.engine, too_much)
