"""Beads of the flange's own colour, found by how they look across; against painted ones."""

from itertools import pairwise

import numpy as np
import pytest

from leaktrack.imaging.beading.sectioning import REACH, STEPS_TO_A_WIDTH, sectioned
from leaktrack.imaging.beading.sequencing import sequence_of
from leaktrack.imaging.beading.straightening import strip_of, track_of
from tests.paint_beads import Painting, painted

PHOTO_MM = (72.0, 26.0)


def looked_at(what):
    seen = painted(what)
    last = np.array(seen.rgb.shape[1::-1]) - 1
    is_inside = ((seen.path_px > 3) & (seen.path_px < last - 3)).all(axis=1)
    track = track_of(
        seen.path_px[is_inside][::12], seen.along_mm[is_inside][::12], np.linalg.inv(seen.to_px),
        what.width / STEPS_TO_A_WIDTH, 0.5 * what.width,
    )  # fmt: skip
    strip = strip_of(seen.rgb, track, REACH * what.width)
    return sectioned(strip, what.width), track.along


@pytest.mark.parametrize("ground", ["machined", "cast", "painted"])
def test_a_gap_in_clear_sealant_is_found_where_it_is(ground):
    found, along = looked_at(
        Painting(colour="clear", ground=ground, gaps=((40.0, 44.0),), reach_mm=PHOTO_MM, seed=3)
    )

    gone = along[~found.is_bead]
    assert gone.min() == pytest.approx(40, abs=1)
    assert gone.max() == pytest.approx(44, abs=1)
    assert len(gone) == (~found.is_bead[(along > 38) & (along < 46)]).sum()  # and nowhere else
    assert found.width == pytest.approx(3.0, rel=0.15)
    assert np.median(found.share[found.is_bead]) == pytest.approx(1, abs=0.15)
    assert found.noise < 0.2  # chance shows much less of it than the bead does


def likeliest(odds, end_cost=5.0, move_cost=0.25):
    """Try every course of a bead of one size over two places; the costs are those of the module."""
    best, course = -np.inf, None
    columns = odds.shape[2]
    for code in np.ndindex(*(3,) * columns):  # 0: none, 1 and 2: a place
        value = sum(odds[0, state - 1, column] for column, state in enumerate(code) if state)
        for before, after in pairwise(code):
            value -= end_cost * ((before == 0) != (after == 0))
            value -= move_cost * (before > 0 and after > 0 and before != after)
        value -= end_cost * (code[0] == 0)
        if value > best:
            best, course = value, code
    return course


@pytest.mark.parametrize("seed", range(4))
def test_the_course_is_the_likeliest_of_all(seed):
    odds = np.random.default_rng(seed).normal(0, 6, (1, 2, 7))

    found = sequence_of(odds)

    course = likeliest(odds)
    assert found.is_there.tolist() == [state > 0 for state in course]
    assert [p + 1 for p, there in zip(found.place, found.is_there, strict=True) if there] == [
        state for state in course if state
    ]
