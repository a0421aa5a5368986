"""Columns that turn a record's values into what a database can hold, and back."""

import json
import math
from collections.abc import Callable
from datetime import UTC, datetime, timedelta, timezone
from enum import Enum
from typing import Any, Generic, TypeVar

import sqlalchemy as sa
from sqlalchemy.engine import Dialect

from leaktrack.model.photo import TakenAt
from leaktrack.model.shapes import PointPx

E = TypeVar("E", bound=Enum)


class Text(sa.types.TypeDecorator[str]):
    """Text without NUL characters, which PostgreSQL refuses; they come out of EXIF fields."""

    impl = sa.Text
    cache_ok = True

    def process_bind_param(self, value: str | None, dialect: Dialect) -> str | None:
        """Return the text as the database takes it."""
        return None if value is None else value.replace("\0", "")


class Number(sa.types.TypeDecorator[float]):
    """A measured number. What is no number is refused: a database may keep it as unknown."""

    impl = sa.Float
    cache_ok = True

    def process_bind_param(self, value: float | None, dialect: Dialect) -> float | None:
        """Return the number."""
        if value is not None and not math.isfinite(value):
            raise ValueError(f"{value} is no number")
        return value


class Member(sa.types.TypeDecorator[E], Generic[E]):
    """A member of a closed set, kept as its value."""

    impl = sa.Text
    cache_ok = True

    def __init__(self, kind: type[E]) -> None:
        super().__init__()
        self.kind = kind

    def process_bind_param(self, value: E | None, dialect: Dialect) -> Any:
        """Return the member's value."""
        return None if value is None else value.value

    def process_result_value(self, value: Any, dialect: Dialect) -> E | None:
        """Return the member."""
        return None if value is None else self.kind(value)


class Utc(sa.types.TypeDecorator[datetime]):
    """A moment in UTC. A time without zone is refused: nobody could say when it was."""

    impl = sa.DateTime
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """Return the moment in UTC, without zone."""
        if value is None:
            return None
        if value.tzinfo is None:
            raise ValueError(f"{value} is a time without zone")
        return value.astimezone(UTC).replace(tzinfo=None)

    def process_result_value(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """Return the moment, aware."""
        return None if value is None else value.replace(tzinfo=UTC)


class CameraTime(sa.types.TypeDecorator[TakenAt]):
    """What a camera's clock said, kept as ISO 8601 with the zone only if the camera gave one."""

    impl = sa.Text
    cache_ok = True

    def process_bind_param(self, value: TakenAt | None, dialect: Dialect) -> str | None:
        """Return it as text."""
        if value is None:
            return None
        if value.utc_offset_min is None:
            return value.local.isoformat()
        zone = timezone(timedelta(minutes=value.utc_offset_min))
        return value.local.replace(tzinfo=zone).isoformat()

    def process_result_value(self, value: str | None, dialect: Dialect) -> TakenAt | None:
        """Return it from text."""
        if value is None:
            return None
        at = datetime.fromisoformat(value)
        offset = at.utcoffset()
        minutes = None if offset is None else round(offset / timedelta(minutes=1))
        return TakenAt(at.replace(tzinfo=None), minutes)


class Listed(sa.types.TypeDecorator[tuple[Any, ...]]):
    """A tuple of small values, kept as a JSON list.

    Args:
        pack: Turns one item into what JSON can hold.
        unpack: Turns it back.
    """

    impl = sa.Text
    cache_ok = True

    def __init__(self, pack: Callable[[Any], Any], unpack: Callable[[Any], Any]) -> None:
        super().__init__()
        self.pack = pack
        self.unpack = unpack

    def process_bind_param(self, value: tuple[Any, ...] | None, dialect: Dialect) -> str | None:
        """Return the JSON text."""
        if value is None:
            return None
        return json.dumps(
            [self.pack(item) for item in value], separators=(",", ":"), allow_nan=False
        )

    def process_result_value(self, value: str | None, dialect: Dialect) -> tuple[Any, ...] | None:
        """Return the tuple."""
        return None if value is None else tuple(self.unpack(item) for item in json.loads(value))


class OnePoint(sa.types.TypeDecorator[PointPx]):
    """A single point, kept as its two coordinates."""

    impl = sa.Text
    cache_ok = True

    def process_bind_param(self, value: PointPx | None, dialect: Dialect) -> str | None:
        """Return the point as text."""
        if value is None:
            return None
        if not (math.isfinite(value.x) and math.isfinite(value.y)):
            raise ValueError(f"({value.x}, {value.y}) is no place")
        return f"{float(value.x)!r},{float(value.y)!r}"

    def process_result_value(self, value: str | None, dialect: Dialect) -> PointPx | None:
        """Return the point from text."""
        return None if value is None else PointPx(*(float(part) for part in value.split(",")))
