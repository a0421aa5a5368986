"""Photos are put into zones and inspections of one engine, by hand or by time."""

from dataclasses import replace
from datetime import datetime

import pytest

from leaktrack.model.errors import BadInput, MissingRecord
from leaktrack.model.identity import new_id
from leaktrack.model.photo import Photo, TakenAt
from leaktrack.model.record import replaced
from leaktrack.workflows.assign_photos import (
    amend_photo,
    assign_photos,
    remove_photo,
    suggest_inspection,
)

# The inspection of the filled project was at 2026-03-17 18:24 UTC, the baseline a day earlier.
AT_THE_LOOK = TakenAt(datetime.fromisoformat("2026-03-17T19:10:00"), 60)
BETWEEN = TakenAt(datetime.fromisoformat("2026-03-17T05:00:00"), 0)
A_WEEK_LATER = TakenAt(datetime.fromisoformat("2026-03-24T19:10:00"), 60)


def test_photos_are_assigned_together(project, filled):
    project.apply(
        assign_photos(
            project, [filled.loose.id, filled.later.id], filled.empty_zone.id, filled.inspection.id
        )
    )

    photos = project.all(Photo, zone_id=filled.empty_zone.id, inspection_id=filled.inspection.id)
    assert {photo.id for photo in photos} == {filled.loose.id, filled.later.id}


def test_what_is_not_named_stays_and_none_takes_out(project, filled):
    project.apply(assign_photos(project, [filled.later.id], inspection_id=None))

    photo = project.get(Photo, filled.later.id)
    assert (photo.zone_id, photo.inspection_id) == (filled.zone.id, None)


def test_zone_and_inspection_of_two_engines_do_not_mix(project, filled):
    with pytest.raises(BadInput, match=r"zone and the inspection of photo_2\.jpg"):
        assign_photos(project, [filled.later.id], filled.other_zone.id)


def test_a_reference_photo_stays_in_its_zone(project, filled):
    with_reference = replace(filled.zone, reference_photo_id=filled.reference.id)
    project.apply(replaced(filled.zone, with_reference))

    with pytest.raises(BadInput, match="joint lines were drawn on it"):
        assign_photos(project, [filled.reference.id], filled.empty_zone.id)


def test_a_zone_that_is_not_there_is_refused(project, filled):
    with pytest.raises(MissingRecord):
        assign_photos(project, [filled.loose.id], new_id())


@pytest.mark.parametrize(
    ("taken", "expected"),
    [
        (AT_THE_LOOK, "inspection"),
        (BETWEEN, "baseline"),
        (A_WEEK_LATER, None),
        (None, None),
    ],
)
def test_the_inspection_nearest_in_time_is_suggested_within_a_day(project, filled, taken, expected):
    found = suggest_inspection(project, replace(filled.loose, taken=taken))

    assert found == getattr(filled, str(expected), None)


def test_only_inspections_of_the_zones_engine_are_suggested(project, filled):
    photo = replace(filled.loose, taken=AT_THE_LOOK, zone_id=filled.other_zone.id)

    assert suggest_inspection(project, photo) is None


@pytest.mark.parametrize(
    ("name", "reason"),
    [
        ("later", "needed by 2 leak marks"),
        ("reference", "1 leak mark, 1 joint line and 1 sealing job it shows"),
    ],
)
def test_a_photo_that_something_needs_stays(project, filled, name, reason):
    with pytest.raises(BadInput, match=reason):
        remove_photo(project, getattr(filled, name).id)


def test_the_file_of_a_photo_is_never_another(filled):
    with pytest.raises(BadInput, match="file is never changed"):
        amend_photo(filled.loose, replace(filled.loose, sha256="0" * 64))


def test_a_scale_that_cannot_be_is_refused(filled):
    with pytest.raises(BadInput, match="scale cannot be 0"):
        amend_photo(filled.loose, replace(filled.loose, mm_per_px=0.0))
