"""Read and change records within one transaction."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import fields, replace
from functools import cache
from typing import Any, TypeVar, cast
from uuid import UUID

import sqlalchemy as sa

from leaktrack.model.errors import (
    BadInput,
    ChangedMeanwhile,
    DamagedProject,
    LeakTrackError,
    MissingRecord,
)
from leaktrack.model.record import Edit, Record, RecordChange
from leaktrack.store.tables import TABLES

T = TypeVar("T", bound=Record)

# What a list of records is sorted by before the key, which sorts by creation.
_ORDER = ("position", "number", "looked_at", "started_at", "done_at", "made_at")

# How a field is compared with the value asked for.
_IS, _IS_ONE_OF, _IS_EMPTY = "is", "is one of", "is empty"

_FIELDS = {kind: tuple(item.name for item in fields(kind)) for kind in TABLES}


class Records:
    """The records as one connection sees them; only values leave it."""

    def __init__(self, connection: sa.Connection) -> None:
        self._connection = connection

    def find(self, kind: type[T], record_id: UUID) -> T | None:
        """Return one record, or None if there is none with that key.

        Raises:
            DamagedProject: It holds what cannot be a value of its field.
        """
        query, names = _question(TABLES[kind], (("id", _IS),))
        with _telling_damage(kind):
            row = self._connection.execute(query, {"id": record_id}).first()
            return None if row is None else kind(**dict(zip(names, row, strict=True)))

    def get(self, kind: type[T], record_id: UUID) -> T:
        """Return one record.

        Raises:
            MissingRecord: There is none with that key.
        """
        found = self.find(kind, record_id)
        if found is None:
            raise MissingRecord(
                f"The {_name(kind)} that was asked for is not in the project any more. "
                "Nothing was changed; read the project again."
            )
        return found

    def all(self, kind: type[T], **equals: Any) -> tuple[T, ...]:
        """Return all records of a kind whose fields are equal to these values.

        Args:
            kind: The kind of record.
            **equals: A value for a field, or a list or tuple of values that it may have.

        Returns:
            In the order of their position, number or date where there is one, then of creation.

        Raises:
            DamagedProject: One holds what cannot be a value of its field.
        """
        conditions = tuple((name, _condition(value)) for name, value in equals.items())
        query, names = _question(TABLES[kind], conditions)
        values = {
            name: list(equals[name]) if how is _IS_ONE_OF else equals[name]
            for name, how in conditions
            if how is not _IS_EMPTY
        }
        with _telling_damage(kind):
            rows = self._connection.execute(query, values).all()
            # Plain dictionaries: a row's own mapping takes a third longer, over thousands.
            return tuple(kind(**dict(zip(names, row, strict=True))) for row in rows)

    def apply(self, edit: Edit) -> None:
        """Make all changes of an edit.

        Raises:
            ChangedMeanwhile: A record is not what the edit expects.
            MissingRecord: A record to be changed, or one that it points at, is not there.
            BadInput: A value is none that can be kept, such as a time without zone.
        """
        for change in edit.changes:
            try:
                self._apply(change)
            except sa.exc.IntegrityError as error:
                raise _refused(_subject(change), error) from error
            except sa.exc.StatementError as error:
                if isinstance(error.orig, ValueError | OverflowError):
                    raise _bad(_subject(change), str(error.orig)) from error
                raise

    def _apply(self, change: RecordChange) -> None:
        before, after = _storable(change.before), _storable(change.after)
        if before is None and after is not None:
            self._insert(after)
        elif after is None and before is not None:
            self._remove(before)
        elif before is not None and after is not None and after != before:
            self._replace(before, after)

    def _insert(self, record: Record) -> None:
        table = TABLES[type(record)]
        self._connection.execute(table.insert(), {"version": 1, **_values(record)})

    def _remove(self, before: Record) -> None:
        table = TABLES[type(before)]
        version = self._expected_version(before)
        self._check_one(
            self._connection.execute(
                table.delete().where(table.c.id == before.id, table.c.version == version)
            ),
            before,
        )

    def _replace(self, before: Record, after: Record) -> None:
        table = TABLES[type(before)]
        version = self._expected_version(before)
        self._check_one(
            self._connection.execute(
                table.update()
                .where(table.c.id == before.id, table.c.version == version)
                .values(version=version + 1, **_values(after))
            ),
            before,
        )

    def _expected_version(self, before: Record) -> int:
        """Return the version under which the record stands as the edit expects it."""
        table = TABLES[type(before)]
        row = self._connection.execute(sa.select(table).where(table.c.id == before.id)).first()
        if row is None:
            raise MissingRecord(
                f"The {_name(type(before))} that was to be changed is not there any more. "
                "Nothing was changed; read the project again."
            )
        stored = dict(row._mapping)
        version = cast(int, stored.pop("version"))
        if type(before)(**stored) != before:
            raise _changed(before)
        return version

    def _check_one(self, result: sa.CursorResult[Any], record: Record) -> None:
        if result.rowcount != 1:
            raise _changed(record)


@contextmanager
def _telling_damage(kind: type[Any]) -> Iterator[None]:
    """Tell in one sentence what stands in the database but cannot be a record's value."""
    try:
        yield
    except (ValueError, TypeError, AttributeError) as error:
        raise DamagedProject(
            f"A {_name(kind)} in the database cannot be read: {error}. Nothing was changed, the "
            "photos are untouched. Put a backup of the database in its place."
        ) from error


