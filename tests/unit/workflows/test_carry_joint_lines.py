"""A carried line, and how it goes along with a point that a person puts right."""

from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

from leaktrack.imaging.carrying import shaping
from leaktrack.imaging.matching.aligning import AlignmentState
from leaktrack.model.engine import JointLine, LinePoint
from leaktrack.model.identity import new_id
from leaktrack.model.photo import Photo
from leaktrack.model.record import removed, replaced
from leaktrack.model.shapes import PointPx
from leaktrack.workflows import carry_joint_lines
from leaktrack.workflows.carry_joint_lines import LineProposal, carry_joint_line
from leaktrack.workflows.draw_joint_line import draw_joint_line
from tests.leaking_engine import tell

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


def test_what_is_accepted_keeps_how_well_it_was_carried(project, monkeypatch):
    """Drawn at hand's accuracy, one point carried before: both doubts add up as squares."""
    story = tell(project)
    old = project.get(Photo, story.cover_photos[0].id)
    (line,) = project.all(JointLine, joint_id=story.cover_joint.id, photo_id=old.id)
    first, *rest = line.points
    before = replace(line, points=(replace(first, sigma_px=3.0, head=None), *rest))
    project.apply(replaced(line, before))
    new = project.get(Photo, story.cover_photos[1].id)
    project.apply(removed(*project.all(JointLine, photo_id=new.id)))
    sigma = np.full(len(line.points), 4.0)

    class Seams:
        xy = np.array([(point.at.x, point.at.y) for point in line.points])
        sigma_px = sigma

    class Lying:
        state = AlignmentState.ALIGNED
        size = (old.width_px, old.height_px)

        def carry(self, places):
            return SimpleNamespace(xy=places)

    monkeypatch.setattr(carry_joint_lines, "alignment_of", lambda *_: Lying())
    monkeypatch.setattr(carry_joint_lines, "_drawn_line", lambda *_: before)
    monkeypatch.setattr(carry_joint_lines, "_bolts", lambda *_: None)
    monkeypatch.setattr(shaping, "carried_shape", lambda *_: Seams)

    proposal = carry_joint_line(project, story.cover_joint.id, new.id)
    project.apply(draw_joint_line(project, story.cover_joint.id, new.id, proposal.line.points))

    (kept,) = project.all(JointLine, joint_id=story.cover_joint.id, photo_id=new.id)
    assert [point.sigma_px for point in kept.points] == pytest.approx([5.0] + [4.0] * len(rest))
    assert kept.sigma_px == 5.0
