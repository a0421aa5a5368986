"""A carried line, and how it goes along with a point that a person puts right."""

import numpy as np
import pytest

from leaktrack.model.engine import JointLine, LinePoint
from leaktrack.model.identity import new_id
from leaktrack.model.shapes import PointPx
from leaktrack.workflows.carry_joint_lines import LineProposal

LONGEST = 2000
RANGE = 0.05 * LONGEST


def proposal(*sigmas):
    points = tuple(
        LinePoint(PointPx(100.0 * place, 400), place + 1) for place in range(len(sigmas))
    )
    line = JointLine(joint_id=new_id(), photo_id=new_id(), points=points)
    return LineProposal(line, True, max(sigmas), sigmas)


def moved_by(found, place):
    return found[place].y - 400


def test_neighbours_go_along_the_nearer_the_more():
    found = proposal(8.0, 8.0, 8.0, 8.0).taken_along({0: PointPx(0, 411)}, LONGEST)

    # The hand's own error counts a tenth; likeness falls to 1/e over the range.
    expected = 10 * np.exp(-np.array([100, 200, 300]) / RANGE)
    assert [moved_by(found, place) for place in (1, 2, 3)] == pytest.approx(expected)
    assert found[1].x == 100


def test_a_sure_neighbour_goes_along_less():
    found = proposal(8.0, 2.0, 8.0).taken_along({0: PointPx(0, 411)}, LONGEST)

    assert moved_by(found, 1) == pytest.approx(10 / np.e / 4)


def test_an_unsure_neighbour_goes_no_further_than_the_one_put_right():
    found = proposal(2.0, 50.0).taken_along({0: PointPx(0, 411)}, LONGEST)

    assert moved_by(found, 1) == pytest.approx(10 / np.e)


def test_points_that_were_put_right_are_not_moved():
    found = proposal(8.0, 8.0, 8.0).taken_along({0: PointPx(0, 411), 2: PointPx(200, 389)}, LONGEST)

    assert set(found) == {1}
    assert moved_by(found, 1) == pytest.approx(0, abs=1e-9)  # midway between up and down
