"""A photo without a target gets its scale from bolts, a typed length, or another photo."""

from dataclasses import replace

import pytest

from leaktrack.model.engine import Bolt, LinePoint
from leaktrack.model.errors import BadInput
from leaktrack.model.photo import Photo
from leaktrack.model.record import replaced
from leaktrack.model.shapes import PointPx
from leaktrack.places import demo_source
from leaktrack.workflows.add_photos import add_photos
from leaktrack.workflows.derive_scale import (
    carry_scale,
    find_scale,
    scale_by_bolts,
    scale_by_length,
    scale_by_pattern,
)
from leaktrack.workflows.draw_joint_line import draw_joint_line

pytestmark = pytest.mark.usefixtures("shared_features")

PHOTOS = demo_source() / "photos"
# Scale of bank1_cover_i1.jpg where its neighbour's target lay: 30 mm against the square that the
# target's corners in the scene make when this photo's camera looks at them.
TRUE_MM_PER_PX = 0.16496
NEARLY = 0.07  # the median of carried scales is 1 % off, single ones up to this; own measurement


def put(project, name):
    added = add_photos(project, [PHOTOS / f"{name}.jpg"])
    project.apply(added.edit)
    return added.added[0]


@pytest.fixture
def photo(project):
    return put(project, "bank1_cover_i1")


def lined(project, filled, photo, stations, points=None):
    """Draw the joint's line in a photo; its bolts 1, 2, ... are 200 px apart, on a line."""
    for bolt, station in zip(filled.bolts, stations, strict=False):
        project.apply(replaced(bolt, replace(bolt, station_mm=station)))
    path = points or [
        LinePoint(PointPx(200.0 * bolt.number, 700), bolt.number)
        for bolt, _ in zip(filled.bolts, stations, strict=False)
    ]
    project.apply(draw_joint_line(project, filled.joint.id, photo.id, path))


def test_a_typed_length_gives_the_scale(project, photo):
    ends = (PointPx(100, 100), PointPx(500, 400))

    project.apply(scale_by_length(project, photo.id, ends, 60))

    measured = project.get(Photo, photo.id)
    assert measured.mm_per_px == pytest.approx(0.12)
    assert measured.scale_source == "typed length, 60 mm"


@pytest.mark.parametrize("length_mm", [0, -3, float("nan"), 20_000])
def test_an_impossible_length_is_refused(project, photo, length_mm):
    with pytest.raises(BadInput, match="A length cannot be"):
        scale_by_length(project, photo.id, (PointPx(0, 0), PointPx(500, 0)), length_mm)


def test_a_length_outside_the_photo_is_refused(project, photo):
    with pytest.raises(BadInput, match="outside bank1_cover_i1"):
        scale_by_length(project, photo.id, (PointPx(0, 0), PointPx(99_999, 0)), 30)


def test_measured_bolts_give_the_scale_along_their_joint(project, filled, photo):
    lined(project, filled, photo, [0.0, 30.0, 60.0, 90.0])

    project.apply(scale_by_bolts(project, photo.id, filled.joint.id))

    measured = project.get(Photo, photo.id)
    assert measured.mm_per_px == pytest.approx(0.15)
    assert measured.scale_source == "bolts 1 and 4 of Cover joint"


def test_only_a_straight_stretch_of_the_joint_counts(project, filled, photo):
    # Bolts 1 to 3 lie on a line; the joint then turns a corner, so bolt 4 is nearer than 90 mm.
    path = [
        LinePoint(PointPx(200, 700), 1),
        LinePoint(PointPx(400, 700), 2),
        LinePoint(PointPx(600, 700), 3),
        LinePoint(PointPx(600, 900), 4),
    ]
    lined(project, filled, photo, [0.0, 30.0, 60.0, 90.0], path)

    project.apply(scale_by_bolts(project, photo.id, filled.joint.id))

    assert project.get(Photo, photo.id).mm_per_px == pytest.approx(0.15)


def test_bolts_that_lie_otherwise_are_refused(project, filled, photo):
    lined(project, filled, photo, [0.0, 50.0, 60.0, 90.0])

    with pytest.raises(BadInput, match="not spaced in the photo as they are said to be"):
        scale_by_bolts(project, photo.id, filled.joint.id)


