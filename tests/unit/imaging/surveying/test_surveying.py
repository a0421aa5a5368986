"""Cameras and depths are found from where several photos show the same places."""

import numpy as np
import pytest

from leaktrack.imaging.surveying.adjusting import Block, adjusted
from leaktrack.imaging.surveying.intersecting import intersected
from leaktrack.imaging.surveying.resecting import resected
from leaktrack.imaging.surveying.surveying import Survey, readjusted, surveyed
from leaktrack.imaging.surveying.tying import REFERENCE, Ties
from tests.surveyed_zone import SIZE, places_and_nearness, true_pose, true_ties

SIZES = dict.fromkeys(range(4), SIZE)


def go_on():
    """Never stop."""


def off_px(survey, photo, places, nearness):
    pose, true = survey.poses[photo], true_pose(photo)
    found = pose.seen_there(pose.rays(places), survey.depths.nearness)
    return np.linalg.norm(found - true.seen_there(true.rays(places), nearness), axis=1)


def test_three_photos_tell_where_places_lie_in_each():
    places, nearness = places_and_nearness()
    ties = [true_ties(photo, places, nearness, noise_px=0.3) for photo in (1, 2, 3)]

    survey = surveyed(places, SIZES, ties, go_on)

    assert sorted(survey.poses) == [1, 2, 3]
    for photo in (1, 2, 3):
        assert np.median(off_px(survey, photo, places, nearness)) < 0.5
    share = survey.depths.nearness / nearness  # no photo tells a length, so one factor is free
    assert np.std(share) / np.mean(share) < 0.02


def test_a_photo_with_mostly_wrong_ties_is_placed_by_the_others():
    """Six of ten places are said to lie somewhere else; the survey tells where they do."""
    places, nearness = places_and_nearness()
    wrong = true_ties(1, places, nearness, noise_px=0.3)
    rng = np.random.default_rng(3)
    is_wrong = rng.random(len(places)) < 0.6
    wrong.xy[is_wrong] = rng.uniform((0, 0), SIZE, (int(is_wrong.sum()), 2))
    ties = [wrong, *(true_ties(photo, places, nearness, noise_px=0.3) for photo in (2, 3))]

    survey = surveyed(places, SIZES, ties, go_on)

    assert np.percentile(off_px(survey, 1, places, nearness), 95) < 1.5
    assert survey.depths.votes[~is_wrong].mean() > survey.depths.votes[is_wrong].mean() + 0.8


def test_a_photo_that_hardly_shares_anything_has_no_pose():
    places, nearness = places_and_nearness()
    few = true_ties(3, places, nearness)
    few = Ties(3, few.place[:12], few.xy[:12], is_direct=True)
    ties = [*(true_ties(photo, places, nearness) for photo in (1, 2)), few]

    assert sorted(surveyed(places, SIZES, ties, go_on).poses) == [1, 2]


def test_too_few_ties_begin_nothing():
    places, nearness = places_and_nearness(40)

    assert surveyed(places, SIZES, [true_ties(1, places, nearness)], go_on) is None


@pytest.mark.parametrize("noise_px", [0.0, 0.3])
def test_photos_from_the_same_spot_tell_no_depth(noise_px):
    places, _ = places_and_nearness()
    ties = []
    for photo in (1, 2):
        noise = np.random.default_rng(photo).normal(0, noise_px, places.shape)
        ties.append(Ties(photo, np.arange(len(places)), places + noise, is_direct=True))

    assert surveyed(places, SIZES, ties, go_on) is None


@pytest.mark.parametrize("spread_px", [0.01, 700.0])
def test_ties_by_chance_or_all_to_one_spot_tell_nothing_and_break_nothing(spread_px):
    places, _ = places_and_nearness()
    rng = np.random.default_rng(3)
    ties = [
        Ties(photo, np.arange(len(places)), 20 + rng.uniform(0, spread_px, places.shape), True)
        for photo in (1, 2)
    ]

    assert surveyed(places, SIZES, ties, go_on) is None


def test_no_depth_lies_behind_a_camera():
    """One flat surface fits several cameras; by some of these, places would lie behind them."""
    places, nearness = places_and_nearness()
    flat = np.full(len(places), nearness.mean())
    ties = [true_ties(photo, places, flat, noise_px=0.3) for photo in (1, 2)]

    survey = surveyed(places, SIZES, ties, go_on)

    known = survey.depths.nearness[np.isfinite(survey.depths.nearness)]
    assert len(known) >= 100
    assert known.min() > 0


