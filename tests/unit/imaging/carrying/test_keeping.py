import numpy as np
import pytest

from leaktrack.imaging.carrying.flattening import Shrinkage
from leaktrack.imaging.carrying.keeping import from_bytes, to_bytes
from leaktrack.imaging.carrying.refining import FineAlignment
from leaktrack.imaging.matching.aligning import Alignment, AlignmentState
from leaktrack.imaging.matching.framing import Framed, Window

SIZE = (400, 300)
POINTS = np.array([[10.0, 20.0], [200.5, 150.25], [390.0, 290.0]])


def plain(state=AlignmentState.ALIGNED):
    here = np.random.default_rng(1).uniform(0, 300, (60, 2))
    return Alignment(state, here, 2 * here, np.eye(3), SIZE)


def fine():
    random = np.random.default_rng(2)
    where = random.uniform(0, 70, (20, 25, 2)).astype(np.float32)
    chance = random.uniform(0, 1, (20, 25)).astype(np.float32)
    px = np.array([4.0, 4.05])
    return FineAlignment(
        AlignmentState.UNRELIABLE, where, chance, Shrinkage(px), Shrinkage(2 * px), SIZE
    )


def framed():
    return Framed(fine(), Window(5, 6, 380, 280), Window(0, 1, 400, 250), SIZE)


@pytest.mark.parametrize(
    "placing", [plain(), plain(AlignmentState.FAILED), fine(), framed()], ids=lambda it: type(it)
)
def test_what_was_kept_carries_the_same_places_to_the_same_ones(placing):
    again = from_bytes(to_bytes(placing))

    one, other = placing.carry(POINTS), again.carry(POINTS)
    assert (again.state, again.size) == (placing.state, placing.size)
    assert other.states == one.states
    np.testing.assert_array_equal(other.xy, one.xy)
    np.testing.assert_array_equal(other.sigma_px, one.sigma_px)


def test_half_a_file_is_nothing():
    content = to_bytes(fine())

    assert from_bytes(content[: len(content) // 2]) is None
    assert from_bytes(b"") is None