def _condition(value: object) -> str:
    if value is None:
        return _IS_EMPTY
    return _IS_ONE_OF if isinstance(value, list | tuple | set | frozenset) else _IS


@cache
def _question(
    table: sa.Table, conditions: tuple[tuple[str, str], ...]
) -> tuple[sa.Select[Any], tuple[str, ...]]:
    """Return how to ask for records, and their columns; put together once for each way to ask."""
    columns = [column for column in table.c if column.name != "version"]
    query = sa.select(*columns)
    for name, how in conditions:
        column = table.c[name]
        if how is _IS_EMPTY:
            query = query.where(column.is_(None))
        elif how is _IS_ONE_OF:
            query = query.where(column.in_(sa.bindparam(name, expanding=True)))
        else:
            query = query.where(column == sa.bindparam(name))
    for name in _ORDER:
        if name in table.c:
            query = query.order_by(table.c[name].nulls_last())
    return query.order_by(table.c.id), tuple(column.name for column in columns)


def _values(record: Record) -> dict[str, Any]:
    return {name: getattr(record, name) for name in _FIELDS[type(record)]}


def _name(kind: type[Any]) -> str:
    return TABLES[kind].name.replace("_", " ")


def _changed(record: Record) -> ChangedMeanwhile:
    return ChangedMeanwhile(
        f"The {_name(type(record))} was changed by somebody else in the meantime. "
        "Their change is kept, yours was not made. Look at it again and repeat yours if it fits."
    )


def _refused(record: Record, error: sa.exc.IntegrityError) -> LeakTrackError:
    text = str(error.orig)
    if "FOREIGN KEY" in text:
        return MissingRecord(
            f"The {_name(type(record))} points at something that is not there, or something still "
            "points at it. Nothing was changed; read the project again."
        )
    if "UNIQUE" in text:
        return ChangedMeanwhile(
            f"There is such a {_name(type(record))} already. Nothing was changed; "
            "read the project again."
        )
    return _bad(record, text)


def _bad(record: Record, why: str) -> BadInput:
    return BadInput(f"The {_name(type(record))} cannot be kept: {why}. Nothing was changed.")


def _subject(change: RecordChange) -> Record:
    return cast(Record, change.after or change.before)


def _storable(record: Record | None) -> Record | None:
    """Return a record as the database gives it back: without NUL characters in its text."""
    if record is None:
        return None
    clean: dict[str, Any] = {
        name: value.replace("\0", "")
        for name, value in _values(record).items()
        if isinstance(value, str) and "\0" in value
    }
    return replace(record, **clean) if clean else record
