"""Joints and scenes for tests that trace: one photo of 2000 x 1500 px at 0.15 mm per px."""

from dataclasses import replace
from datetime import UTC, datetime

from leaktrack.analysis.sourcing import found_source, trail
from leaktrack.analysis.suspecting import Scene, Suspect
from leaktrack.analysis.tracing import Traced, traced
from leaktrack.model.engine import Bolt, FaceSide, Joint, JointLine, LinePoint, SealKind
from leaktrack.model.identity import new_id
from leaktrack.model.sealing_job import SealingJob
from leaktrack.model.shapes import PointPx
from leaktrack.model.trace import Candidate, Origin, OtherOrigin
from tests.unit.analysis.trace_weights import WEIGHTS

NOON = datetime(2026, 3, 21, 12, tzinfo=UTC)
PHOTO = new_id()
SIZE = (2000, 1500)
MM_PER_PX = 0.15


def suspect(name, y_px=None, has_heads=True, bolt_count=8, **fields):
    """A joint with bolts 4 to 7 every 200 px on a level line, heads 100 px above it."""
    joint = Joint(zone_id=new_id(), name=name, seal_kind=SealKind.LIQUID_GASKET)
    shown = (4, 5, 6, 7) if bolt_count else (None,) * 4
    points = tuple(
        LinePoint(
            PointPx(200 * index, y_px or 0),
            number,
            PointPx(200 * index, (y_px or 0) - 100) if has_heads and bolt_count else None,
        )
        for index, number in enumerate(shown)
    )
    line = JointLine(joint_id=joint.id, photo_id=PHOTO, points=points) if y_px is not None else None
    bolts = tuple(Bolt(joint_id=joint.id, number=number) for number in range(1, bolt_count + 1))
    return Suspect(
        **{
            "joint": joint,
            "bolts": bolts,
            "line": line,
            "job": SealingJob(joint_id=joint.id, done_at=NOON),
            **fields,
        }
    )


def with_bolt(one, number, **changes):
    """The suspect with other facts about one of its bolts."""
    bolts = tuple(replace(b, **changes) if b.number == number else b for b in one.bolts)
    return replace(one, bolts=bolts)


def scene(x=None, y=None, outline=(), mm_per_px=MM_PER_PX, **fields):
    """A source that somebody clicked, or none."""
    at = None if x is None else PointPx(x, y)
    runs = trail(WEIGHTS.places, FaceSide.BANK_1)
    source = found_source(WEIGHTS.places, outline, at, runs, SIZE, mm_per_px)
    return Scene(**{"source": source, "photo_id": PHOTO, **fields})


def trace_of(around, *suspects, weights=WEIGHTS) -> Traced:
    return traced(suspects, around, weights)


def seal(found, name="cover joint") -> Candidate:
    """The seal of a joint."""
    return next(
        one for one in found.candidates if one.origin is Origin.SEAL and one.joint.name == name
    )


def bolt(found, number) -> Candidate:
    return next(one for one in found.candidates if one.bolt and one.bolt.number == number)


def other(found, origin) -> OtherOrigin:
    return next(one for one in found.others if one.origin is origin)


def clue(one, kind):
    return next(each for each in one.clues if each.kind is kind)


def kinds(one):
    return {each.kind for each in one.clues}


COVER = suspect("cover joint", 500)
