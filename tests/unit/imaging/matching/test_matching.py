"""Matches are found however the new photo was taken, and none between photos of other places."""

import cv2
import numpy as np
import pytest

from leaktrack.imaging.matching.framing import Window, framed
from leaktrack.imaging.matching.learned_matching import Features, LearnedMatcher
from leaktrack.imaging.matching.matching import Matches, MatchSource, Sight, matched
from leaktrack.imaging.reading import read_upright
from leaktrack.places import demo_source, resource
from tests.pictures import casting, relit, seen_through, tilt

THOROUGH = pytest.mark.thorough
WIDTH, HEIGHT = 1000, 750
PHOTOS = demo_source() / "photos"


@pytest.fixture(scope="module")
def matcher():
    return LearnedMatcher(resource("models"))


def sight(matcher: LearnedMatcher, rgb) -> Sight:
    """Return a photo ready to be matched, as a workflow does of a file."""
    rows, cols = rgb.shape[:2]

    def read(longest_px: int):
        scale = min(1.0, longest_px / max(rows, cols))
        small = (max(1, round(cols * scale)), max(1, round(rows * scale)))
        return cv2.resize(rgb, small, interpolation=cv2.INTER_AREA)

    found = matcher.features(read(1600), (cols, rows))
    return Sight(found, read)


@pytest.fixture(scope="module")
def casting_seen(matcher):
    return sight(matcher, casting(WIDTH, HEIGHT))


def off_px(matches: Matches, true_place) -> np.ndarray:
    """Return how far off matches are that agree."""
    agrees = matches.agreement.agrees
    there = matches.there_xy[agrees]
    return np.linalg.norm(true_place(matches.here_xy[agrees]) - there, axis=1)


def test_a_photo_matches_itself(matcher, casting_seen):
    matches = matched(matcher, casting_seen, casting_seen)

    assert matches.source is MatchSource.LEARNED
    assert matches.agreement.count > 1000
    assert np.quantile(off_px(matches, lambda here: here), 0.99) == 0


def test_one_look_of_the_matcher_is_enough_for_an_ordinary_pair(matcher, casting_seen, monkeypatch):
    new = relit(seen_through(casting(WIDTH, HEIGHT), tilt(WIDTH, HEIGHT, turn_deg=5, lean=0.1)))
    seen = sight(matcher, new)
    looks = []
    look = LearnedMatcher.matches
    monkeypatch.setattr(LearnedMatcher, "matches", lambda *given: looks.append(1) or look(*given))

    matches = matched(matcher, casting_seen, seen)

    assert len(looks) == 1
    assert matches.agreement.is_same_place


def test_matching_can_be_stopped_before_each_look(matcher, casting_seen):
    class StoppedError(Exception):
        """Somebody cancelled."""

    looks = []

    def pause():
        looks.append(1)
        if len(looks) == 3:
            raise StoppedError

    other = sight(matcher, casting(WIDTH, HEIGHT, seed=99))  # another place: many looks are tried
    with pytest.raises(StoppedError):
        matched(matcher.pausing(pause), casting_seen, other)

    assert len(looks) == 3


@pytest.mark.parametrize("turns", [1, *(pytest.param(n, marks=THOROUGH) for n in (2, 3))])
def test_a_photo_on_its_side_is_turned(matcher, casting_seen, turns):
    new = np.ascontiguousarray(np.rot90(relit(casting(WIDTH, HEIGHT)), turns))
    last_x, last_y = WIDTH - 1, HEIGHT - 1
    ways = {
        1: lambda at: np.stack([at[:, 1], last_x - at[:, 0]], 1),
        2: lambda at: np.stack([last_x - at[:, 0], last_y - at[:, 1]], 1),
        3: lambda at: np.stack([last_y - at[:, 1], at[:, 0]], 1),
    }

    matches = matched(matcher, casting_seen, sight(matcher, new))

    assert (matches.turns + turns) % 4 == 0
    assert np.median(off_px(matches, ways[turns])) < 1


@pytest.fixture(scope="module")
def near_and_far():
    """A photo, and one of a quarter of its width from four times as near."""
    far = casting(3200, 2400, seed=4)
    return far, np.ascontiguousarray(relit(far)[900:1500, 1100:1900])


@pytest.mark.thorough
@pytest.mark.parametrize("is_new_near", [True, False])
def test_a_photo_from_four_times_as_near_is_matched(matcher, near_and_far, is_new_near):
    far, near = (sight(matcher, rgb) for rgb in near_and_far)
    corner = np.array([1100.0, 900.0])

    if is_new_near:
        matches = matched(matcher, far, near)
        off = off_px(matches, lambda here: here - corner)
    else:
        matches = matched(matcher, near, far)
        off = off_px(matches, lambda here: here + corner)

    window = matches.here if is_new_near else matches.there
    assert matches.agreement.count > 100
    assert np.median(off) < 1.5
    assert max(window.size) < 1600


def mirrored(rgb):
    return np.ascontiguousarray(rgb[:, ::-1])


def black(rgb):
    return np.zeros_like(rgb)


