"""The shot list shows for each zone what to frame the new photo like."""

from dataclasses import replace
from datetime import datetime

from leaktrack.model.identity import new_id
from leaktrack.model.photo import TakenAt
from leaktrack.model.record import added, replaced
from leaktrack.workflows.list_shots import shot_list
from tests.filled_project import DAY, a_photo


def shots(project, inspection):
    return {shot.zone.name: shot for shot in shot_list(project, inspection.id)}


def test_every_zone_of_the_engine_is_on_the_list_and_no_other(project, filled):
    assert [shot.zone for shot in shot_list(project, filled.inspection.id)] == [
        filled.zone,
        filled.empty_zone,
    ]


def test_the_last_photo_is_of_the_inspection_before(project, filled):
    shot = shots(project, filled.inspection)["Cover"]

    assert (shot.last_photo_id, shot.photos_taken) == (filled.reference.id, (filled.later.id,))


def test_a_zone_never_photographed_has_no_last_photo(project, filled):
    shot = shots(project, filled.inspection)["Front"]

    assert (shot.last_photo_id, shot.photos_taken) == (None, ())


def test_inspections_without_a_photo_of_the_zone_are_passed_over(project, filled):
    blind = replace(filled.inspection, id=new_id(), looked_at=filled.inspection.looked_at + DAY)
    newest = replace(blind, id=new_id(), looked_at=blind.looked_at + DAY)
    project.apply(added(blind, newest))

    assert shots(project, newest)["Cover"].last_photo_id == filled.later.id


def test_the_baseline_is_framed_like_the_photo_the_lines_were_drawn_on(project, filled):
    with_reference = replace(filled.zone, reference_photo_id=filled.later.id)
    project.apply(replaced(filled.zone, with_reference))

    assert shots(project, filled.baseline)["Cover"].last_photo_id == filled.later.id


def test_photos_stand_in_the_order_they_were_taken(project, filled):
    early = a_photo(
        9,
        zone_id=filled.zone.id,
        inspection_id=filled.inspection.id,
        taken=TakenAt(datetime.fromisoformat("2026-03-17T09:00:00"), 60),
    )
    undated = a_photo(10, zone_id=filled.zone.id, inspection_id=filled.inspection.id)
    project.apply(added(undated, early))

    taken = shots(project, filled.inspection)["Cover"].photos_taken

    assert taken == (early.id, filled.later.id, undated.id)
