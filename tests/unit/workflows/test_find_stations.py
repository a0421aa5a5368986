"""Stations by a drawn line, and by one whose places were carried from another photo."""

from dataclasses import replace
from math import hypot, sqrt

import pytest

from leaktrack.analysis.doubting import CARRIED, CLICKED
from leaktrack.model.engine import JointLine, LinePoint
from leaktrack.model.place import PlaceState
from leaktrack.model.record import removed, replaced
from leaktrack.model.shapes import PointPx
from leaktrack.workflows import carry_stations
from leaktrack.workflows.align_photos import CarriedPoint
from leaktrack.workflows.find_stations import station_line, stations_in
from tests.leaking_engine import tell


@pytest.fixture
def story(project):
    return tell(project)


def line_in(project, story, place):
    (line,) = project.all(
        JointLine, joint_id=story.cover_joint.id, photo_id=story.cover_photos[place].id
    )
    return line


def test_a_place_has_its_station_with_its_doubt_and_its_distance(project, story):
    point = PointPx(750, 830)

    (placed,) = stations_in(project, story.cover_joint.id, story.cover_photos[0].id, [point])

    assert placed.station == pytest.approx(3.5)
    assert placed.distance_px == 30
    # The source, two bolts' places that count half, a slant over 30 px, and how far seams bend.
    off_px = hypot(6, 5 / sqrt(2), 0.15 * 30, 0.012 * 300)
    assert placed.sigma == pytest.approx(off_px / 300, rel=0.15)
    assert placed.sigma_mm == pytest.approx(placed.sigma * 300 * 0.15)
    assert placed.mm is None  # its bolts are not measured


def test_a_line_that_may_have_been_carried_is_doubted_more_than_the_drawn_one(project, story):
    zone = story.cover
    project.apply(replaced(zone, replace(zone, reference_photo_id=story.cover_photos[0].id)))

    drawn, other = (
        station_line(project, story.cover_joint.id, photo.id) for photo in story.cover_photos[:2]
    )

    assert set(drawn.knots_px) == {CLICKED * 2000}
    assert set(other.knots_px) == {CARRIED * 2000}


def test_a_point_that_was_carried_is_as_doubtful_as_that_besides_a_click(project, story):
    line = line_in(project, story, 1)
    bolts = [place for place, point in enumerate(line.points) if point.bolt_number is not None]
    sigmas = [5.0 + place for place in range(len(line.points))]
    sigmas[bolts[0]] = None  # a person put it there
    points = tuple(
        replace(point, sigma_px=sigma) for point, sigma in zip(line.points, sigmas, strict=True)
    )
    before = station_line(project, story.cover_joint.id, story.cover_photos[1].id)
    project.apply(replaced(line, replace(line, points=points)))

    after = station_line(project, story.cover_joint.id, story.cover_photos[1].id)

    clicked = CLICKED * 2000
    assert len(after.knots_px) == len(before.knots_px)
    assert after.knots_px[0] == clicked
    assert after.knots_px[-1] == pytest.approx(hypot(clicked, sigmas[bolts[-1]]))
    place = after.ruled.path[-1]
    sigma = [line.placed(place, sigma_px=0).sigma for line in (before, after)]
    assert sigma[1] > sigma[0]


def test_a_mark_past_the_end_of_the_line_is_known_less_well(project, story):
    places = [PointPx(1490, 800), PointPx(1560, 800)]

    inside, past = stations_in(project, story.cover_joint.id, story.cover_photos[0].id, places)

    assert past.station == pytest.approx(6)
    assert past.sigma > 60 / 300 > 5 * inside.sigma


@pytest.fixture
def close(project, story, monkeypatch):
    """A photo that shows 250 px of another one, between bolts 3 and 4, four times as large."""

    def carried_by(_alignment, points):
        return tuple(
            CarriedPoint(PlaceState.CARRIED, PointPx(4 * (at.x - 625), 4 * (at.y - 650)), 5.0)
            if 625 <= at.x <= 875
            else CarriedPoint(PlaceState.OUTSIDE)
            for at in points
        )

    monkeypatch.setattr(carry_stations, "alignment_of", lambda *_: None)
    monkeypatch.setattr(carry_stations, "carried_by", carried_by)
    return story.cover_photos[1]


def test_a_close_photo_without_bolts_has_stations_by_places_that_were_carried(
    project, story, close
):
    seam = (LinePoint(PointPx(0, 610)), LinePoint(PointPx(1000, 590)))
    line = line_in(project, story, 1)
    project.apply(replaced(line, replace(line, points=seam)))

    (placed,) = stations_in(project, story.cover_joint.id, close.id, [PointPx(500, 640)])

    assert placed.station == pytest.approx(3.5, abs=0.01)


def test_without_a_line_the_carried_places_are_the_line(project, story, close, monkeypatch):
    project.apply(removed(line_in(project, story, 1)))
    monkeypatch.setattr("leaktrack.workflows.find_stations.carry_joint_line", lambda *_, **__: None)

    line = station_line(project, story.cover_joint.id, close.id)

    assert line.is_carried
    assert line.ruled.point_at(3.6).x == pytest.approx(4 * (780 - 625))
    # What was carried is known to 5 px; the bolts it comes from add 3 px of four times the size.
    assert all(5.0 < sigma < hypot(5, 4 * 6) for sigma in line.knots_px)
    assert line.are_alike


def test_where_nothing_can_be_carried_no_station_is_told(project, story, close, monkeypatch):
    nowhere = CarriedPoint(PlaceState.OUTSIDE)
    monkeypatch.setattr(carry_stations, "carried_by", lambda _, points: (nowhere,) * len(points))
    line = line_in(project, story, 1)
    project.apply(replaced(line, replace(line, points=line.points[:2])))  # one bolt

    assert stations_in(project, story.cover_joint.id, close.id, [PointPx(500, 640)]) == (None,)


def test_a_photo_that_shows_one_bolt_takes_the_stations_of_another_photo(project, story, close):
    line = line_in(project, story, 1)
    one_bolt = (LinePoint(PointPx(0, 600)), LinePoint(PointPx(1000, 600), 4))
    project.apply(replaced(line, replace(line, points=one_bolt)))

    (placed,) = stations_in(project, story.cover_joint.id, close.id, [PointPx(100, 600)])

    assert placed.station == pytest.approx(2 + (625 + 25 - 300) / 300, abs=0.01)
