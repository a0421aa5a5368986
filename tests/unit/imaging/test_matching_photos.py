import numpy as np
import pytest

from leaktrack.imaging.matching.learned_matching import Features, LearnedMatcher
from leaktrack.imaging.reading import read_upright
from leaktrack.imaging.resembling import SAME_PLACE_MATCHES, agreeing_matches, likeness, look
from leaktrack.places import demo_source, resource

PHOTOS = demo_source() / "photos"


@pytest.fixture(scope="module")
def matcher():
    return LearnedMatcher(resource("models"))


@pytest.fixture(scope="module")
def seen(matcher):
    names = ("bank1_cover_i0", "bank1_cover_i2", "bank2_solenoid_i0")
    return {name: features_of(matcher, name) for name in names}


def features_of(matcher: LearnedMatcher, name: str) -> Features:
    return matcher.features(read_upright(PHOTOS / f"{name}.jpg", 1000), (2000, 1500))


def test_points_are_places_of_the_full_photo(seen):
    features = seen["bank1_cover_i0"]

    assert len(features.xy) == 2048
    assert features.xy[:, 0].max() > 1500
    assert (features.xy >= -0.5).all()
    np.testing.assert_allclose(np.linalg.norm(features.descriptors, axis=1), 1, atol=1e-4)


def test_a_photo_matches_itself_point_by_point(matcher, seen):
    features = seen["bank1_cover_i0"]

    pairs = matcher.matches(features, features)

    assert len(pairs) > 1000
    assert np.mean(pairs[:, 0] == pairs[:, 1]) > 0.99


def test_matching_twice_gives_the_same(matcher, seen):
    one, other = seen["bank1_cover_i0"], seen["bank1_cover_i2"]

    first, second = matcher.matches(one, other), matcher.matches(one, other)

    np.testing.assert_array_equal(first, second)


def test_two_photos_of_one_zone_show_the_same_place(matcher, seen):
    one, other = seen["bank1_cover_i0"], seen["bank1_cover_i2"]

    assert agreeing_matches(one, other, matcher.matches(one, other)) > SAME_PLACE_MATCHES


def test_the_other_bank_does_not_show_the_same_place(matcher, seen):
    one, other = seen["bank1_cover_i0"], seen["bank2_solenoid_i0"]

    assert agreeing_matches(one, other, matcher.matches(one, other)) < SAME_PLACE_MATCHES


def test_photos_of_one_zone_look_more_alike(seen):
    looks = {name: look(features) for name, features in seen.items()}

    same = likeness(looks["bank1_cover_i0"], looks["bank1_cover_i2"])

    assert same > likeness(looks["bank1_cover_i0"], looks["bank2_solenoid_i0"])


def test_features_come_back_from_a_cache(seen):
    features = seen["bank1_cover_i0"]

    again = Features.from_bytes(features.to_bytes())

    assert again is not None
    assert again.size == features.size
    np.testing.assert_array_equal(again.xy, features.xy)
    np.testing.assert_allclose(again.descriptors, features.descriptors, atol=1e-3)


@pytest.mark.parametrize("content", [b"", b"no features", b"PK\x03\x04 half"])
def test_a_damaged_cache_is_noticed(content):
    assert Features.from_bytes(content) is None


def test_a_picture_of_one_colour_has_no_points(matcher):
    features = matcher.features(np.full((64, 64, 3), 90, np.uint8))

    assert len(matcher.matches(features, features)) == 0
    assert agreeing_matches(features, features, np.empty((0, 2), np.int64)) == 0
