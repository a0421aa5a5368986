"""A guess is held against the places around it and against the other guesses."""

import numpy as np
import pytest

from leaktrack.imaging.carrying.surrounding import SURROUNDED_CLUES, surrounded
from leaktrack.imaging.carrying.weighing import DEPTH_CLUES

ROWS, COLS = 30, 40
PATCH = (slice(14, 16), slice(18, 20))  # a few nodes where the second guess looks better
INSIDE = (15, 19)


@pytest.fixture(scope="module")
def clues():
    """Two guesses: one likely everywhere, the other unlikely but for a patch, and 9 px away."""
    down, across = np.mgrid[0:ROWS, 0:COLS].astype(np.float32) * 2
    where = np.dstack([across, down])
    wheres = np.stack([where, where + np.float32(9)])
    chance = np.stack([np.full((ROWS, COLS), 0.8), np.full((ROWS, COLS), 0.1)]).astype(np.float32)
    chance[1][PATCH] = 0.9
    own = np.random.default_rng(3).random((2, ROWS, COLS, len(DEPTH_CLUES)), np.float32)
    return own, surrounded(own, chance, wheres)


def named(found, name, guess, node=INSIDE):
    return float(found[(guess, *node, SURROUNDED_CLUES.index(name))])


def test_the_clues_of_guesses_by_themselves_stay(clues):
    own, found = clues

    assert found.shape == (2, ROWS, COLS, len(SURROUNDED_CLUES))
    assert np.array_equal(found[..., : len(DEPTH_CLUES)], own)


def test_a_guess_that_looks_right_on_a_patch_only_is_found_out(clues):
    _, found = clues

    assert named(found, "chance by itself", 1) > named(found, "chance by itself", 0)
    for name in ("chance close by", "chance around", "least chance close by"):
        assert named(found, name, 1) < named(found, name, 0)


def test_what_moves_unlike_its_neighbours_is_told(clues):
    _, found = clues

    elsewhere = (5, 5)
    assert named(found, "off what is likeliest around", 0, elsewhere) == pytest.approx(0, abs=1e-3)
    off_px = np.hypot(9, 9) * 2  # told in px of pictures twice as large
    told = named(found, "off what is likeliest around", 1, elsewhere)
    assert told == pytest.approx(np.log1p(off_px), rel=1e-3)
    beside, on = (named(found, "off what is likeliest around", guess) for guess in (0, 1))
    assert beside < on  # the patch does not draw its surroundings along


def test_shares_of_guesses_that_agree_add_up(clues):
    _, found = clues

    shares = [named(found, "share of all chance within 5 px", guess, (2, 2)) for guess in (0, 1)]

    assert shares == pytest.approx([0.8 / 0.9, 0.1 / 0.9], abs=0.01)
