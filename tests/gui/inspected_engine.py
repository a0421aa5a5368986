"""An engine with two zones and two inspections, with real photo files drawn for the test.

The cover zone has one photo at each inspection, with a joint line and a marked leak at the first.
The pan zone has a photo at the first inspection only.
"""

from dataclasses import dataclass
from datetime import UTC, datetime
from functools import cache
from pathlib import Path

from leaktrack.model.engine import (
    Bolt,
    Engine,
    Face,
    FaceSide,
    Joint,
    JointLine,
    LinePoint,
    SealKind,
    Zone,
)
from leaktrack.model.inspection import Inspection
from leaktrack.model.leak import Fluid, Leak, LeakMark, SeepageGrade
from leaktrack.model.photo import Photo
from leaktrack.model.record import added
from leaktrack.model.shapes import PointPx
from leaktrack.workflows.add_photos import add_photos
from leaktrack.workflows.project import Project
from tests.pictures import Rgb, Stain, casting, relit, stained, write_photo

STAIN = Stain(400, 470)


@dataclass(frozen=True)
class InspectedEngine:
    """The records that tests name."""

    engine: Engine
    cover: Zone
    pan: Zone
    joint: Joint
    first: Inspection
    second: Inspection
    cover_first: Photo
    cover_second: Photo
    pan_first: Photo
    leak: Leak
    mark: LeakMark
    line: JointLine


def inspect_engine(project: Project, folder: Path) -> InspectedEngine:
    """Fill an empty project; photo files are written below a folder first."""
    engine = Engine(name="Bench engine")
    face = Face(engine_id=engine.id, side=FaceSide.BANK_1, name="Bank 1")
    cover = Zone(face_id=face.id, name="Bank 1 cover")
    pan = Zone(face_id=face.id, name="Pan", position=1)
    joint = Joint(zone_id=cover.id, name="Cover joint", seal_kind=SealKind.LIQUID_GASKET)
    bolts = [Bolt(joint_id=joint.id, number=number) for number in (1, 2, 3)]
    first = Inspection(
        engine_id=engine.id, looked_at=datetime(2026, 3, 8, 10, tzinfo=UTC), title="First look"
    )
    second = Inspection(
        engine_id=engine.id, looked_at=datetime(2026, 3, 15, 10, tzinfo=UTC), title="Second look"
    )
    project.apply(added(engine, face, cover, pan, joint, *bolts, first, second))
    wet, wet_later, dry = _pictures()
    cover_first = _taken_in(project, folder / "cover_1.jpg", wet, cover, first)
    cover_second = _taken_in(project, folder / "cover_2.jpg", wet_later, cover, second)
    pan_first = _taken_in(project, folder / "pan_1.jpg", dry, pan, first)
    leak = Leak(zone_id=cover.id, number=1, joint_id=joint.id)
    mark = LeakMark(
        leak_id=leak.id,
        photo_id=cover_first.id,
        grade=SeepageGrade.SEEP,
        source_px=PointPx(400, 440),
        outline_px=(PointPx(370, 430), PointPx(430, 430), PointPx(420, 510), PointPx(380, 510)),
        fluid=Fluid.ENGINE_OIL,
    )
    points = tuple(LinePoint(PointPx(200.0 * number, 466), number) for number in (1, 2, 3))
    line = JointLine(joint_id=joint.id, photo_id=cover_first.id, points=points)
    project.apply(added(leak, mark, line))
    return InspectedEngine(
        engine, cover, pan, joint, first, second, cover_first, cover_second, pan_first, leak, mark,
        line,
    )  # fmt: skip


@cache
def _pictures() -> tuple[Rgb, Rgb, Rgb]:
    wet, _ = stained(casting(), STAIN)
    return wet, relit(wet), casting(seed=7)


def _taken_in(project: Project, path: Path, rgb: Rgb, zone: Zone, inspection: Inspection) -> Photo:
    write_photo(path, rgb)
    outcome = add_photos(project, [path], zone_id=zone.id, inspection_id=inspection.id)
    project.apply(outcome.edit)
    return outcome.added[0]
