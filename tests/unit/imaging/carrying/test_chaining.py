import numpy as np
import pytest

from leaktrack.imaging.carrying.chaining import Leg, Through
from leaktrack.imaging.matching.aligning import AlignmentState, Carried
from leaktrack.model.place import PlaceState

POINTS = np.array([[100.0, 100.0], [300.0, 200.0], [500.0, 400.0]])


class Step:
    """Shifts places; each in a state of its own, with one standard deviation for all."""

    def __init__(self, shift, states, sigma_px=2.0, state=AlignmentState.ALIGNED):
        self._shift, self._states, self._sigma_px = np.array(shift), states, sigma_px
        self.state, self.size = state, (1000, 750)

    def places(self, points):
        return points + self._shift

    def carry(self, points):
        states = self._states if isinstance(self._states, list) else [self._states] * len(points)
        hidden = np.array([state is PlaceState.HIDDEN for state in states])
        xy = np.where(hidden[:, None], np.nan, self.places(points))
        return Carried(xy, np.where(hidden, np.inf, self._sigma_px), tuple(states))


SURE, UNSURE, HIDDEN = PlaceState.CARRIED, PlaceState.UNCERTAIN, PlaceState.HIDDEN


def through(direct, *legs):
    return Through(direct, lambda: legs)


def test_a_hidden_place_is_reached_through_a_photo_that_shows_it():
    leg = Leg(Step((10, 0), SURE), Step((20, 5), SURE))

    carried = through(Step((30, 5), [SURE, HIDDEN, UNSURE]), leg).carry(POINTS)

    assert carried.xy[1] == pytest.approx(POINTS[1] + (30, 5))
    assert carried.states == (SURE, SURE, SURE)


def test_doubt_adds_up_along_the_way():
    """3 and 4 make 5 (Pythagoras): two errors that know nothing of each other."""
    leg = Leg(Step((10, 0), SURE, 2.4), Step((20, 5), SURE, 3.2))

    carried = through(Step((30, 5), HIDDEN), leg).carry(POINTS)

    assert carried.sigma_px == pytest.approx(4.0)


def test_the_surest_way_is_taken():
    worse = Leg(Step((10, 0), SURE, 3.0), Step((22, 5), SURE, 3.0))
    better = Leg(Step((10, 0), SURE, 1.0), Step((20, 5), SURE, 1.0))

    carried = through(Step((0, 0), HIDDEN), worse, better).carry(POINTS)

    assert carried.xy == pytest.approx(POINTS + np.array([30, 5]))


def test_a_way_of_much_doubt_is_not_taken():
    leg = Leg(Step((10, 0), SURE, 4.0), Step((20, 5), SURE, 4.0))

    assert through(Step((0, 0), HIDDEN), leg).carry(POINTS).states == (HIDDEN,) * 3


@pytest.mark.parametrize("states", [(SURE, UNSURE), (UNSURE, SURE), (HIDDEN, SURE)])
def test_both_steps_must_be_sure(states):
    leg = Leg(*(Step((10, 0), state) for state in states))

    assert through(Step((0, 0), UNSURE), leg).carry(POINTS).states == (UNSURE,) * 3


def test_where_direct_and_other_way_disagree_the_place_stays_uncertain():
    leg = Leg(Step((10, 0), SURE, 1.0), Step((20, 5), SURE, 1.0))

    carried = through(Step((60, 5), UNSURE, 5.0), leg).carry(POINTS)

    assert carried.states == (UNSURE,) * 3
    assert carried.xy == pytest.approx(POINTS + np.array([60, 5]))


def test_where_they_agree_the_place_lies_between_nearer_to_the_surer_one():
    leg = Leg(Step((10, 0), SURE, 2.4), Step((20, 5), SURE, 3.2))

    carried = through(Step((34, 5), UNSURE, 8.0), leg).carry(POINTS)

    # Weights 1/16 and 1/64: a fifth of the way from 30 to 34.
    assert carried.xy[:, 0] == pytest.approx(POINTS[:, 0] + 30.8)


def test_no_other_photo_is_asked_where_all_is_sure():
    def never():
        raise AssertionError("asked")

    assert Through(Step((1, 1), SURE), never).carry(POINTS).states == (SURE,) * 3


def test_a_photo_that_cannot_be_laid_over_leads_nowhere():
    leg = Leg(Step((10, 0), SURE, state=AlignmentState.FAILED), Step((20, 5), SURE))

    assert through(Step((0, 0), HIDDEN), leg).carry(POINTS).states == (HIDDEN,) * 3


def test_what_all_photos_say_together_goes_before_a_way_through_one():
    leg = Leg(Step((10, 0), SURE, 1.0), Step((20, 5), SURE, 1.0))
    together = Step((31, 6), SURE, 1.5)

    asked = Through(Step((30, 5), [SURE, HIDDEN, UNSURE]), lambda: [leg], lambda: together)

    carried = asked.carry(POINTS)
    assert carried.xy == pytest.approx(POINTS + np.array([31, 6]))
    assert carried.sigma_px == pytest.approx(1.5)


def test_where_photos_say_nothing_together_the_way_through_one_counts():
    leg = Leg(Step((10, 0), SURE, 1.0), Step((20, 5), SURE, 1.0))

    carried = Through(Step((0, 0), HIDDEN), lambda: [leg], lambda: None).carry(POINTS)

    assert carried.xy == pytest.approx(POINTS + np.array([30, 5]))


def test_photos_are_not_looked_at_together_where_all_is_sure():
    def never():
        raise AssertionError("asked")

    assert Through(Step((1, 1), SURE), list, never).carry(POINTS).states == (SURE,) * 3
