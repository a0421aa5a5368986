"""Read the demo engine's story, a data file, and describe the engine in a project as it says."""

import json
from dataclasses import dataclass, field, replace
from datetime import datetime
from pathlib import Path
from typing import Any
from uuid import UUID

from leaktrack.model.engine import Bolt, Face, FaceSide, SealKind
from leaktrack.model.errors import BadInput
from leaktrack.model.inspection import (
    Airflow,
    Check,
    CheckKind,
    CheckResult,
    Inspection,
    Reading,
    TestRun,
)
from leaktrack.model.photo import Light
from leaktrack.model.record import Edit, replaced
from leaktrack.model.sealing_job import (
    BeadPlace,
    Closing,
)
from leaktrack.model.shapes import PointPx
from leaktrack.workflows.project import Project
from leaktrack.workflows.record_run import record_check, record_inspection, record_run
from leaktrack.workflows.set_up_engine import (
    new_engine,
    new_joint,
    new_material,
    new_zone,
)

STORY_FILE = "engine.json"
Told = dict[str, Any]
"""A piece of the story, as the data file has it."""


@dataclass
class DemoStory:
    """The story with the keys of what has been told so far, by the names the story uses."""

    project: Project
    folder: Path
    told: Told
    keys: dict[str, UUID] = field(default_factory=dict)

    def apply(self, edit: Edit) -> None:
        """Put an edit into the project."""
        self.project.apply(edit)

    @property
    def engine_id(self) -> UUID:
        """The demo engine's key."""
        return self.keys["engine"]

    def key(self, name: str) -> UUID:
        """Return the key of something told before."""
        return self.keys[name]


_PARTS: dict[str, type] = {
    **dict.fromkeys(("engine", "bead_lines", "corrected_lines", "photos", "plan", "clip"), dict),
    **dict.fromkeys(("sides", "zones", "with_target", "beads_measured"), list),
    **dict.fromkeys(("materials", "jobs", "runs"), list),
    **dict.fromkeys(("inspections", "leaks", "marks", "checks", "causes", "steps", "tasks"), list),
}
"""What every story has."""


def read_story(path: Path) -> Told:
    """Return the story.

    Raises:
        BadInput: The file is not there, holds no story, or lacks one of its parts.
    """
    try:
        told: Told = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError) as error:
        raise _unreadable(path, str(error)) from error
    if not isinstance(told, dict):
        raise _unreadable(path, "it holds no story")
    for name, kind in _PARTS.items():
        if not isinstance(told.get(name), kind):
            raise _unreadable(path, f"its part '{name}' is missing or damaged")
    return told


def _unreadable(path: Path, why: str) -> BadInput:
    return BadInput(
        f"The demo engine's story, {path.name}, cannot be read: {why}. Install leaktrack again."
    )


def only(piece: Told, *left_out: str) -> Told:
    """Return a piece of the story without some of its fields."""
    return {name: value for name, value in piece.items() if name not in left_out}


def time_of(text: str | None) -> datetime | None:
    """Return a moment of the story, if it has one."""
    return datetime.fromisoformat(text) if text else None


def point_of(pair: list[float]) -> PointPx:
    """Return a place in a photo."""
    return PointPx(pair[0], pair[1])


def tell_engine(story: DemoStory) -> None:
    """Describe the engine with its faces."""
    sides = [FaceSide(side) for side in story.told["sides"]]
    engine, edit = new_engine(sides=sides, **story.told["engine"])
    story.apply(edit)
    story.keys["engine"] = engine.id


def tell_zones(story: DemoStory) -> None:
    """Describe zones, joints and bolts."""
    faces = {face.side.value: face.id for face in story.project.all(Face)}
    for told in story.told["zones"]:
        zone, edit = new_zone(story.project, faces[told["side"]], told["name"])
        story.apply(edit)
        story.keys[zone.name] = zone.id
        _tell_joint(story, zone.id, told["joint"])


def _tell_joint(story: DemoStory, zone_id: UUID, told: Told) -> None:
    joint, edit = new_joint(
        story.project,
        zone_id,
        told["name"],
        SealKind(told["seal_kind"]),
        told["is_closed"],
        told["bolt_count"],
        told["length_mm"],
    )
    story.apply(edit)
    story.keys[joint.name] = joint.id
    for bolt in story.project.all(Bolt, joint_id=joint.id):
        story.keys[f"{joint.name}/{bolt.number}"] = bolt.id
        stations = told["stations_mm"]
        known = replace(
            bolt,
            station_mm=stations[bolt.number - 1] if stations else None,
            opens_into_oil=True if bolt.number in told["opens_into_oil"] else None,
        )
        story.apply(replaced(bolt, known))


def tell_materials(story: DemoStory) -> None:
    """Describe materials with their rules."""
    for told in story.told["materials"]:
        rule = told["rule"]
        material, edit = new_material(
            told["name"],
            SealKind(told["seal_kind"]),
            told["colour"],
            closing=Closing(rule["closing"]),
            bead_place=BeadPlace(rule["bead_place"]) if rule["bead_place"] else None,
            **only(rule, "closing", "bead_place"),
        )
        story.apply(edit)
        story.keys[material.name] = material.id


def tell_runs(story: DemoStory) -> None:
    """Record the test runs."""
    for told in story.told["runs"]:
        run = TestRun(
            engine_id=story.engine_id,
            started_at=datetime.fromisoformat(told["started_at"]),
            unknown_facts=tuple(told.get("unknown", ())),
            **only(told, "key", "started_at", "unknown"),
        )
        story.apply(record_run(story.project, run))
        story.keys[told["key"]] = run.id


def tell_inspections(story: DemoStory) -> None:
    """Record the inspections with their readings."""
    for told in story.told["inspections"]:
        inspection = Inspection(
            engine_id=story.engine_id,
            test_run_id=story.key(told["run"]) if told["run"] else None,
            looked_at=datetime.fromisoformat(told["looked_at"]),
            cleaned_at=time_of(told["cleaned_at"]),
            airflow=Airflow(told["airflow"]),
            light=Light(told["light"]),
            unknown_facts=tuple(told["unknown"]),
            **only(
                told,
                *("key", "run", "looked_at", "cleaned_at", "airflow", "light"),
                *("unknown", "readings"),
            ),
        )
        readings = [Reading(inspection_id=inspection.id, **reading) for reading in told["readings"]]
        story.apply(record_inspection(story.project, inspection, readings))
        story.keys[told["key"]] = inspection.id


def tell_checks(story: DemoStory) -> None:
    """Record the checks."""
    for told in story.told["checks"]:
        check = Check(
            engine_id=story.engine_id,
            kind=CheckKind(told["kind"]),
            result=CheckResult(told["result"]),
            done_at=time_of(told["done_at"]),
            **only(told, "key", "kind", "result", "done_at", "photos"),
        )
        story.apply(record_check(story.project, check))
        story.keys[told["key"]] = check.id
