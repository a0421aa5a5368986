import math
from dataclasses import replace
from datetime import datetime

import numpy as np
import pytest

from leaktrack.model.engine import Bolt, Engine, Face, Joint, JointLine, LinePoint, Zone
from leaktrack.model.errors import BadInput, ChangedMeanwhile, MissingRecord
from leaktrack.model.identity import new_id
from leaktrack.model.leak import LeakMark
from leaktrack.model.photo import Photo
from leaktrack.model.record import Edit, RecordChange, added, removed, replaced
from leaktrack.model.shapes import PointPx
from tests.builders import (
    a_bolt,
    a_face,
    a_job,
    a_joint,
    a_leak,
    a_mark,
    a_photo,
    a_zone,
    an_engine,
)


def test_a_record_that_is_not_there_is_found_as_none(records):
    assert records.find(Engine, new_id()) is None


def test_asking_for_a_record_that_is_not_there_says_which_kind(records):
    with pytest.raises(MissingRecord, match="The joint that was asked for is not in the project"):
        records.get(Joint, new_id())


def test_records_are_chosen_by_the_value_of_a_field(records):
    engine, other = an_engine(), an_engine()
    face, other_face = a_face(engine.id), a_face(other.id)
    records.apply(added(engine, other, face, other_face))

    assert records.all(Face, engine_id=other.id) == (other_face,)


def test_records_are_chosen_by_one_of_several_values(records):
    engines = [an_engine(name=name) for name in "abc"]
    records.apply(added(*engines))

    assert records.all(Engine, name=["a", "c"]) == (engines[0], engines[2])


def test_no_values_to_choose_from_choose_nothing(records):
    records.apply(added(an_engine()))

    assert records.all(Engine, name=()) == ()


def test_an_unknown_value_is_a_value_to_choose_by(records):
    known, unknown = an_engine(oil_capacity_ml=5000), an_engine(oil_capacity_ml=None)
    records.apply(added(known, unknown))

    assert records.all(Engine, oil_capacity_ml=None) == (unknown,)


def test_records_come_in_the_order_in_which_they_were_made(records):
    engines = [an_engine(name=name) for name in "cab"]
    records.apply(added(*reversed(engines)))

    assert records.all(Engine) == tuple(engines)


def test_records_with_a_position_come_in_that_order(records):
    engine = an_engine()
    second, first = a_face(engine.id, position=2), a_face(engine.id, position=1)
    records.apply(added(engine, second, first))

    assert records.all(Face) == (first, second)


def test_bolts_come_by_number(records):
    engine = an_engine()
    face = a_face(engine.id)
    zone = a_zone(face.id)
    joint = a_joint(zone.id)
    bolts = [a_bolt(joint.id, number=number) for number in (10, 9, 1)]
    records.apply(added(engine, face, zone, joint, *bolts))

    assert [bolt.number for bolt in records.all(Bolt)] == [1, 9, 10]


def test_a_replaced_record_has_its_new_values(records):
    engine = an_engine(name="before")
    renamed = replace(engine, name="after")
    records.apply(added(engine))

    records.apply(replaced(engine, renamed))

    assert records.all(Engine) == (renamed,)


def test_a_removed_record_is_gone(records):
    engine = an_engine()
    records.apply(added(engine))

    records.apply(removed(engine))

    assert records.all(Engine) == ()


def test_an_edit_and_its_inverse_change_nothing(records):
    engine, doomed = an_engine(name="stays"), an_engine(name="doomed")
    records.apply(added(engine, doomed))
    edit = (
        replaced(engine, replace(engine, name="changed"))
        .then(removed(doomed))
        .then(added(an_engine()))
    )

    records.apply(edit)
    records.apply(edit.inverse)

    assert records.all(Engine) == (engine, doomed)


def test_a_record_that_somebody_else_changed_is_not_overwritten(records):
    engine = an_engine(name="seen by both")
    theirs = replace(engine, name="theirs")
    records.apply(added(engine))
    records.apply(replaced(engine, theirs))

    with pytest.raises(ChangedMeanwhile, match="Their change is kept, yours was not made"):
        records.apply(replaced(engine, replace(engine, name="ours")))

    assert records.all(Engine) == (theirs,)


def test_a_record_that_somebody_else_changed_is_not_removed(records):
    engine = an_engine()
    records.apply(added(engine))
    records.apply(replaced(engine, replace(engine, name="theirs")))

    with pytest.raises(ChangedMeanwhile):
        records.apply(removed(engine))


def test_a_record_that_somebody_else_removed_cannot_be_changed(records):
    engine = an_engine()

    with pytest.raises(MissingRecord, match="is not there any more"):
        records.apply(replaced(engine, replace(engine, name="x")))


def test_a_version_counts_the_changes_of_a_record(records, connection):
    engine = an_engine(name="1")
    second, third = replace(engine, name="2"), replace(engine, name="3")
    records.apply(added(engine))

    records.apply(replaced(engine, second).then(replaced(second, third)))

    assert connection.exec_driver_sql("SELECT version FROM engine").scalar() == 3


