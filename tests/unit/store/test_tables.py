from dataclasses import MISSING, fields, replace
from datetime import UTC
from typing import get_args

import pytest
import sqlalchemy as sa
from sqlalchemy.dialects import postgresql

from leaktrack.model.inspection import TestRun
from leaktrack.model.photo import Photo, TakenAt
from leaktrack.model.record import Record, added
from leaktrack.store.tables import TABLES, metadata
from tests.builders import a_photo
from tests.unit.store.full_records import (
    ALL_FULL,
    FULL_RECORDS,
    MOMENT,
    RECORDED,
    TAKEN,
    kind_name,
)


def test_every_kind_of_record_has_a_table():
    assert set(TABLES) == set(get_args(Record))


@pytest.mark.parametrize("kind", TABLES, ids=lambda kind: kind.__name__)
def test_a_table_has_a_column_for_each_field_and_a_version(kind):
    names = {column.name for column in TABLES[kind].c}

    assert names == {field.name for field in fields(kind)} | {"version"}


@pytest.mark.parametrize("record", FULL_RECORDS, ids=kind_name)
def test_the_full_records_leave_no_field_at_its_default(record):
    untouched = [
        field.name
        for field in fields(record)
        if field.default is not MISSING and getattr(record, field.name) == field.default
    ]

    assert untouched == []


def test_there_is_a_full_record_of_every_kind():
    assert {type(record) for record in FULL_RECORDS} == set(get_args(Record))


@pytest.mark.parametrize("record", FULL_RECORDS, ids=kind_name)
def test_a_record_comes_back_as_it_was_stored(record, records):
    records.apply(ALL_FULL)

    assert records.get(type(record), record.id) == record


def test_moments_come_back_in_utc(records):
    records.apply(ALL_FULL)

    at = records.all(TestRun)[0].started_at

    assert (at, at.tzinfo) == (MOMENT, UTC)


@pytest.mark.parametrize("taken", [TAKEN, RECORDED, replace(TAKEN, utc_offset_min=0), None])
def test_a_camera_without_zone_stays_without_zone(records, taken: TakenAt | None):
    photo = a_photo(taken=taken)

    records.apply(added(photo))

    assert records.get(Photo, photo.id) == photo


@pytest.mark.parametrize("table", metadata.sorted_tables, ids=lambda table: table.name)
def test_every_constraint_has_a_name(table):
    """Without names a later migration could not change them."""
    assert all(constraint.name for constraint in table.constraints)


@pytest.mark.parametrize("table", metadata.sorted_tables, ids=lambda table: table.name)
def test_the_tables_can_be_told_to_postgresql(table):
    told = str(sa.schema.CreateTable(table).compile(dialect=postgresql.dialect()))

    assert "UUID NOT NULL" in told
