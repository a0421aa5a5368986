import numpy as np
import pytest

from leaktrack.analysis.stationing import ruled_line
from tests.unit.analysis.a_flange import Flange, bolts_at

PLACES = [12.0, 50, 92, 131, 168, 210, 246, 285, 324, 361]
ROW = np.array([[-190.0, 10], [190, 10]])
COVER = np.array([[-90.0, -60], [90, -60], [110, 0], [90, 60], [-90, 60], [-110, 0]])


def error_mm(flange: Flange, places: list[float], shown: list[int], along_mm: float) -> float:
    """How far off is the place that the line tells of a place on the flange?"""
    bolts = bolts_at(places)
    line = flange.line({number: places[number - 1] for number in shown})
    ruled = ruled_line(line, bolts, is_closed=flange.is_closed, length_mm=flange.length_mm)
    station = ruled.station_at(flange.seen(along_mm)).station
    off = ruled.ruler.value(station) - along_mm
    return abs((off + flange.length_mm / 2) % flange.length_mm - flange.length_mm / 2)


@pytest.mark.parametrize("lean_deg", [0, 12, 25])
@pytest.mark.parametrize("along_mm", [31.0, 110, 200, 300, 372])
def test_a_row_of_bolts_tells_stations_on_a_flange_that_leans(lean_deg, along_mm):
    # Closed form: a pin-hole camera over a plane. Equal steps in the photo are 7 mm off here.
    flange = Flange(ROW, right_deg=lean_deg)

    assert error_mm(flange, PLACES, [1, 5, 10], along_mm) < 0.1


@pytest.mark.parametrize(("right_deg", "top_deg"), [(20, 0), (0, 20), (-14, 17)])
@pytest.mark.parametrize("along_mm", [20.0, 210, 333, 600])
def test_bolts_all_round_tell_the_lean_both_ways(right_deg, top_deg, along_mm):
    flange = Flange(COVER, right_deg, top_deg, is_closed=True)
    places = [float(each) for each in np.linspace(5, flange.length_mm - 30, 10)]

    assert error_mm(flange, places, [1, 2, 4, 5, 7, 9, 10], along_mm) < 0.6


def test_equal_steps_would_be_off_by_millimetres():
    flange = Flange(ROW, right_deg=25)
    unmeasured = tuple(bolt for bolt in bolts_at([None] * len(PLACES)))
    line = flange.line({number: PLACES[number - 1] for number in (1, 5, 10)})

    station = ruled_line(line, unmeasured, is_closed=False).station_at(flange.seen(110)).station

    assert abs(np.interp(station, np.arange(1, 11), PLACES) - 110) > 3


def test_a_photo_from_the_other_side_counts_the_bolts_the_same_way():
    flange = Flange(ROW, right_deg=15)
    mirrored = Flange(ROW[::-1], right_deg=15)
    places = {number: PLACES[number - 1] for number in (2, 5, 9)}
    turned = {number: mirrored.length_mm - place for number, place in places.items()}
    bolts = bolts_at(PLACES)

    one = ruled_line(flange.line(places), bolts, is_closed=False)
    other = ruled_line(mirrored.line(turned), bolts, is_closed=False)

    for along_mm in (60.0, 187.0, 300.0):
        place = flange.seen(along_mm)
        assert other.station_at(place).station == pytest.approx(one.station_at(place).station)


def test_two_bolts_tell_no_lean():
    flange = Flange(ROW, right_deg=15)

    ruled = ruled_line(flange.line({2: PLACES[1], 9: PLACES[8]}), bolts_at(PLACES), is_closed=False)

    assert ruled.lean.parts == (0, 0, 0, 0)
