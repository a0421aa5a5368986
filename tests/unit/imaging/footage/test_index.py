"""Bits count angles; the index of a picture that shows the query gets most votes; spans join."""

import numpy as np
import pytest

from leaktrack.imaging.footage import shortlisting
from leaktrack.imaging.footage.grouping import Seen, stretches
from leaktrack.imaging.footage.packing import POINTS_EACH_SECOND, Footprint, bits_of, words_of
from leaktrack.imaging.footage.shortlisting import PointsAsked, likeliest, votes


def directions(count, seed):
    found = np.random.default_rng(seed).standard_normal((count, 64)).astype(np.float32)
    return found / np.linalg.norm(found, axis=1, keepdims=True)


def footprint(*pictures, step_ms=1000, cuts=()):
    count = len(pictures)
    times = (np.arange(count) * step_ms).astype(np.int32)
    bits = np.concatenate([bits_of(one) for one in pictures])
    return Footprint(
        times,
        times,
        times + step_ms // 2,
        np.ones(count, np.float32),
        np.array([0 if one in (0, *cuts) else 100 for one in range(count)], np.int16),
        np.tile(np.eye(2, 3, dtype=np.float32), (count, 1, 1)),
        np.array([len(one) for one in pictures], np.int16),
        bits,
        np.concatenate([words_of(one, 1)[:, 0] for one in pictures]),
        np.zeros((len(bits), 2), np.uint8),
    )


@pytest.mark.parametrize("angle_deg", [10, 30, 60])
def test_bits_that_differ_count_the_angle(angle_deg):
    # Outside check: the share of random planes between two directions is their angle over 180.
    one, other = directions(400, 1), directions(400, 2)
    across = other - (one * other).sum(1, keepdims=True) * one
    across /= np.linalg.norm(across, axis=1, keepdims=True)
    turned = one * np.cos(np.radians(angle_deg)) + across * np.sin(np.radians(angle_deg))
    differ = np.unpackbits(bits_of(one) ^ bits_of(turned.astype(np.float32)), axis=1).mean()

    assert differ * 180 == pytest.approx(angle_deg, abs=2)


def test_the_index_of_an_hour_stays_small_however_the_camera_moves():
    # A picture at most each second; its times, sharpness and motion take 44 bytes.
    one = footprint(directions(POINTS_EACH_SECOND, 1))
    size = sum(getattr(one, name).nbytes for name in one.__slots__)

    assert size == POINTS_EACH_SECOND * 19 + 44
    assert size * 3600 < 5e6


def test_the_picture_with_the_query_s_points_gets_most_votes():
    pictures = [directions(60, seed) for seed in range(30)]
    query = pictures[17] + 0.05 * directions(60, 99)
    found = votes(footprint(*pictures), [PointsAsked.of(query)])

    assert likeliest(found, footprint(*pictures), 1, 0) == [17]


def test_a_long_index_is_searched_by_words_and_gives_the_same_answer(monkeypatch):
    # Outside check: comparing with every point of the index.
    pictures = [directions(60, seed) for seed in range(200)]
    query = pictures[17] + 0.5 * directions(60, 999)
    query /= np.linalg.norm(query, axis=1, keepdims=True)
    exact = votes(footprint(*pictures), [PointsAsked.of(query)])
    monkeypatch.setattr(shortlisting, "_EXACT_UP_TO", 0)
    quick = votes(footprint(*pictures), [PointsAsked.of(query)])

    assert exact.argmax() == quick.argmax() == 17
    assert quick[17] > 0.7 * exact[17]


def test_what_is_in_all_pictures_counts_for_little():
    bench = directions(50, 7)
    pictures = [np.concatenate([bench, directions(20, seed)]) for seed in range(60)]
    query = np.concatenate([bench, pictures[40][50:]])
    found = votes(footprint(*pictures), [PointsAsked.of(query)])

    assert likeliest(found, footprint(*pictures), 1, 0) == [40]


def test_chosen_pictures_lie_apart():
    found = likeliest(np.array([5.0, 9, 8, 1, 7]), footprint(*[directions(2, 1)] * 5), 2, 1500)

    assert found == [1, 4]


def test_one_long_take_does_not_take_all_places():
    index = footprint(*[directions(2, 1)] * 9, cuts=(7, 8))
    votes_for = np.array([9.0, 8, 7, 6, 5, 4, 3, 2, 1])

    assert likeliest(votes_for, index, 4, 0) == [0, 1, 7, 8]
    assert likeliest(votes_for, index, 6, 0) == [0, 1, 2, 3, 7, 8]


def test_pictures_of_two_takes_may_lie_close_together():
    index = footprint(*[directions(2, 1)] * 4, cuts=(2,))

    assert likeliest(np.array([4.0, 9, 8, 3]), index, 4, 1500) == [1, 2]


def test_an_index_survives_the_cache_and_damage_is_noticed():
    whole = footprint(directions(5, 1), directions(7, 2))
    again = Footprint.from_bytes(whole.to_bytes())

    assert again is not None
    assert (again.bits == whole.bits).all()
    assert again.picture_of.tolist() == [0] * 5 + [1] * 7
    assert Footprint.from_bytes(whole.to_bytes()[:-200]) is None


def test_a_span_is_where_it_stays_in_sight_unless_a_picture_between_speaks_against_it():
    index = footprint(*[directions(1, seed) for seed in range(20)])
    seen = [
        Seen(2, 0.92, 1, stays=(0, 5)),
        Seen(4, 0.9, 3, stays=(3, 5)),
        Seen(3, 0.8, 9),
        Seen(5, 0.0),  # blurred; before and after it what is asked for is in sight
        Seen(14, 0.7),
        Seen(15, 0.0),
        Seen(16, 0.6),
    ]
    found = stretches(index, seen, 0.5)

    assert [(one.start_ms, one.end_ms, one.best.number) for one in found] == [
        (0, 5500, 4),
        (14000, 14500, 14),
        (16000, 16500, 16),
    ]


def test_a_moment_beside_a_picture_stands_for_it_with_the_times_it_is_known_for():
    index = footprint(*[directions(1, seed) for seed in range(4)])
    seen = [Seen(2, 0.0), Seen(2, 0.9, 1, 2700, (2400, 2950))]

    (found,) = stretches(index, seen, 0.5)

    assert (found.start_ms, found.end_ms, found.best.at_ms) == (2400, 2950, 2700)
    assert found.score == 0.9