def white(rgb):
    return np.full_like(rgb, 255)


def one_colour(rgb):
    return np.full_like(rgb, (120, 90, 60))


def tiny(rgb):
    return np.ascontiguousarray(rgb[:20, :20])


def one_pixel(rgb):
    return np.ascontiguousarray(rgb[:1, :1])


def strip(rgb):
    return np.ascontiguousarray(rgb[:3])


def noise(rgb):
    return np.random.default_rng(3).integers(0, 255, rgb.shape, np.uint8)


def another_casting(rgb):
    return casting(rgb.shape[1], rgb.shape[0], seed=9)


@pytest.mark.parametrize(
    "change",
    [
        one_colour,
        strip,
        *(
            pytest.param(change, marks=THOROUGH)
            for change in (black, white, one_pixel, tiny, mirrored, noise, another_casting)
        ),
    ],
)
def test_nothing_is_matched_where_nothing_is_the_same(matcher, casting_seen, change):
    other = sight(matcher, change(casting(WIDTH, HEIGHT)))

    matches = matched(matcher, casting_seen, other)

    assert matches.source is MatchSource.NOTHING
    assert len(matches.pairs) == 0


@pytest.mark.thorough
@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("bank1_cover_i0", "bank2_cover_i0"),  # same kind of cover: one row of matches agrees
        ("bank1_cover_i1_b", "bank2_cover_i2"),
        ("bank1_solenoid_i1", "bank2_solenoid_i3"),
        ("bank1_cover_i0", "strainer"),
    ],
)
def test_another_engine_of_the_same_kind_is_not_matched(matcher, one, other):
    names = (PHOTOS / f"{name}.jpg" for name in (one, other))
    seen = [sight(matcher, read_upright(path, 1600)) for path in names]

    assert matched(matcher, *seen).source is MatchSource.NOTHING


@pytest.mark.thorough
@pytest.mark.parametrize("name", ["bank1_cover_i2_b", "bank2_cover_i0", "bank1_solenoid_i3"])
def test_a_mirrored_photo_is_not_matched(matcher, name):
    rgb = read_upright(PHOTOS / f"{name}.jpg", 1600)

    matches = matched(matcher, sight(matcher, rgb), sight(matcher, mirrored(rgb)))

    assert matches.source is MatchSource.NOTHING


@pytest.mark.thorough
def test_the_hardest_pair_of_the_demo_is_matched(matcher):
    names = ("bank1_cover_i1_b", "bank1_cover_i2")
    seen = [sight(matcher, read_upright(PHOTOS / f"{name}.jpg", 1600)) for name in names]

    matches = matched(matcher, *seen)

    assert matches.agreement.count > 100


def test_a_window_shows_its_part_exactly():
    rgb = casting(400, 300)
    window = Window(120, 60, 160, 120)

    whole, half = window.of(rgb, (400, 300), 400), window.of(rgb, (400, 300), 80)

    np.testing.assert_array_equal(whole, rgb[60:180, 120:280])
    assert half.shape == (60, 80, 3)


def test_a_window_of_a_smaller_decode_is_the_same_part():
    ramp = np.tile(np.arange(256, dtype=np.uint8)[None, :, None], (64, 1, 3))
    window = Window(200, 40, 400, 100)  # of a photo four times as large

    seen = window.of(ramp, (1024, 256), 1000)

    # The middle of the window's first decoded px lies at 201.5 in the photo, 50 in the decode.
    assert seen.shape == (25, 100, 3)
    np.testing.assert_array_equal(seen[10, :, 0], np.arange(50, 150))


class Shifted:
    """Every place lies 5 px farther right."""

    def __init__(self, size):
        from leaktrack.imaging.matching.aligning import AlignmentState

        self.size, self.state = size, AlignmentState.ALIGNED

    def places(self, points):
        return points + np.array([5.0, 0])

    def carry(self, points):
        from leaktrack.imaging.matching.aligning import Carried
        from leaktrack.model.place import PlaceState

        return Carried(
            self.places(points), np.ones(len(points)), (PlaceState.CARRIED,) * len(points)
        )


def test_places_are_told_in_px_of_the_full_photos():
    from leaktrack.model.place import PlaceState

    parts = Window(100, 50, 200, 100), Window(10, 20, 200, 100)
    placing = framed(Shifted(parts[1].size), *parts, (800, 600), (400, 300))

    carried = placing.carry(np.array([[150.0, 80.0], [20.0, 80.0]]))

    assert carried.xy[0].tolist() == [65, 50]
    assert np.isnan(carried.xy[1]).all()
    assert carried.states == (PlaceState.CARRIED, PlaceState.OUTSIDE)
    assert placing.size == (400, 300)


def test_points_without_descriptors_match_nothing(matcher):
    empty = Features(np.empty((0, 2), np.float32), np.empty((0, 64), np.float32), (10, 10))
    nothing = Sight(empty, lambda _: np.zeros((10, 10, 3), np.uint8))

    assert matched(matcher, nothing, nothing).source is MatchSource.NOTHING
