import numpy as np
import pytest

from leaktrack.analysis.leaning import STRAIGHT, laid_flat, lean_of_plane
from leaktrack.analysis.stationing import ruled_line
from leaktrack.model.engine import Bolt, JointLine, LinePoint
from leaktrack.model.identity import new_id
from leaktrack.model.shapes import PointPx
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


class TestPlaneOfATarget:
    """A pin-hole camera looks at a flange that leans; what is true is worked out by geometry."""

    FOCAL_PX, MIDDLE = 1600.0, np.array([800.0, 600.0])

    def seen(self, places_mm, turn_deg, about):
        """Return places of the plane in px, and the map from px to mm."""
        turn, axis = np.radians(turn_deg), np.array(about, float)
        across = np.array([[0, -axis[2], axis[1]], [axis[2], 0, -axis[0]], [-axis[1], axis[0], 0]])
        rotation = np.eye(3) + np.sin(turn) * across + (1 - np.cos(turn)) * across @ across
        camera = np.array([[self.FOCAL_PX, 0, 800.0], [0, self.FOCAL_PX, 600.0], [0, 0, 1]])
        to_px = camera @ np.column_stack([rotation[:, :2], [5.0, -8.0, 300.0]])
        there = np.column_stack([places_mm, np.ones(len(places_mm))]) @ to_px.T
        xy = there[:, :2] / there[:, 2:]
        to_mm = np.linalg.inv(to_px)
        to_mm *= np.sign(to_mm[2] @ np.append(xy[0], 1))
        return [PointPx(float(x), float(y)) for x, y in xy], tuple(to_mm.ravel())

    @pytest.mark.parametrize("about", [(1, 0, 0), (0, 1, 0), (0.6, 0.8, 0)])
    def test_it_lays_the_flange_flat(self, about):
        corners = np.array([[-40, 20], [-15, -18], [10, 22], [45, -10], [50, 15]], float)
        path, to_mm = self.seen(corners, 32, about)

        flat = laid_flat(path, lean_of_plane(path, to_mm), is_closed=False)

        true = np.linalg.norm(np.diff(corners, axis=0), axis=1)
        assert np.diff(flat.flat) / np.diff(flat.flat)[0] == pytest.approx(true / true[0])
        plain = laid_flat(path, STRAIGHT, is_closed=False)
        worst = np.abs(np.diff(plain.flat) / np.diff(plain.flat)[0] / (true / true[0]) - 1).max()
        assert worst > 0.05  # what is seen is not so

    def test_two_bolts_then_tell_places_between_them(self):
        """Halfway from bolt to bolt on the flange is not halfway in the photo."""
        places = np.array([[-60, 0], [0, 0], [60, 0]], float)
        path, to_mm = self.seen(places, 40, (0, 1, 0))
        points = (LinePoint(path[0], 1), LinePoint(path[2], 2))
        joint_id = new_id()
        line = JointLine(joint_id=joint_id, photo_id=new_id(), points=points)
        bolts = [Bolt(joint_id=joint_id, number=number) for number in (1, 2)]

        with_plane = ruled_line(line, bolts, is_closed=False, plane=to_mm)
        without = ruled_line(line, bolts, is_closed=False)

        assert with_plane.station_at(path[1]).station == pytest.approx(1.5, abs=1e-6)
        assert abs(without.station_at(path[1]).station - 1.5) > 0.05

    def test_what_lies_behind_the_camera_or_is_no_number_tells_nothing(self):
        path = [PointPx(0, 0), PointPx(100, 0)]

        assert lean_of_plane(path, (1, 0, 0, 0, 1, 0, 0, 0, -1)) is STRAIGHT
        assert lean_of_plane(path, (float("nan"),) * 9) is STRAIGHT
        assert lean_of_plane(path, (1, 0, 0, 0, 1, 0, 0.02, 0, 1)) is STRAIGHT  # too steep

    def test_another_lean_than_the_target_s_stays_possible_but_less_than_any(self):
        doubt = np.array(lean_of_plane([PointPx(0, 0), PointPx(9, 0)], np.eye(3).ravel()).doubt)

        assert (np.diag(doubt) > 0).all()
        assert (np.diag(doubt) < np.diag(STRAIGHT.doubt)).all()
