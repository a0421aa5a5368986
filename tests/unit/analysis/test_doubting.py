import numpy as np
import pytest

from leaktrack.analysis.doubting import station_doubt
from leaktrack.analysis.stationing import ruled_line
from leaktrack.model.shapes import PointPx
from tests.unit.analysis.a_flange import Flange, bolts_at
from tests.unit.analysis.test_stationing import PLAIN, SQUARE, STRAIGHT, bolts

ROW = np.array([[-190.0, 10], [190, 10]])
PLACES = [12.0, 50, 92, 131, 168, 210, 246, 285, 324, 361]


def doubt(ruled, along_px, **known):
    given = {"place_px": 2.0, "knots_px": 2.0, **known}
    return station_doubt(ruled, along_px, **given)


def test_a_click_beside_a_bolt_is_as_doubtful_as_both_clicks():
    ruled = ruled_line(STRAIGHT, bolts(11), is_closed=False)

    assert doubt(ruled, 100).stations == pytest.approx(np.hypot(0.02, 0.02), rel=0.15)


def test_between_two_bolts_their_clicks_count_less():
    straight_on = ruled_line(STRAIGHT, bolts(6, 10, 50, 90, 130, 170, 230), is_closed=False)

    between, beside = (doubt(straight_on, along, place_px=0).stations for along in (150, 101))

    assert between == pytest.approx(np.hypot(0.02 / np.sqrt(2), 0.012), rel=0.1)
    assert beside == pytest.approx(0.02, rel=0.1)


def test_doubt_grows_beyond_the_last_bolt():
    line = Flange(ROW).line({number: PLACES[number - 1] for number in (3, 4, 5)})
    ruled = ruled_line(line, bolts_at(PLACES), is_closed=False)

    inside, near, far = (doubt(ruled, along).stations for along in (600, 1000, 1700))

    assert inside < near < far


def test_a_bolt_that_is_not_shown_adds_doubt_unless_its_place_is_measured():
    line = Flange(ROW).line({number: PLACES[number - 1] for number in (2, 4, 6)})
    unmeasured = ruled_line(line, bolts(10), is_closed=False)
    measured = ruled_line(line, bolts_at(PLACES), is_closed=False)

    assert doubt(unmeasured, 400).stations > 1.5 * doubt(measured, 400).stations


def test_millimetres_come_from_the_bolts_else_from_the_photo_else_from_nowhere():
    measured = ruled_line(STRAIGHT, bolts(6, 10, 50, 90, 130, 170, 230), is_closed=False)
    plain = ruled_line(STRAIGHT, bolts(11), is_closed=False)

    by_bolts = doubt(measured, 150, place_px=5, knots_px=0)
    by_scale = doubt(plain, 150, place_px=5, knots_px=0, mm_per_px=0.4)

    assert by_bolts.mm == pytest.approx(2, rel=0.2)
    assert by_scale.mm == pytest.approx(2, rel=0.2)
    assert doubt(plain, 150).mm is None


@pytest.mark.parametrize("ruled", [ruled_line(SQUARE, bolts(4), is_closed=True)])
def test_a_place_of_a_loop_past_the_last_bolt_has_the_doubt_of_its_neighbours(ruled):
    assert doubt(ruled, 350).stations == pytest.approx(doubt(ruled, 50).stations, rel=0.1)


def test_a_joint_without_bolts_has_its_doubt_in_fractions_of_its_line():
    ruled = ruled_line(PLAIN, (), is_closed=False)

    told = doubt(ruled, 1, mm_per_px=0.5)

    assert told.stations == pytest.approx(np.hypot(0.02, 0.02), rel=0.1)
    assert told.mm == pytest.approx(told.stations * 100 * 0.5)


def test_one_knot_may_be_known_less_well_than_the_others():
    ruled = ruled_line(STRAIGHT, bolts(11), is_closed=False)
    knots = (1.0, 1.0, 9.0, 1.0)

    assert (
        doubt(ruled, 195, knots_px=knots).stations > 2 * doubt(ruled, 60, knots_px=knots).stations
    )


def test_knots_that_are_off_alike_do_not_make_up_for_each_other():
    straight_on = ruled_line(STRAIGHT, bolts(6, 10, 50, 90, 130, 170, 230), is_closed=False)

    alike = doubt(straight_on, 150, place_px=0, are_alike=True).stations

    assert alike == pytest.approx(np.hypot(0.02, 0.012), rel=0.1)


def test_doubts_hold_about_as_often_as_they_say():
    """Clicks and a lean drawn at random: two thirds of the stations lie within one sigma."""
    rng = np.random.default_rng(5)
    off = []
    for _ in range(120):
        flange = Flange(ROW, right_deg=float(rng.normal(0, 12)))
        shown = sorted(rng.choice(np.arange(1, 11), 4, replace=False).tolist())
        line = flange.line({number: PLACES[number - 1] for number in shown})
        points = tuple(
            type(point)(PointPx(point.at.x + rng.normal(0, 3.0), point.at.y), point.bolt_number)
            for point in line.points
        )
        clicked = type(line)(joint_id=line.joint_id, photo_id=line.photo_id, points=points)
        ruled = ruled_line(clicked, bolts_at(PLACES), is_closed=False)
        along_mm = float(rng.uniform(5, 375))
        seen = flange.seen(along_mm)
        fix = ruled.station_at(PointPx(seen.x + rng.normal(0, 2.0), seen.y))
        along_px = ruled.feet(np.array([[seen.x, seen.y]]))[0][0]
        told = station_doubt(ruled, float(along_px), place_px=2.0, knots_px=3.0).mm
        off.append(abs(ruled.ruler.value(fix.station) - along_mm) / told)

    within_one, within_two = np.mean(np.array(off) < 1), np.mean(np.array(off) < 2)
    assert 0.58 < within_one < 0.85
    assert within_two > 0.9
