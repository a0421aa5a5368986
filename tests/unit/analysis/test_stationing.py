import pytest

from leaktrack.analysis.spanning import wet_span
from leaktrack.analysis.stationing import point_at, ruled_line, station_at
from leaktrack.model.engine import Bolt, JointLine, LinePoint
from leaktrack.model.errors import BadInput
from leaktrack.model.identity import new_id
from leaktrack.model.shapes import PointPx

JOINT = new_id()


def bolts(count, *stations_mm):
    places = stations_mm or (None,) * count
    return tuple(
        Bolt(joint_id=JOINT, number=number, station_mm=place)
        for number, place in enumerate(places, start=1)
    )


def line(*points):
    return JointLine(
        joint_id=JOINT,
        photo_id=new_id(),
        points=tuple(LinePoint(PointPx(x, y), number) for x, y, number in points),
    )


STRAIGHT = line((0, 0, 3), (100, 0, 4), (200, 0, 5), (350, 0, 6))
BENT = line((0, 0, 4), (60, 0, None), (60, 40, 5))
MIRRORED = line((0, 0, 6), (100, 0, 5), (200, 0, 4))
OVERHANGING = line((-50, 0, None), (0, 0, 3), (100, 0, 4), (150, 0, None))
SQUARE = line((0, 0, 1), (100, 0, 2), (100, 100, 3), (0, 100, 4))
OVER_THE_SEAM = line((0, 0, 7), (100, 0, 8), (200, 0, 1), (300, 0, 2))
LOZENGE = line((100, 0, 1), (50, 40, None), (0, 0, 2), (50, -40, None), (99, -1, None))
PLAIN = line((0, 0, None), (30, 0, None), (30, 70, None))


@pytest.mark.parametrize(
    ("drawn", "point", "station"),
    [
        (STRAIGHT, PointPx(0, 5), 3.0),
        (STRAIGHT, PointPx(160, -8), 4.6),
        (STRAIGHT, PointPx(275, 0), 5.5),
        (BENT, PointPx(60, 0), 4.6),
        (MIRRORED, PointPx(40, 0), 5.6),
        (OVERHANGING, PointPx(-25, 0), 2.75),
        (OVERHANGING, PointPx(125, 0), 4.25),
    ],
)
def test_a_station_grows_with_path_length_between_its_bolts(drawn, point, station):
    fix = station_at(drawn, bolts(11), False, point)

    assert fix.station == pytest.approx(station)


def test_a_fix_says_where_on_the_line_it_is_and_how_far_off_the_point_lies():
    fix = station_at(STRAIGHT, bolts(11), False, PointPx(160, -8))

    assert (fix.at_px, fix.distance_px) == (PointPx(160, 0), 8)


@pytest.mark.parametrize(
    ("point", "station"),
    [
        (PointPx(0, 0), 1.0),
        (PointPx(100, 30), 2.3),
        (PointPx(0, 50), 4.5),
        (PointPx(0, 10), 4.9),
    ],
)
def test_stations_of_a_whole_loop_run_on_past_the_last_bolt_to_the_first(point, station):
    assert station_at(SQUARE, bolts(4), True, point).station == pytest.approx(station)


@pytest.mark.parametrize(
    ("point", "station"),
    [(PointPx(50, 0), 7.5), (PointPx(150, 0), 8.5), (PointPx(225, 0), 1.25)],
)
def test_a_stretch_of_a_closed_joint_may_run_over_its_first_bolt(point, station):
    assert station_at(OVER_THE_SEAM, bolts(8), True, point).station == pytest.approx(station)


def test_a_loop_with_two_bolts_is_read_in_the_order_in_which_it_is_drawn():
    below = station_at(LOZENGE, bolts(2), True, PointPx(50, 40)).station
    above = station_at(LOZENGE, bolts(2), True, PointPx(50, -40)).station

    assert below == pytest.approx(1.5)
    assert above == pytest.approx(2.5, abs=0.01)


def test_a_joint_without_bolts_counts_the_fraction_of_its_line():
    assert station_at(PLAIN, (), False, PointPx(30, 20)).station == pytest.approx(0.5)


def test_measured_bolts_place_one_that_the_photo_does_not_show():
    hidden = line((0, 0, 1), (100, 0, 3))
    evenly = station_at(hidden, bolts(3), False, PointPx(30, 0)).station
    measured = station_at(hidden, bolts(3, 0, 30, 100), False, PointPx(30, 0)).station

    assert evenly == pytest.approx(1.6)
    assert measured == pytest.approx(2.0)


def test_measured_bolts_do_not_move_stations_between_two_bolts_that_are_shown():
    straight_on = bolts(6, 10, 50, 90, 130, 170, 230)  # 2.5 px to the mm everywhere

    assert station_at(STRAIGHT, straight_on, False, PointPx(160, 0)).station == pytest.approx(4.6)


def test_bolts_that_lie_otherwise_than_measured_do_not_lay_the_line_flat():
    typed_wrong = bolts(6, 10, 50, 90, 170, 180, 230)

    assert station_at(STRAIGHT, typed_wrong, False, PointPx(160, 0)).station == pytest.approx(4.6)


def test_beyond_the_last_bolt_shown_measured_places_go_on_in_millimetres():
    measured = bolts(3, 0, 50, 150)
    shown = line((0, 0, 1), (100, 0, 2), (200, 0, None))

    assert station_at(shown, measured, False, PointPx(200, 0)).station == pytest.approx(2.5)


def test_one_bolt_alone_tells_no_station():
    fix = station_at(line((0, 0, None), (50, 0, 3), (90, 0, None)), bolts(5), False, PointPx(9, 9))

    assert fix.station is None
    assert fix.distance_px == 9


