"""Bolts of a joint line give a photo its scale, with the error stated."""

from dataclasses import replace
from math import cos, radians

import pytest

from leaktrack.model.engine import LinePoint
from leaktrack.model.errors import BadInput
from leaktrack.model.photo import Photo
from leaktrack.model.record import replaced
from leaktrack.model.shapes import PointPx
from leaktrack.places import demo_source
from leaktrack.workflows.add_photos import add_photos
from leaktrack.workflows.draw_joint_line import draw_joint_line
from leaktrack.workflows.scale_by_spacing import (
    scale_by_recorded_places,
    scale_by_spacing,
    shown_bolts,
)


@pytest.fixture
def photo(project):
    added = add_photos(project, [demo_source() / "photos" / "bank1_cover_i1.jpg"])
    project.apply(added.edit)
    return added.added[0]


@pytest.fixture
def lined(project, filled, photo):
    """The joint with its bolts 200 px apart on a line in the middle of the photo."""
    points = [
        LinePoint(PointPx(200.0 * bolt.number, 450), bolt.number) for bolt in filled.bolts[:4]
    ]
    project.apply(draw_joint_line(project, filled.joint.id, photo.id, points))
    return filled.joint


def test_a_measured_distance_gives_the_scale_and_undo_takes_it_back(project, photo, lined):
    before = project.get(Photo, photo.id)
    found = scale_by_spacing(project, photo.id, lined.id, (1, 4), 90.0)

    undo = project.apply(found.edit)
    after = project.get(Photo, photo.id)
    project.apply(undo)

    assert found.mm_per_px == pytest.approx(90 / 600, rel=0.01)
    assert after.mm_per_px == found.mm_per_px
    assert after.scale_source == f"bolts 1 and 4 of {lined.name}, 90 mm apart"
    assert project.get(Photo, photo.id) == before


def test_the_error_of_areas_holds_the_lean_that_nothing_tells(project, photo, lined):
    """A surface that leans by 20 degrees shows the cosine of that of its area (geometry)."""
    found = scale_by_spacing(project, photo.id, lined.id, (1, 4), 90.0)

    lean = 1 / cos(radians(20)) - 1
    assert lean < found.area_share < 0.25
    assert found.along_share < lean / 2


def test_a_short_distance_is_known_less_well_than_a_long_one(project, photo, lined):
    short = scale_by_spacing(project, photo.id, lined.id, (1, 2), 30.0)
    long = scale_by_spacing(project, photo.id, lined.id, (1, 4), 90.0)

    assert short.mm_per_px == pytest.approx(long.mm_per_px, rel=0.01)
    assert short.along_share > 1.3 * long.along_share


def test_it_is_measured_from_head_to_head_where_the_heads_are_told(project, filled, photo):
    points = [
        LinePoint(PointPx(200, 450), 1, PointPx(250, 400)),
        LinePoint(PointPx(800, 450), 2, PointPx(750, 400)),
    ]
    project.apply(draw_joint_line(project, filled.joint.id, photo.id, points))

    found = scale_by_spacing(project, photo.id, filled.joint.id, (1, 2), 50.0)

    assert found.mm_per_px == pytest.approx(50 / 500, rel=0.01)


def test_recorded_places_are_offered_where_two_are_measured(project, photo, lined, filled):
    for bolt in filled.bolts[:4]:
        measured = replace(bolt, station_mm=30.0 * (bolt.number - 1))
        project.apply(replaced(bolt, measured))

    (shown,) = shown_bolts(project, photo.id)
    found = scale_by_recorded_places(project, photo.id, lined.id)

    assert (shown.numbers, shown.measured) == ((1, 2, 3, 4), (1, 2, 3, 4))
    assert found.mm_per_px == pytest.approx(90 / 600, rel=0.01)


@pytest.mark.parametrize(
    ("bolts", "spacing_mm", "words"),
    [
        ((1, 1), 90, "no distance from itself"),
        ((1, 9), 90, "does not show both bolts"),
        ((1, 4), 0, "cannot be 0 mm"),
        ((1, 4), -3, "cannot be -3 mm"),
        ((1, 4), float("nan"), "cannot be nan mm"),
        ((1, 4), 5000, "cannot be 5,000 mm"),
    ],
)
def test_what_cannot_be_is_refused(project, photo, lined, bolts, spacing_mm, words):
    with pytest.raises(BadInput, match=words):
        scale_by_spacing(project, photo.id, lined.id, bolts, spacing_mm)