def test_bolts_whose_places_nobody_measured_give_no_scale(project, filled, photo):
    lined(project, filled, photo, [None, 30.0, None, None])

    with pytest.raises(BadInput, match="Fewer than two bolts"):
        scale_by_bolts(project, photo.id, filled.joint.id)
    assert all(bolt.station_mm in (None, 30.0) for bolt in project.all(Bolt))


def test_a_photo_without_the_joint_s_line_gives_no_scale(project, filled, photo):
    with pytest.raises(BadInput, match="no line of 'Cover joint'"):
        scale_by_bolts(project, photo.id, filled.joint.id)


def test_a_pattern_seen_straight_gives_its_scale(project, photo):
    pattern = [(0.0, 0.0), (80.0, 0.0), (80.0, 50.0), (10.0, 60.0)]
    places = [PointPx(300 + 8 * x, 300 + 8 * y) for x, y in pattern]

    project.apply(scale_by_pattern(project, photo.id, places, pattern))

    measured = project.get(Photo, photo.id)
    assert measured.mm_per_px == pytest.approx(0.125, rel=0.01)
    assert measured.scale_source == "pattern of 4 bolts"


def test_another_pattern_is_refused_and_the_scale_stays(project, photo):
    pattern = [(0.0, 0.0), (80.0, 0.0), (80.0, 50.0), (10.0, 60.0)]
    places = [PointPx(300 + 8 * x, 300 + 8 * y) for x, y in pattern]

    with pytest.raises(BadInput, match="stays as it was"):
        scale_by_pattern(project, photo.id, places, [*pattern[:3], (25.0, 60.0)])


def test_the_scale_is_carried_from_a_photo_with_a_target(project, photo):
    other = put(project, "bank1_cover_i0")

    project.apply(carry_scale(project, other.id, photo.id))

    measured = project.get(Photo, photo.id)
    assert measured.mm_per_px == pytest.approx(TRUE_MM_PER_PX, rel=NEARLY)
    assert measured.scale_source == "carried from bank1_cover_i0.jpg, printed target, 30 mm"


def test_a_photo_without_a_target_gives_no_scale_to_carry(project, photo):
    other = put(project, "bank2_cover_i0")

    with pytest.raises(BadInput, match="no scale to carry"):
        carry_scale(project, other.id, photo.id)


@pytest.mark.thorough
def test_photos_of_different_places_carry_no_scale(project):
    # A pair that marks are not carried between either, so it is matched once for both tests.
    other, photo = put(project, "strainer"), put(project, "bank1_cover_i3")

    with pytest.raises(BadInput, match="could not be laid over each other"):
        carry_scale(project, other.id, photo.id)


class TestFindScale:
    def zoned(self, project, filled, name, **fields):
        photo = replace(put(project, name), zone_id=filled.zone.id, **fields)
        project.apply(replaced(project.get(Photo, photo.id), photo))
        return photo

    def test_the_photo_s_own_target_goes_first(self, project, filled):
        photo = self.zoned(project, filled, "bank1_cover_i0")

        project.apply(find_scale(project, photo.id))

        assert project.get(Photo, photo.id).scale_source == "printed target, 30 mm"

    def test_then_that_of_another_photo_of_the_zone_with_the_side_it_was_measured_by(
        self, project, filled
    ):
        # Somebody measured the printed square with a calliper: 29.4 mm.
        other = self.zoned(project, filled, "bank1_cover_i0")
        project.apply(find_scale(project, other.id, 29.4))
        photo = self.zoned(project, filled, "bank1_cover_i1")

        project.apply(find_scale(project, photo.id))

        found = project.get(Photo, photo.id)
        assert found.scale_source == "carried from bank1_cover_i0.jpg, printed target, 29.4 mm"
        assert found.mm_per_px == pytest.approx(TRUE_MM_PER_PX * 0.98, rel=NEARLY)

    def test_then_measured_bolts(self, project, filled):
        photo = self.zoned(project, filled, "bank1_cover_i1")
        lined(project, filled, photo, [0.0, 30.0, 60.0, 90.0])

        project.apply(find_scale(project, photo.id))

        assert project.get(Photo, photo.id).scale_source == "bolts 1 and 4 of Cover joint"

    def test_without_any_of_them_it_says_what_to_do(self, project, filled):
        photo = self.zoned(project, filled, "bank1_cover_i1")

        with pytest.raises(BadInput, match="No printed target is found in bank1_cover_i1"):
            find_scale(project, photo.id)
