"""Short names for the columns that tables are made of."""

from enum import Enum
from typing import Any
from uuid import UUID

import sqlalchemy as sa

from leaktrack.model.bead_audit import BeadDefect, BeadDefectKind, BeadPoint, UnreadStretch
from leaktrack.model.caution import Caution
from leaktrack.model.debris import Particle, ParticleKind
from leaktrack.model.engine import LinePoint
from leaktrack.model.redo_plan import AnyOf, RedoPart, StepNeed
from leaktrack.model.shapes import PointPx
from leaktrack.store.column_types import Listed, Member, Number, Text

metadata = sa.MetaData(
    naming_convention={
        "ix": "ix_%(table_name)s_%(column_0_N_name)s",
        "uq": "uq_%(table_name)s_%(column_0_N_name)s",
        "fk": "fk_%(table_name)s_%(column_0_N_name)s_%(referred_table_name)s",
        "pk": "pk_%(table_name)s",
        "ck": "ck_%(table_name)s_%(constraint_name)s",
    }
)


def table(name: str, *columns: sa.schema.SchemaItem) -> sa.Table:
    """Return a table of records: key and version, then these columns."""
    return sa.Table(
        name,
        metadata,
        sa.Column("id", sa.Uuid, primary_key=True),
        count("version"),
        *columns,
    )


def _pack_point(point: PointPx | None) -> list[float] | None:
    # Through float: numbers that come out of arrays are not what JSON knows.
    return None if point is None else [float(point.x), float(point.y)]


def _unpack_point(pair: list[float] | None) -> PointPx | None:
    return None if pair is None else PointPx(*pair)


def _pack_line_point(point: LinePoint) -> list[Any]:
    places = [_pack_point(point.at), point.bolt_number, _pack_point(point.head)]
    return [*places, _plain(point.sigma_px)]


def _unpack_line_point(packed: list[Any]) -> LinePoint:
    at, bolt_number, head, sigma_px = packed
    return LinePoint(PointPx(*at), bolt_number, _unpack_point(head), sigma_px)


def _pack_bead_point(point: BeadPoint) -> list[Any]:
    figures = map(_plain, (point.along, point.width, point.offset))
    return [*figures, point.is_read, *(_pack_point(point.at_px) or ()), _plain(point.station)]


def _unpack_bead_point(packed: list[Any]) -> BeadPoint:
    along, width, offset, is_read, x, y, station = packed
    return BeadPoint(along, width, offset, is_read, PointPx(x, y), station)


def _pack_bead_defect(defect: BeadDefect) -> list[Any]:
    figures = (defect.start, defect.end, defect.least_width, defect.score)
    stations = (defect.start_station, defect.end_station)
    return [defect.kind.value, *map(_plain, (*figures, *stations))]


def _unpack_bead_defect(packed: list[Any]) -> BeadDefect:
    return BeadDefect(BeadDefectKind(packed[0]), *packed[1:])


def _pack_unread(stretch: UnreadStretch) -> list[Any]:
    return [_plain(stretch.start), _plain(stretch.end), stretch.reason]


def _unpack_unread(packed: list[Any]) -> UnreadStretch:
    return UnreadStretch(*packed)


def _pack_need(need: StepNeed) -> Any:
    if isinstance(need, AnyOf):
        return {"any_of": [[str(step_id) for step_id in route] for route in need.routes]}
    return str(need)


def _unpack_need(packed: Any) -> StepNeed:
    if isinstance(packed, dict):
        return AnyOf(tuple(tuple(map(UUID, route)) for route in packed["any_of"]))
    return UUID(packed)


def _pack_part(part: RedoPart) -> list[Any]:
    return [part.name, part.count, part.is_single_use]


def _unpack_part(packed: list[Any]) -> RedoPart:
    return RedoPart(*packed)


def _pack_particle(one: Particle) -> list[Any]:
    figures = (one.at.x, one.at.y, one.length, one.width, one.area, one.lightness, *one.colour)
    return [one.kind.value, *map(_plain, figures)]


def _unpack_particle(packed: list[Any]) -> Particle:
    kind, x, y, length, width, area, lightness, green_red, blue_yellow = packed
    return Particle(
        at=PointPx(x, y),
        outline=(),
        length=length,
        width=width,
        area=area,
        kind=ParticleKind(kind),
        lightness=lightness,
        colour=(green_red, blue_yellow),
    )


def _plain(value: float | None) -> float | None:
    return None if value is None else float(value)


def _same(value: Any) -> Any:
    return value


POINTS = Listed(_pack_point, _unpack_point)
LINE_POINTS = Listed(_pack_line_point, _unpack_line_point)
BEAD_POINTS = Listed(_pack_bead_point, _unpack_bead_point)
BEAD_DEFECTS = Listed(_pack_bead_defect, _unpack_bead_defect)
PARTICLES = Listed(_pack_particle, _unpack_particle)
UNREAD_STRETCHES = Listed(_pack_unread, _unpack_unread)
PLAIN = Listed(_same, _same)
KEYS = Listed(str, UUID)
NEEDS = Listed(_pack_need, _unpack_need)
REDO_PARTS = Listed(_pack_part, _unpack_part)
CAUTIONS = Listed(lambda caution: caution.value, Caution)


def needed(name: str, kind: Any) -> sa.Column[Any]:
    """Return a column that is never empty."""
    return sa.Column(name, kind, nullable=False)


def text(name: str) -> sa.Column[Any]:
    """Return a column of text; no text is the empty one."""
    return needed(name, Text())


def texts(*names: str) -> list[sa.Column[Any]]:
    """Return columns of text."""
    return [text(name) for name in names]


def numbers(*names: str) -> list[sa.Column[Any]]:
    """Return columns of measured numbers, which may be unknown."""
    return [sa.Column(name, Number) for name in names]


def known_numbers(*names: str) -> list[sa.Column[Any]]:
    """Return columns of numbers that are never unknown."""
    return [needed(name, Number()) for name in names]


def count(name: str) -> sa.Column[Any]:
    """Return a column of whole numbers."""
    return needed(name, sa.Integer())


def truth(name: str) -> sa.Column[Any]:
    """Return a column of yes or no."""
    return needed(name, sa.Boolean())


def member(name: str, kind: type[Enum], *, is_needed: bool = True) -> sa.Column[Any]:
    """Return a column of members of a closed set."""
    return sa.Column(name, Member(kind), nullable=not is_needed)


def key(table: str, name: str | None = None, *, is_needed: bool = True) -> sa.Column[Any]:
    """Return a column that points at a record, which cannot be removed meanwhile."""
    target = sa.ForeignKey(f"{table}.id", ondelete="RESTRICT")
    return sa.Column(name or f"{table}_id", sa.Uuid, target, nullable=not is_needed, index=True)


def what_work_takes() -> list[sa.Column[Any]]:
    """Return the columns of what access steps and tasks of a teardown have in common."""
    return [
        needed("needs", NEEDS),
        needed("cautions", CAUTIONS),
        truth("is_done"),
        needed("parts", REDO_PARTS),
        needed("tools", PLAIN),
        text("template"),
    ]


def what_a_bead_shows() -> list[sa.Column[Any]]:
    """Return the columns of what was measured along a bead."""
    return [
        needed("points", BEAD_POINTS),
        needed("defects", BEAD_DEFECTS),
        needed("unread", UNREAD_STRETCHES),
    ]