def test_two_clicks_on_one_pixel_do_no_harm():
    doubled = line((0, 0, 3), (0, 0, 4), (100, 0, 5))

    assert station_at(doubled, bolts(5), False, PointPx(50, 0)).station == pytest.approx(4.0)


@pytest.mark.parametrize(
    ("drawn", "count", "is_closed"),
    [
        (line((0, 0, 3), (1, 0, 5), (2, 0, 4)), 8, False),
        (line((0, 0, 1), (1, 0, 3), (2, 0, 2), (3, 0, 4)), 4, True),
    ],
)
def test_bolt_numbers_that_jump_back_and_forth_are_refused(drawn, count, is_closed):
    with pytest.raises(BadInput, match="only rise or only fall"):
        ruled_line(drawn, bolts(count), is_closed=is_closed)


@pytest.mark.parametrize(
    ("drawn", "count", "is_closed", "first", "last"),
    [
        (STRAIGHT, 11, False, 3.0, 6.0),
        (BENT, 11, False, 4.0, 5.0),
        (MIRRORED, 11, False, 4.0, 6.0),
        (OVERHANGING, 11, False, 2.5, 4.5),
        (SQUARE, 4, True, 1.0, 4.999),
        (OVER_THE_SEAM, 8, True, 7.0, 10.0),
        (LOZENGE, 2, True, 1.0, 2.999),
        (PLAIN, 0, False, 0.0, 1.0),
    ],
)
@pytest.mark.parametrize("share", [0.0, 0.07, 0.31, 0.5, 0.77, 0.93, 1.0])
def test_the_place_of_a_station_has_that_station(drawn, count, is_closed, first, last, share):
    ruled = ruled_line(drawn, bolts(count), is_closed=is_closed)
    station = ruled.ruler.wrapped(first + share * (last - first))

    place = ruled.point_at(station)

    assert ruled.station_at(place).station == pytest.approx(station, abs=1e-6)
    assert ruled.station_at(place).distance_px == pytest.approx(0, abs=1e-6)


@pytest.mark.parametrize("place", [0.02, 0.2, 0.4, 0.6, 0.8, 0.98])
def test_measured_closed_joints_go_round_as_well(place):
    measured = bolts(4, 10, 40, 60, 100)
    ruled = ruled_line(
        line((0, 0, 3), (60, 0, 4), (60, 60, 2)), measured, is_closed=True, length_mm=120
    )

    station = ruled.ruler.wrapped(3 + place * 3)

    assert ruled.station_at(ruled.point_at(station)).station == pytest.approx(station)


def test_a_station_that_the_photo_does_not_show_has_no_place():
    assert point_at(STRAIGHT, bolts(11), False, 8.0) is None


@pytest.mark.parametrize(
    ("drawn", "count", "is_closed", "stretches"),
    [
        (STRAIGHT, 11, False, ((3, 6),)),
        (OVERHANGING, 11, False, ((2.5, 4.5),)),
        (MIRRORED, 11, False, ((4, 6),)),
        (SQUARE, 4, True, ((1, 5),)),
        (OVER_THE_SEAM, 8, True, ((1, 2), (7, 9))),
    ],
)
def test_stretches_say_what_of_the_joint_a_photo_shows(drawn, count, is_closed, stretches):
    shown = ruled_line(drawn, bolts(count), is_closed=is_closed).stretches()

    assert shown == tuple(pytest.approx(stretch) for stretch in stretches)


def test_a_wet_area_spans_the_stations_at_which_its_edge_comes_near_the_joint():
    run_down = (PointPx(120, -5), PointPx(170, -5), PointPx(170, 300), PointPx(20, 300))
    ruled = ruled_line(STRAIGHT, bolts(11), is_closed=False)

    low, high = wet_span(ruled, run_down, PointPx(140, 3), within_px=10)

    assert low == pytest.approx(4.16, abs=0.02)
    assert high == pytest.approx(4.7, abs=0.02)


def test_a_wet_area_over_the_first_bolt_of_a_loop_spans_without_a_jump():
    around_the_corner = (PointPx(-4, 20), PointPx(4, 20), PointPx(30, 4), PointPx(30, -4))
    ruled = ruled_line(SQUARE, bolts(4), is_closed=True)

    low, high = wet_span(ruled, around_the_corner, PointPx(10, 1), within_px=5)

    assert low == pytest.approx(0.8, abs=0.02)
    assert high == pytest.approx(1.3, abs=0.02)


@pytest.mark.parametrize("source", [PointPx(20, 0), PointPx(0, 20)], ids=["past", "before"])
def test_a_source_on_either_side_of_the_first_bolt_spans_the_same_wet_area(source):
    corner = (PointPx(-4, 20), PointPx(20, -4), PointPx(26, 10), PointPx(10, 26))
    ruled = ruled_line(SQUARE, bolts(4), is_closed=True)

    low, high = wet_span(ruled, corner, source, within_px=5)

    assert low <= ruled.station_at(source).station <= high
    assert high - low == pytest.approx(0.4, abs=0.1)


def test_a_mark_without_an_outline_spans_its_source_alone():
    ruled = ruled_line(STRAIGHT, bolts(11), is_closed=False)

    assert wet_span(ruled, (), PointPx(140, 9), within_px=10) == (4.4, 4.4)


def test_the_average_spacing_of_bolts_is_known_in_pixels():
    assert ruled_line(STRAIGHT, bolts(11), is_closed=False).spacing_px == pytest.approx(350 / 3)
    assert ruled_line(SQUARE, bolts(4), is_closed=True).spacing_px == pytest.approx(100)
    assert ruled_line(PLAIN, (), is_closed=False).spacing_px is None
