import numpy as np
import pytest

from leaktrack.analysis.spacing import room
from leaktrack.analysis.spreading import density
from tests.unit.analysis.trace_weights import WEIGHTS
from tests.unit.analysis.tracing_scenes import MM_PER_PX, SIZE, scene

PLACES = WEIGHTS.places
LEVEL_Y = 500
LEVEL = np.column_stack([np.arange(0.0, SIZE[0], 5), np.full(SIZE[0] // 5, float(LEVEL_Y))])


@pytest.mark.parametrize("y", [500, 560, 620, 900])
def test_room_is_the_share_of_places_off_the_joints_weighed_by_how_likely_each_is(y):
    """By hand: a level line across the photo takes 20 mm of its 225 mm."""
    source = scene(1000, y).source
    x, down = np.meshgrid(np.arange(500, 1500, 4.0), np.arange(y - 500, y + 500, 4.0))
    xy = np.column_stack([x.ravel(), down.ravel()])
    likely = density(source, xy, PLACES)
    is_free = np.abs(xy[:, 1] - LEVEL_Y) * MM_PER_PX > PLACES["apart_mm"]
    here = likely[is_free].sum() / likely.sum()
    free = 1 - 2 * PLACES["apart_mm"] / (SIZE[1] * MM_PER_PX)
    wanted = PLACES["anywhere"] + (1 - PLACES["anywhere"]) * here / free

    found = room(source, [LEVEL], [5 * MM_PER_PX], PLACES)

    assert found == pytest.approx(wanted, rel=0.1)


def test_without_a_recorded_joint_there_is_room_anywhere():
    assert room(scene(1000, 500).source, [], [], PLACES) == 1
