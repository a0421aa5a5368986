"""Eight arrays are put in order; checked against NumPy, which sorts one place at a time."""

import numpy as np

from leaktrack.imaging.carrying.ordering import in_order


def test_every_order_of_noughts_and_ones_is_sorted():
    # A network that sorts these sorts everything (the 0-1 principle, Knuth, "The Art of Computer
    # Programming", volume 3, section 5.3.4).
    eights = ((np.arange(256) >> np.arange(8)[:, None]) & 1).astype(np.float32)

    assert np.array_equal(in_order(eights), np.sort(eights, axis=0))


def test_what_was_given_stays_as_it_was():
    eights = np.random.default_rng(3).normal(size=(8, 20, 30)).astype(np.float32)
    before = eights.copy()

    assert np.array_equal(in_order(eights), np.sort(before, axis=0))
    assert np.array_equal(eights, before)
