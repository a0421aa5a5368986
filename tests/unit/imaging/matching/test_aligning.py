"""Places are carried exactly where the picture allows it, and not at all where it does not."""

import cv2
import numpy as np
import pytest

from leaktrack.imaging.carrying.refining import refined
from leaktrack.imaging.matching.aligning import AlignmentState, align
from leaktrack.imaging.matching.learned_matching import LearnedMatcher
from leaktrack.imaging.matching.overlaying import laid_over
from leaktrack.imaging.reading import read_upright
from leaktrack.model.place import PlaceState
from leaktrack.places import demo_source, resource
from tests.pictures import casting, relit, seen_through, tilt

WIDTH, HEIGHT = 1000, 750
SIZE = (WIDTH, HEIGHT)
PHOTOS = demo_source() / "photos"


@pytest.fixture(scope="module")
def matcher():
    return LearnedMatcher(resource("models"))


@pytest.fixture(scope="module")
def reference():
    return casting(WIDTH, HEIGHT)


def aligned(matcher, reference, new):
    size = (new.shape[1], new.shape[0])
    one, other = matcher.features(reference), matcher.features(new)
    by_matches = align(one, other, matcher.matches(one, other))
    return refined(by_matches, reference, (reference.shape[1], reference.shape[0]), new), size


def grid(margin=120, step=70):
    xs, ys = np.meshgrid(
        np.arange(margin, WIDTH - margin, step), np.arange(margin, HEIGHT - margin, step)
    )
    return np.stack([xs.ravel(), ys.ravel()], axis=1).astype(float)


def is_carried(carried):
    return np.array([state is PlaceState.CARRIED for state in carried.states])


@pytest.mark.thorough
def test_a_photo_lies_over_itself_without_moving(matcher, reference):
    alignment, _ = aligned(matcher, reference, reference)

    carried = alignment.carry(grid())

    assert alignment.state is AlignmentState.ALIGNED
    assert is_carried(carried).all()
    assert np.abs(carried.xy - grid()).max() < 0.1


@pytest.fixture(scope="module")
def moved_camera(matcher, reference):
    """The same surface from nearer, leaning and rolled, in other light."""
    seen = tilt(WIDTH, HEIGHT, turn_deg=6, zoom=1.12, lean=0.15)
    new = relit(seen_through(reference, seen), gain=0.85, gamma=1.25)
    alignment, _ = aligned(matcher, reference, new)
    return alignment, seen, new


def test_places_follow_a_camera_that_moved(moved_camera):
    alignment, seen, _ = moved_camera
    truth = cv2.perspectiveTransform(grid()[None], seen)[0]

    carried = alignment.carry(grid())

    sure = is_carried(carried)
    off_px = np.linalg.norm(carried.xy[sure] - truth[sure], axis=1)
    assert sure.mean() > 0.9
    assert np.median(off_px) < 0.5
    assert np.quantile(off_px, 0.95) < 2
    assert np.mean(off_px < 2 * carried.sigma_px[sure]) > 0.9


def test_places_beyond_the_new_photo_are_outside(moved_camera):
    alignment, seen, _ = moved_camera
    corners = np.array([[2.0, 2.0], [997.0, 2.0], [997.0, 747.0]])
    truth = cv2.perspectiveTransform(corners[None], seen)[0]

    carried = alignment.carry(corners)

    assert ((truth < 0) | (truth >= SIZE)).any(axis=1).all()
    assert set(carried.states) == {PlaceState.OUTSIDE}
    assert np.isnan(carried.xy).all()


def test_a_photo_is_bent_over_the_reference(moved_camera, reference):
    alignment, _, new = moved_camera

    bent, is_valid = laid_over(alignment, new, reference.shape, WIDTH)

    def outlined(rgb):
        grey = rgb.mean(axis=2).astype(np.float32)
        return grey - cv2.GaussianBlur(grey, (0, 0), 8)

    together = np.corrcoef(outlined(bent)[is_valid], outlined(reference)[is_valid])[0, 1]
    assert is_valid.mean() > 0.7
    assert together > 0.8


def test_two_surfaces_at_different_depths_are_both_followed(matcher, reference):
    new = reference.copy()
    new[450:, :-24] = reference[450:, 24:]  # what is nearer moves more to the left
    new[:450, :-6] = reference[:450, 6:]
    alignment, _ = aligned(matcher, reference, relit(new, gamma=0.85))
    far, near = np.array([[400.0, 200.0], [600.0, 320.0]]), np.array([[400.0, 600.0], [650, 680]])

    shift = alignment.carry(np.concatenate([far, near])).xy - np.concatenate([far, near])

    assert np.abs(shift - [[-6, 0], [-6, 0], [-24, 0], [-24, 0]]).max() < 1.5


def test_what_lies_well_behind_a_cover_is_not_carried(matcher, reference):
    new = reference.copy()
    cv2.rectangle(new, (310, 190), (690, 570), (40, 90, 140), -1)
    new = relit(new)
    covered = np.array([[x, y] for x in (440.0, 500, 560) for y in (320.0, 380, 440)])

    carried = aligned(matcher, reference, new)[0].carry(covered)

    assert not is_carried(carried).any()


def test_carrying_no_points_gives_none(moved_camera):
    carried = moved_camera[0].carry(np.empty((0, 2)))

    assert carried.xy.shape == (0, 2)
    assert carried.states == ()


def test_carrying_very_many_points_at_once_works(moved_camera):
    many = np.tile(grid(), (600, 1))

    carried = moved_camera[0].carry(many)

    assert carried.xy.shape == many.shape
    np.testing.assert_array_equal(carried.xy[: len(grid())], carried.xy[-len(grid()) :])


def mirrored(rgb):
    return np.ascontiguousarray(rgb[:, ::-1])


def black(_):
    return np.zeros((HEIGHT, WIDTH, 3), np.uint8)


def white(_):
    return np.full((HEIGHT, WIDTH, 3), 255, np.uint8)


def tiny(rgb):
    return np.ascontiguousarray(rgb[:20, :20])


def noise(_):
    return np.random.default_rng(3).integers(0, 255, (HEIGHT, WIDTH, 3), np.uint8)


@pytest.mark.parametrize("change", [mirrored, black, white, tiny, noise])
def test_photos_that_cannot_be_aligned_carry_nothing(matcher, reference, change):
    alignment, _ = aligned(matcher, reference, change(reference))

    carried = alignment.carry(grid())

    assert alignment.state is AlignmentState.FAILED
    assert np.isnan(carried.xy).all()
    assert not is_carried(carried).any()


@pytest.mark.parametrize("other", ["bank2_cover_i0", "bank2_solenoid_i0", "strainer"])
def test_another_place_is_not_taken_for_this_one(matcher, other):
    cover = read_upright(PHOTOS / "bank1_cover_i0.jpg", 1000)
    new = read_upright(PHOTOS / f"{other}.jpg", 1000)

    alignment, _ = aligned(matcher, cover, new)

    assert alignment.state is AlignmentState.FAILED
