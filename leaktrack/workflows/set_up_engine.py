"""Describe an engine: its faces, zones, joints with their bolts, and the materials that seal them.

Every function checks what it is given and returns an edit; nothing is changed until it is applied.
"""

from collections.abc import Sequence
from dataclasses import replace
from typing import TypedDict, TypeVar, Unpack
from uuid import UUID

from leaktrack.model.engine import Bolt, Engine, Face, FaceSide, Joint, JointLine, SealKind, Zone
from leaktrack.model.errors import BadInput
from leaktrack.model.record import Edit, added, replaced
from leaktrack.model.sealing_job import (
    BeadPlace,
    Closing,
    Material,
    SealingJob,
    SealingRule,
    TorquePass,
)
from leaktrack.model.units import figure
from leaktrack.model.words import word
from leaktrack.workflows.check_input import check_record, checked_text
from leaktrack.workflows.find_engine import engine_id_of_zone, joints_of_engine, zones_of_engine
from leaktrack.workflows.project import Project
from leaktrack.workflows.remove_records import removal

MOST_BOLTS = 400
"""More bolts on one joint than this is a slip of the finger; own judgement."""

Part = TypeVar("Part", Engine, Face, Zone, Joint, Bolt, Material, SealingRule)
"""What this module can amend."""


class RuleFields(TypedDict, total=False):
    """The fields of a sealing rule, by their names there."""

    closing: Closing | None
    open_time_min: float | None
    skin_time_min: float | None
    cure_before_filling_h: float | None
    cure_before_running_h: float | None
    bead_min_mm: float | None
    bead_max_mm: float | None
    bead_place: BeadPlace | None
    lowest_c: float | None
    highest_c: float | None
    source: str


def new_engine(
    name: str,
    description: str = "",
    oil_capacity_ml: float | None = None,
    sides: Sequence[FaceSide] = tuple(FaceSide),
) -> tuple[Engine, Edit]:
    """Return a new engine and the edit that adds it with one face for each side.

    Raises:
        BadInput: It has no name, or the oil volume is out of reason.
    """
    engine = Engine(
        name=checked_text(name, "engine"),
        description=description.strip(),
        oil_capacity_ml=oil_capacity_ml,
    )
    check_record(engine)
    faces = [
        Face(engine_id=engine.id, side=side, name=word(side).capitalize(), position=position)
        for position, side in enumerate(dict.fromkeys(sides))
    ]
    return engine, added(engine, *faces)


def new_face(project: Project, engine_id: UUID, side: FaceSide) -> tuple[Face, Edit]:
    """Return a new face of an engine, named after its side, and the edit that adds it.

    Raises:
        BadInput: The engine has a face of that name.
        MissingRecord: There is no such engine.
    """
    project.get(Engine, engine_id)
    faces = project.all(Face, engine_id=engine_id)
    name = word(side).capitalize()
    _refuse_taken(name, [face.name for face in faces], "face")
    face = Face(engine_id=engine_id, side=side, name=name, position=_next_position(faces))
    return face, added(face)


def new_zone(project: Project, face_id: UUID, name: str) -> tuple[Zone, Edit]:
    """Return a new zone of a face, after those it has, and the edit that adds it.

    Raises:
        BadInput: It has no name, or the engine has a zone of that name.
        MissingRecord: There is no such face.
    """
    cleaned = checked_text(name, "zone")
    face = project.get(Face, face_id)
    _refuse_taken(cleaned, [zone.name for zone in zones_of_engine(project, face.engine_id)], "zone")
    zone = Zone(
        face_id=face_id, name=cleaned, position=_next_position(project.all(Zone, face_id=face_id))
    )
    return zone, added(zone)


def new_joint(
    project: Project,
    zone_id: UUID,
    name: str,
    seal_kind: SealKind,
    is_closed: bool = False,
    bolt_count: int = 0,
    length_mm: float | None = None,
) -> tuple[Joint, Edit]:
    """Return a new joint of a zone and the edit that adds it with its bolts 1 to ``bolt_count``.

    Raises:
        BadInput: It has no name, a name that the engine has already, or impossible numbers.
        MissingRecord: There is no such zone.
    """
    cleaned = checked_text(name, "joint")
    joints = joints_of_engine(project, engine_id_of_zone(project, zone_id))
    _refuse_taken(cleaned, [joint.name for joint in joints], "joint")
    _check_bolt_count(bolt_count)
    joint = Joint(
        zone_id=zone_id,
        name=cleaned,
        seal_kind=seal_kind,
        is_closed=is_closed,
        length_mm=length_mm,
        position=_next_position(project.all(Joint, zone_id=zone_id)),
    )
    check_record(joint)
    bolts = [Bolt(joint_id=joint.id, number=number) for number in range(1, bolt_count + 1)]
    return joint, added(joint, *bolts)


