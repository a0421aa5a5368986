"""Places are tied to photos directly, and through others."""

import numpy as np

from leaktrack.imaging.surveying.tying import tied
from leaktrack.model.place import PlaceState
from tests.surveyed_zone import Told, places_and_nearness

PLACES, _ = places_and_nearness(30)


def test_places_are_tied_directly_and_through_a_photo_between():
    shift = np.array([10.0, 4.0])
    ways = {
        (0, 1): Told(PLACES, PLACES + shift),
        (0, 2): Told(PLACES, PLACES + 2 * shift),
        (2, 1): Told(PLACES + 2 * shift, PLACES + shift + 0.5),
    }

    found = tied(PLACES, ways)

    assert [(each.photo, each.is_direct) for each in found] == [(1, True), (2, True), (1, False)]
    assert np.allclose(found[2].xy, PLACES + shift + 0.5)


def test_what_is_not_sure_ties_nothing():
    ways = {(0, 1): Told(PLACES, PLACES, PlaceState.UNCERTAIN), (0, 2): Told(PLACES, PLACES)}

    assert [each.photo for each in tied(PLACES, ways)] == [2]


def test_no_way_leads_back_to_the_reference():
    ways = {(0, 1): Told(PLACES, PLACES), (1, 0): Told(PLACES, PLACES)}

    assert [each.photo for each in tied(PLACES, ways)] == [1]