def test_a_change_that_changes_nothing_leaves_the_version(records, connection):
    engine = an_engine()
    records.apply(added(engine))

    records.apply(replaced(engine, engine).then(Edit((RecordChange(None, None),))))

    assert connection.exec_driver_sql("SELECT version FROM engine").scalar() == 1


def test_a_record_cannot_point_at_nothing(records):
    with pytest.raises(MissingRecord, match="points at something that is not there"):
        records.apply(added(a_face(new_id())))


def test_a_record_that_others_point_at_cannot_be_removed(records):
    engine = an_engine()
    records.apply(added(engine, a_face(engine.id)))

    with pytest.raises(MissingRecord, match="something still points at it"):
        records.apply(removed(engine))


def test_the_same_photo_file_cannot_be_recorded_under_two_keys(records):
    records.apply(added(a_photo(sha256="b" * 64)))

    with pytest.raises(ChangedMeanwhile, match="There is such a photo already"):
        records.apply(added(a_photo(sha256="b" * 64)))


def test_a_needed_value_cannot_be_left_out(records):
    with pytest.raises(BadInput, match="The engine cannot be kept"):
        records.apply(added(an_engine(name=None)))


def test_a_time_without_zone_is_refused(records):
    engine = an_engine()
    face = a_face(engine.id)
    zone = a_zone(face.id)
    joint = a_joint(zone.id)
    records.apply(added(engine, face, zone, joint))

    with pytest.raises(BadInput, match="2026-03-07 10:00:00 is a time without zone"):
        records.apply(added(a_job(joint.id, done_at=datetime.fromisoformat("2026-03-07T10:00:00"))))


def test_a_moment_before_the_calendar_begins_is_refused(records):
    first = datetime.fromisoformat("0001-01-01T00:00:00+14:00")

    with pytest.raises(BadInput, match="The sealing job cannot be kept: date value out of range"):
        records.apply(added(a_job(new_id(), done_at=first)))


@pytest.mark.parametrize("number", [math.nan, math.inf, -math.inf])
def test_what_is_no_number_is_refused(records, number):
    """SQLite would keep it as unknown, and nobody would know why."""
    with pytest.raises(BadInput, match="is no number"):
        records.apply(added(an_engine(oil_capacity_ml=number)))


def _photographed_leak(records):
    engine = an_engine()
    face = a_face(engine.id)
    zone = a_zone(face.id)
    joint, leak, photo = a_joint(zone.id), a_leak(zone.id), a_photo()
    records.apply(added(engine, face, zone, joint, leak, photo))
    return joint, leak, photo


@pytest.mark.parametrize(
    "fields",
    [{"source_px": PointPx(math.nan, 1)}, {"outline_px": (PointPx(1, 1), PointPx(2, math.inf))}],
    ids=["source", "outline"],
)
def test_what_is_no_place_is_refused(records, fields):
    _, leak, photo = _photographed_leak(records)

    with pytest.raises(BadInput, match="The leak mark cannot be kept"):
        records.apply(added(a_mark(leak.id, photo.id, **fields)))


def test_places_that_come_out_of_arrays_are_kept_to_the_last_digit(records):
    joint, leak, photo = _photographed_leak(records)
    place = PointPx(*np.array([1 / 3, 1e-7]))
    mark = a_mark(leak.id, photo.id, source_px=place, outline_px=(place, place, place))
    line = JointLine(joint_id=joint.id, photo_id=photo.id, points=(LinePoint(place, 1, place),))

    records.apply(added(mark, line))

    assert records.get(LeakMark, mark.id) == mark
    assert records.get(JointLine, line.id) == line


def test_text_loses_its_nul_characters_and_can_still_be_taken_back(records):
    """PostgreSQL refuses them; they come out of EXIF fields that are padded with zeros."""
    photo = a_photo(original_name="a\0b.jpg\0")
    edit = added(photo)

    records.apply(edit)
    stored = records.all(Photo)
    records.apply(edit.inverse)

    assert stored == (replace(photo, original_name="ab.jpg"),)
    assert records.all(Photo) == ()


def test_text_that_looks_like_sql_is_only_text(records):
    name = "'; DROP TABLE engine; -- \" % ? :name {x}"
    records.apply(added(an_engine(name=name)))

    assert [engine.name for engine in records.all(Engine, name=name)] == [name]


def test_zones_may_name_a_reference_photo_that_names_them(records):
    engine = an_engine()
    face = a_face(engine.id)
    zone = a_zone(face.id)
    photo = a_photo(zone_id=zone.id)
    records.apply(added(engine, face, zone, photo))

    records.apply(replaced(zone, replace(zone, reference_photo_id=photo.id)))

    assert records.all(Zone, reference_photo_id=photo.id)[0].id == zone.id