def test_it_can_be_stopped():
    places, nearness = places_and_nearness()
    ties = [true_ties(photo, places, nearness) for photo in (1, 2)]

    def stop():
        raise InterruptedError

    with pytest.raises(InterruptedError):
        surveyed(places, SIZES, ties, stop)


def test_seen_from_another_photo_the_same_places_lie_at_the_same_spots():
    places, nearness = places_and_nearness()
    survey = Survey({photo: true_pose(photo) for photo in (1, 2)}, intersected({}, places, []))
    there = true_ties(1, places, nearness).xy
    near_there = true_pose(1).nearness_there(true_pose(1).rays(places), nearness)

    found = survey.seen_from(1)

    for photo, expected in ((REFERENCE, places), (2, true_ties(2, places, nearness).xy)):
        pose = found[photo]
        seen = pose.seen_there(pose.rays(there), near_there)
        assert np.abs(seen - expected).max() < 1e-6


def test_better_ties_make_a_survey_exact():
    places, nearness = places_and_nearness()
    rough = [true_ties(photo, places, nearness, noise_px=2.5) for photo in (1, 2)]
    begun_with = surveyed(places, SIZES, rough, go_on)

    exact = [true_ties(photo, places, nearness) for photo in (1, 2)]
    survey = readjusted(begun_with, places, exact, go_on)

    before, after = (np.median(off_px(each, 1, places, nearness)) for each in (begun_with, survey))
    assert after < 0.1 < before


def test_a_survey_stays_where_too_few_ties_are_found_anew():
    places, nearness = places_and_nearness()
    ties = [true_ties(photo, places, nearness) for photo in (1, 2)]
    begun_with = surveyed(places, SIZES, ties, go_on)
    few = [Ties(1, each.place[:50], each.xy[:50], is_direct=True) for each in ties[:1]]

    assert readjusted(begun_with, places, few, go_on) is begun_with


def test_adjusting_makes_cameras_and_depths_exact():
    places, nearness = places_and_nearness()
    ties = [true_ties(photo, places, nearness) for photo in (1, 2)]
    rng = np.random.default_rng(2)
    poses = {}
    for photo in (1, 2):
        pose = true_pose(photo)
        poses[photo] = type(pose)(pose.values + rng.normal(0, 0.01, 10), SIZE, SIZE)
    block = Block(poses, nearness * rng.uniform(0.9, 1.1, len(nearness)))

    found = adjusted(block, places, ties, (3.0, 1.0, 0.5), go_on)

    for each in ties:
        pose = found.poses[each.photo]
        seen = pose.seen_there(pose.rays(places), found.nearness)
        assert np.median(np.linalg.norm(seen - each.xy, axis=1)) < 0.05
    assert np.linalg.norm(found.poses[1].values[7:10]) == pytest.approx(1)


def test_most_ties_decide_on_a_depth():
    places, nearness = places_and_nearness()
    ties = [true_ties(photo, places, nearness) for photo in (1, 2, 3)]
    ties[0].xy[:100] += (25.0, 0)

    found = intersected({photo: true_pose(photo) for photo in (1, 2, 3)}, places, ties)

    assert np.allclose(found.nearness, nearness, rtol=1e-3)
    assert found.votes[:100] == pytest.approx(2, abs=0.01)
    assert found.against[:100] == pytest.approx(1, abs=0.01)
    assert found.votes[100:] == pytest.approx(3, abs=0.01)


def test_a_place_without_ties_has_no_depth():
    places, nearness = places_and_nearness()
    each = true_ties(1, places, nearness)
    ties = [Ties(1, each.place[10:], each.xy[10:], is_direct=True)]

    found = intersected({1: true_pose(1)}, places, ties)

    assert np.isnan(found.nearness[:10]).all()
    assert np.isfinite(found.nearness[10:]).all()


def test_a_camera_is_placed_by_places_of_known_depth():
    places, nearness = places_and_nearness()
    seen = true_ties(2, places, nearness).xy
    seen[:150] = seen[:150][::-1]

    pose = resected(places, nearness, seen, np.zeros(2), (SIZE, SIZE))

    assert pose.values[4:] == pytest.approx(true_pose(2).values[4:], abs=0.01)


def test_places_by_chance_place_no_camera():
    places, nearness = places_and_nearness()
    anywhere = np.random.default_rng(1).uniform((0, 0), SIZE, (len(places), 2))

    assert resected(places, nearness, anywhere, np.zeros(2), (SIZE, SIZE)) is None
