import pytest

from leaktrack.model.leak import SeepageGrade
from leaktrack.workflows.view_engine_sheet import engine_sheet
from tests.leaking_engine import tell


@pytest.fixture
def story(project):
    return tell(project)


def cards(project, story, up_to=None):
    sheet = engine_sheet(project, story.engine.id, up_to)
    return {card.zone.name: card for face in sheet.faces for card in face.zones}


def test_every_face_has_its_zones(project, story):
    sheet = engine_sheet(project, story.engine.id)

    assert [(face.face.name, [card.zone.name for card in face.zones]) for face in sheet.faces] == [
        ("Bank 1", ["Cover", "Solenoid"]),
        ("Underside", ["Sump"]),
    ]


def test_a_zone_shows_its_newest_photo_and_its_worst_grade(project, story):
    cover = cards(project, story)["Cover"]

    assert cover.newest_photo_id == story.cover_photos[3].id
    assert cover.grade is SeepageGrade.SEEP
    assert [grade for _, grade in cover.ribbon] == [
        SeepageGrade.DRY,
        SeepageGrade.SEEP,
        SeepageGrade.HEAVY_SEEP,
        SeepageGrade.SEEP,
    ]


def test_a_zone_that_the_last_inspection_left_out_is_not_seen_but_keeps_its_photo(project, story):
    solenoid = cards(project, story)["Solenoid"]

    assert solenoid.grade is SeepageGrade.NOT_SEEN
    assert solenoid.newest_photo_id == story.solenoid_photos[2].id


def test_the_sheet_can_be_seen_as_it_was_at_an_earlier_inspection(project, story):
    first = story.inspections[1]

    cover = cards(project, story, first.id)["Cover"]

    assert cover.newest_photo_id == story.cover_photos[1].id
    assert cover.grade is SeepageGrade.SEEP
    assert [inspection_id for inspection_id, _ in cover.ribbon] == [
        one.id for one in story.inspections[:2]
    ]


def test_a_zone_without_any_photo_shows_none(project, story):
    sump = cards(project, story)["Sump"]

    assert (sump.newest_photo_id, sump.grade) == (None, SeepageGrade.NOT_SEEN)
