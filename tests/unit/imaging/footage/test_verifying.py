"""A picture is believed by what is matched again, and less by a glance alone."""

from dataclasses import replace

import cv2
import numpy as np
import pytest

from leaktrack.imaging.footage import verifying
from leaktrack.imaging.footage.asking import wanted
from leaktrack.imaging.footage.believing import chance
from leaktrack.imaging.footage.redrawing import Again
from leaktrack.imaging.footage.verifying import evidence, glance
from leaktrack.imaging.matching.learned_matching import LearnedMatcher
from leaktrack.model.shapes import BoxPx
from leaktrack.places import resource
from tests.pictures import casting, relit

SIZE = (960, 720)


@pytest.fixture(scope="module")
def matcher():
    return LearnedMatcher(resource("models"))


@pytest.fixture(scope="module")
def query(matcher):
    return wanted(matcher, relit(casting(*SIZE, 1), gain=0.9), SIZE)


@pytest.fixture(scope="module")
def seen(matcher, query):
    frame = np.ascontiguousarray(casting(*SIZE, 1)[100:640, 0:960])
    return glance(matcher, query, frame)


@pytest.fixture(scope="module")
def again(matcher, query, seen):
    return evidence(matcher, query, seen)


def test_what_is_lost_when_matched_again_is_told_by_the_glance_and_believed_less(
    matcher, query, seen, again, monkeypatch
):
    nothing = np.empty((0, 2))
    lost = Again(nothing, nothing, 0.0, 0, (nothing, nothing), 0.0)
    monkeypatch.setattr(verifying, "matched_again", lambda *_: lost)

    found = evidence(matcher, query, seen)

    assert again.is_again
    assert not found.is_again
    assert found.agreeing == seen.along
    assert found.inside > 0
    assert 0 < chance(found) < chance(again)


def test_where_it_lies_is_told_by_a_motion_that_no_depth_makes_wild(query, again):
    # The frame begins 100 px down and is cut off 80 px above the photo's end.
    assert again.plane is not None
    assert again.plane[2] == pytest.approx([0, 0, 1])
    assert again.plane[:2] == pytest.approx(np.array([[1, 0, 0], [0, 1, -100]]), abs=2.0)
    assert again.in_sight == pytest.approx(540 / 720, abs=0.1)


def test_a_picture_that_nothing_was_seen_in_shows_nothing(matcher, query, seen):
    blind = replace(seen, motion=verifying.Motion(None, np.empty((0, 2)), np.empty((0, 2)), 7))

    found = evidence(matcher, query, blind)

    assert (found.agreeing, found.matched, found.plane) == (0, 7, None)
    assert chance(found) == 0


def test_where_opencv_refuses_its_own_model_the_flat_surface_tells(
    matcher, query, seen, monkeypatch
):
    usual = evidence(matcher, query, seen)

    def refuse(*_, **__):
        raise cv2.error("(-215:Assertion failed) !model.empty() in function 'setModelParameters'")

    monkeypatch.setattr(cv2, "findFundamentalMat", refuse)

    found = evidence(matcher, query, seen)

    assert found.agreeing >= 0.9 * found.matched
    assert found.in_sight == pytest.approx(usual.in_sight, abs=0.02)


def test_without_a_sane_surface_the_motion_tells_where_it_lies(
    matcher, query, seen, again, monkeypatch
):
    monkeypatch.setattr(verifying, "surface", lambda *_: None)

    found = evidence(matcher, query, seen)

    assert found.is_again
    assert found.agreeing == again.agreeing
    assert found.in_sight == pytest.approx(again.in_sight, abs=0.02)
    assert found.alike.fine > 0.8 * again.alike.fine


def test_what_matters_may_lie_off_the_surface_of_most_matches(matcher, query, seen, monkeypatch):
    few = np.array([[100.0, 100.0], [620.0, 180.0], [300.0, 420.0], [500.0, 300.0]])
    many = query.features.xy.astype(float)
    off = Again(few, few - (0, 100), 0.01, 4, (many, many - (0, 100)), 0.02)
    part = replace(query, around=BoxPx(150.0, 200.0, 80.0, 80.0))
    monkeypatch.setattr(verifying, "matched_again", lambda *_: off)

    found = evidence(matcher, part, seen)

    assert found.inside > 0
    assert found.along == pytest.approx(0.02 * len(many))
