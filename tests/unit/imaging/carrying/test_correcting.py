import numpy as np
import pytest

from leaktrack.imaging.carrying.correcting import Corrected
from leaktrack.imaging.matching.aligning import AlignmentState, Carried
from leaktrack.model.place import PlaceState

AT = np.array([[500.0, 300.0]])


class Off:
    """Carries all places by one shift, with one standard deviation."""

    state = AlignmentState.ALIGNED
    size = (1000, 750)

    def __init__(self, sigma_px=8.0):
        self._sigma_px = sigma_px

    def places(self, points):
        return points + np.array([40.0, 10.0])

    def carry(self, points):
        states = (PlaceState.UNCERTAIN,) * len(points)
        return Carried(self.places(points), np.full(len(points), self._sigma_px), states)


@pytest.fixture
def corrected():
    """One place was carried 6 px too far left and 2 px too low."""
    return Corrected(Off(), AT, AT + np.array([46.0, 8.0]), 1000)


def shift_of(corrected, away_px):
    points = AT + np.array([away_px, 0.0])
    return corrected.carry(points).xy[0] - Off().places(points)[0]


def test_the_place_itself_lies_nearly_where_it_was_put(corrected):
    # The hand's own error counts a tenth: 1 / 1.1 of the way.
    assert shift_of(corrected, 0) == pytest.approx(np.array([6, -2]) / 1.1)


def test_what_is_near_is_taken_along_and_what_is_far_is_not(corrected):
    shares = [shift_of(corrected, away)[0] / 6 for away in (10, 50, 400)]

    assert shares == pytest.approx(np.exp(-np.array([10, 50, 400]) / 50) / 1.1)
    assert shares[2] < 0.001


def test_doubt_falls_near_the_place_and_nowhere_grows(corrected):
    points = AT + np.stack([np.array([0, 10, 50, 400.0]), np.zeros(4)], axis=1)

    sigma = corrected.carry(points).sigma_px

    # Of two normal variables, with squared likeness e^(-2 d / 50) / 1.1 left of the variance.
    left = 1 - np.exp(-2 * np.array([0, 10, 50, 400]) / 50) / 1.1
    assert sigma == pytest.approx(8 * np.sqrt(left), rel=1e-6)


def test_a_sure_place_beside_an_unsure_one_is_hardly_moved():
    class HalfSure(Off):
        def carry(self, points):
            carried = super().carry(points)
            sigma = np.where(points[:, 0] > 505, 0.5, 8.0)
            return Carried(carried.xy, sigma, carried.states)

    corrected = Corrected(HalfSure(), AT, AT + np.array([46.0, 10.0]), 1000)

    assert np.linalg.norm(shift_of(corrected, 10)) < 0.5


def test_a_gross_error_is_not_spread_further_than_three_sigmas():
    corrected = Corrected(Off(2.0), AT, AT + np.array([140.0, 10.0]), 1000)

    assert shift_of(corrected, 10)[0] <= 3 * 2.0


def test_between_two_corrections_places_go_with_both():
    here = np.array([[500.0, 300.0], [540.0, 300.0]])
    there = Off().places(here) + np.array([[6.0, 0.0], [-6.0, 0.0]])

    middle = Corrected(Off(), here, there, 1000).carry(np.array([[520.0, 300.0]]))

    assert middle.xy[0] == pytest.approx([560, 310])


def test_a_place_that_is_pushed_out_of_the_photo_is_outside():
    edge = np.array([[958.0, 300.0]])

    carried = Corrected(Off(), edge, edge + np.array([47.0, 10.0]), 1000).carry(edge)

    assert carried.states == (PlaceState.OUTSIDE,)
