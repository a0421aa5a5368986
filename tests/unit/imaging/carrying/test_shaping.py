import numpy as np
import pytest

from leaktrack.imaging.carrying.shaping import carried_shape
from leaktrack.imaging.matching.aligning import AlignmentState, Carried
from leaktrack.model.place import PlaceState

SHIFT = np.array([30.0, -12.0])
LINE = np.stack([np.linspace(100, 900, 9), 400 + 20 * np.sin(np.linspace(0, 3, 9))], axis=1)


class Shifted:
    """Moves all by one shift; some places are wrong, or hidden, around a place of the line."""

    state = AlignmentState.ALIGNED
    size = (1000, 750)

    def __init__(self, wrong_at=None, hidden_at=None, reach_px=6.0):
        self._wrong_at, self._hidden_at, self._reach_px = wrong_at, hidden_at, reach_px

    def places(self, points):
        xy = points + SHIFT
        if self._wrong_at is not None:
            xy[np.abs(points[:, 0] - self._wrong_at) < self._reach_px] += (0, 25)
        return xy

    def carry(self, points):
        xy, sigma = self.places(points), np.full(len(points), 1.0)
        states = [PlaceState.CARRIED] * len(points)
        if self._hidden_at is not None:
            for place in np.flatnonzero(np.abs(points[:, 0] - self._hidden_at) < self._reach_px):
                xy[place], sigma[place], states[place] = np.nan, np.inf, PlaceState.HIDDEN
        return Carried(xy, sigma, tuple(states))


def test_a_shape_that_moves_as_one_is_carried_as_it_is():
    carried = carried_shape(Shifted(), LINE)

    assert np.abs(carried.xy - (LINE + SHIFT)).max() < 0.01
    assert set(carried.states) == {PlaceState.CARRIED}


def test_a_corner_that_goes_elsewhere_than_its_neighbours_is_outvoted():
    carried = carried_shape(Shifted(wrong_at=500), LINE)

    assert np.linalg.norm(carried.xy[4] - (LINE + SHIFT)[4]) < 2


def test_a_hidden_corner_lies_where_its_neighbours_say_and_is_uncertain():
    carried = carried_shape(Shifted(hidden_at=500), LINE)

    assert carried.states[4] is PlaceState.UNCERTAIN
    assert np.linalg.norm(carried.xy[4] - (LINE + SHIFT)[4]) < 2
    assert carried.sigma_px[4] >= 1


def test_a_stretch_that_is_hidden_for_long_is_not_guessed():
    carried = carried_shape(Shifted(hidden_at=500, reach_px=250), LINE)

    assert carried.states[4] is PlaceState.HIDDEN
    assert np.isnan(carried.xy[4]).all()
    assert carried.states[0] is PlaceState.CARRIED


def test_what_lies_beyond_the_new_photo_is_outside():
    carried = carried_shape(Shifted(), LINE + np.array([80, 0]))

    assert carried.states[-1] is PlaceState.OUTSIDE
    assert np.isnan(carried.xy[-1]).all()


def test_an_outline_is_carried_around_its_last_corner():
    turns = np.linspace(0, 2 * np.pi, 40, endpoint=False)
    outline = np.stack([500 + 60 * np.cos(turns), 300 + 90 * np.sin(turns)], axis=1)

    carried = carried_shape(Shifted(), outline, is_closed=True)

    assert np.abs(carried.xy - (outline + SHIFT)).max() < 0.5


@pytest.mark.parametrize("count", [0, 1])
def test_fewer_than_two_corners_are_no_shape(count):
    assert len(carried_shape(Shifted(), LINE[:count]).xy) == count