def set_bolt_count(project: Project, joint_id: UUID, bolt_count: int) -> Edit:
    """Return the edit that gives a joint this many bolts; the highest numbers come and go.

    Raises:
        BadInput: The number cannot be, or a bolt to be taken away stands in a joint line, a
            tightening round or a verdict.
    """
    _check_bolt_count(bolt_count)
    joint = project.get(Joint, joint_id)
    bolts = project.all(Bolt, joint_id=joint_id)
    kept = {bolt.number for bolt in bolts if bolt.number <= bolt_count}
    edit = added(
        *(
            Bolt(joint_id=joint_id, number=number)
            for number in range(1, bolt_count + 1)
            if number not in kept
        )
    )
    for bolt in sorted(bolts, key=lambda bolt: -bolt.number):
        if bolt.number > bolt_count:
            _refuse_in_use(project, joint, bolt.number)
            edit = edit.then(removal(project, bolt, f"bolt {bolt.number} of '{joint.name}'"))
    return edit


def new_material(
    name: str,
    seal_kind: SealKind,
    colour: str = "",
    note: str = "",
    **rule: Unpack[RuleFields],
) -> tuple[Material, Edit]:
    """Return a new material and the edit that adds it, with its rule if any of that is known.

    Raises:
        BadInput: It has no name, or the rule contradicts itself.
    """
    material = Material(
        name=checked_text(name, "material"),
        seal_kind=seal_kind,
        colour=colour.strip(),
        note=note.strip(),
    )
    edit = added(material)
    if any(value not in (None, "") for value in rule.values()):
        sealing_rule = SealingRule(material_id=material.id, **rule)
        _check_rule(sealing_rule)
        edit = edit.then(added(sealing_rule))
    return material, edit


def set_rule(project: Project, material_id: UUID, **rule: Unpack[RuleFields]) -> Edit:
    """Return the edit that gives a material this rule in place of the one it has.

    What is not named is not part of the rule any more.

    Raises:
        BadInput: The rule contradicts itself.
        MissingRecord: There is no such material.
    """
    project.get(Material, material_id)
    after = SealingRule(material_id=material_id, **rule)
    _check_rule(after)
    rules = project.all(SealingRule, material_id=material_id)
    if not rules:
        return added(after)
    return replaced(rules[0], replace(after, id=rules[0].id))


def amend(before: Part, after: Part) -> Edit:
    """Return the edit that puts a changed part of the set-up in place of what it was.

    Raises:
        BadInput: A name is empty or a number out of reason.
    """
    if not isinstance(after, Bolt | SealingRule):
        checked_text(after.name, type(after).__name__.lower())
    if isinstance(after, SealingRule):
        _check_rule(after)
    check_record(after)
    return replaced(before, after)


def remove_face(project: Project, face_id: UUID) -> Edit:
    """Return the edit that removes a face with its zones; refused where there is history."""
    face = project.get(Face, face_id)
    return removal(project, face, f"face '{face.name}'")


def remove_zone(project: Project, zone_id: UUID) -> Edit:
    """Return the edit that removes a zone with its joints; refused where there is history."""
    zone = project.get(Zone, zone_id)
    return removal(project, zone, f"zone '{zone.name}'")


def remove_joint(project: Project, joint_id: UUID) -> Edit:
    """Return the edit that removes a joint with bolts and lines; refused where there is history."""
    joint = project.get(Joint, joint_id)
    return removal(project, joint, f"joint '{joint.name}'")


def remove_material(project: Project, material_id: UUID) -> Edit:
    """Return the edit that removes a material with its rule; refused while a job uses it."""
    material = project.get(Material, material_id)
    return removal(project, material, f"material '{material.name}'")


def _refuse_taken(name: str, taken: Sequence[str], what: str) -> None:
    if name.casefold() in {other.casefold() for other in taken}:
        raise BadInput(f"There is a {what} called '{name}' already. Give this one another name.")


def _check_bolt_count(bolt_count: int) -> None:
    if not 0 <= bolt_count <= MOST_BOLTS:
        raise BadInput(f"A joint cannot have {bolt_count} bolts. Give 0 to {MOST_BOLTS}.")


def _next_position(siblings: Sequence[Face] | Sequence[Zone] | Sequence[Joint]) -> int:
    return max((sibling.position for sibling in siblings), default=-1) + 1


def _refuse_in_use(project: Project, joint: Joint, number: int) -> None:
    jobs = project.all(SealingJob, joint_id=joint.id)
    passes = project.all(TorquePass, sealing_job_id=[job.id for job in jobs])
    lines = project.all(JointLine, joint_id=joint.id)
    where = None
    if any(point.bolt_number == number for line in lines for point in line.points):
        where = "in the joint's line; draw the line again without it"
    elif any(number in torque_pass.bolt_numbers for torque_pass in passes):
        where = "in a round of tightening; take it out there"
    if where:
        raise BadInput(
            f"Bolt {number} of '{joint.name}' stays: it stands {where} first. Nothing was changed."
        )


def _check_rule(rule: SealingRule) -> None:
    check_record(rule)
    pairs = (
        ("bead", rule.bead_min_mm, rule.bead_max_mm, "mm"),
        ("temperature", rule.lowest_c, rule.highest_c, "°C"),
    )
    for what, lowest, highest, unit in pairs:
        if lowest is not None and highest is not None and lowest > highest:
            raise BadInput(
                f"The rule's smallest {what} ({figure(lowest, unit)}) is above its largest "
                f"({figure(highest, unit)}). Correct one of them."
            )
