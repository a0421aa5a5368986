import numpy as np
import pytest

from leaktrack.imaging.matching.aligning import AlignmentState, Carried
from leaktrack.model.place import PlaceState
from leaktrack.model.shapes import PointPx
from leaktrack.workflows.follow_places import mesh_of

WIDTH, HEIGHT = 1000, 700
# A photo taken from a little further right, turned by 10 degrees and nearer by half.
TURN = 1.5 * np.array([[np.cos(0.17), -np.sin(0.17)], [np.sin(0.17), np.cos(0.17)]])
SHIFT = np.array([-120.0, 45.0])


class Turned:
    """Places moved by a known turn, magnification and shift; hidden at the left."""

    state = AlignmentState.ALIGNED
    size = (1500, 1200)

    def places(self, points):
        return points @ TURN.T + SHIFT

    def carry(self, points):
        xy = self.places(points)
        is_hidden = points[:, 0] < 100
        xy[is_hidden] = np.nan
        states = tuple(PlaceState.HIDDEN if one else PlaceState.CARRIED for one in is_hidden)
        return Carried(xy, np.where(is_hidden, np.inf, 2.0), states)


@pytest.fixture
def mesh():
    return mesh_of(Turned(), WIDTH, HEIGHT)


@pytest.mark.parametrize("at", [(500, 300), (13.5, 20), (980, 690)])
def test_a_place_is_found_in_the_other_photo_and_back(mesh, at):
    there = mesh.there(PointPx(*at))

    assert (there.x, there.y) == pytest.approx(tuple(TURN @ at + SHIFT), abs=0.5)
    back = mesh.back(there)
    assert (back.x, back.y) == pytest.approx(at, abs=0.5)


def test_magnification_tells_how_much_larger_things_are_there(mesh):
    assert mesh.magnification(PointPx(400, 300)) == pytest.approx(1.5, rel=0.01)


def test_a_place_that_the_one_photo_does_not_show_leads_to_its_edge(mesh):
    back = mesh.back(PointPx(-5000, 400))

    assert 0 <= back.x <= WIDTH + mesh.step_px
    assert 0 <= back.y <= HEIGHT + mesh.step_px


def test_hidden_places_are_not_known(mesh):
    step = mesh.step_px

    assert not mesh.is_known[:, : int(100 / step)].any()
    assert mesh.is_known[:, int(100 / step) + 1 :].all()
