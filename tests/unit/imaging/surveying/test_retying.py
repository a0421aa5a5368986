"""A photo is looked at once more, from where depths that are nearly right put its places."""

import numpy as np
import pytest

from leaktrack.imaging.carrying.flattening import pictures
from leaktrack.imaging.carrying.sweeping import STEP_PX, Depths
from leaktrack.imaging.carrying.triangulating import USUAL_FOCAL, Pose
from leaktrack.imaging.surveying.filling import Filled
from leaktrack.imaging.surveying.intersecting import intersected
from leaktrack.imaging.surveying.retying import tied_anew
from leaktrack.imaging.surveying.surveying import Survey
from leaktrack.imaging.surveying.tying import NEW
from tests.pictures import casting, relit

SIZE = (720, 540)
MOVED_PX, TOLD_PX = 20, 17.0  # where all lies, and where depths put it


@pytest.fixture(scope="module")
def reference():
    return casting(*SIZE)


def tied(reference_rgb, new_rgb):
    one, other = (pictures(rgb, SIZE)[0].halved() for rgb in (reference_rgb, new_rgb))
    aside = Pose(np.array([0, 0, 0, 0, 0, 0, 0, 1.0, 0, 0]), SIZE, SIZE)
    shape = one.nodes(STEP_PX).shape[:2]
    told = np.full(shape, TOLD_PX / (USUAL_FOCAL * SIZE[0]), np.float32)
    nothing = np.zeros(shape, np.float32)
    filled = Filled(np.zeros(3), Depths(told, nothing, nothing, 0.01), one)
    survey = Survey({NEW: aside}, intersected({}, np.empty((0, 2)), []))
    (ties,) = tied_anew(survey, filled, one, {NEW: other})
    return ties, one.to_full(one.nodes().reshape(-1, 2).astype(float))


def test_places_are_found_where_they_are_not_where_depths_put_them(reference):
    moved = relit(np.roll(reference, MOVED_PX, axis=1), gamma=0.85)

    ties, places = tied(reference, moved)

    assert ties.photo == NEW
    assert len(ties.place) > 0.5 * len(places)
    off = ties.xy - places[ties.place] - (MOVED_PX, 0)
    assert np.percentile(np.linalg.norm(off, axis=1), 90) < 0.5


def test_another_casting_is_hardly_tied_anywhere(reference):
    ties, places = tied(reference, casting(*SIZE, 9))

    assert len(ties.place) < 0.1 * len(places)  # 6 in 100, by chance
