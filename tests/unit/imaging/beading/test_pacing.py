"""Told places along a path give back the very map through which they were drawn."""

import numpy as np
import pytest

from leaktrack.imaging.beading.pacing import plane_of_steps
from leaktrack.imaging.measuring.projecting import Camera, through
from tests.paint_beads import looking

SIZE = (900, 600)
CAMERA = Camera(SIZE, 0.98 * SIZE[0], 0.04, is_told=True)


def curved(count=60):
    """A bent path on the plane, in mm, and how far along it each place lies."""
    x = np.linspace(-48, 48, count)
    path = np.column_stack([x, 18 * np.cos(x / 22)])
    along = np.append(0, np.cumsum(np.linalg.norm(np.diff(path, axis=0), axis=1)))
    return path, along


@pytest.mark.parametrize("tilt", [(0, 0), (25, 0), (0, -25), (18, 14), (-30, 10)])
def test_a_bent_path_tells_how_the_flange_leans(tilt):
    to_px = looking(tilt, 8.0, SIZE)
    path, along = curved()

    found = plane_of_steps(through(to_px, path), along, CAMERA)

    across = np.array([[0.0, -18], [0, 22]])  # 40 mm, square to the path's main direction
    seen = through(found.to_mm, through(to_px, across))
    assert np.linalg.norm(seen[1] - seen[0]) == pytest.approx(40, rel=0.03)
    assert found.misfit < 0.01


@pytest.mark.parametrize("lean", [0, 20, -30])
def test_a_straight_path_tells_lengths_along_it(lean):
    to_px = looking((0, lean), 8.0, SIZE)
    along = np.linspace(0, 90, 12)
    path = np.column_stack([along - 45, np.full(12, 5.0)])

    found = plane_of_steps(through(to_px, path), along, CAMERA)

    ends = through(found.to_mm, through(to_px, np.array([[-30.0, 5], [30, 5]])))
    assert np.linalg.norm(ends[1] - ends[0]) == pytest.approx(60, rel=0.01)


def test_clicks_that_are_a_little_off_hardly_matter():
    to_px = looking((15, 10), 8.0, SIZE)
    path, along = curved(14)
    shaky = through(to_px, path + np.random.default_rng(3).normal(0, 0.25, path.shape))

    found = plane_of_steps(shaky, along, CAMERA)

    ends = through(found.to_mm, through(to_px, path[[2, -3]]))
    assert np.linalg.norm(ends[1] - ends[0]) == pytest.approx(
        np.linalg.norm(path[-3] - path[2]), rel=0.02
    )


def test_places_that_no_flange_has_are_told_by_their_misfit():
    to_px = looking((0, 0), 8.0, SIZE)
    path, along = curved()

    found = plane_of_steps(through(to_px, path), along**2 / along[-1], CAMERA)

    assert found.misfit > 0.15
