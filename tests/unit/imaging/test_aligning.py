"""Places follow the picture where it allows it, and photos of another place are refused."""

import cv2
import numpy as np
import pytest

from leaktrack.imaging.aligning import AlignmentState, align, laid_over
from leaktrack.imaging.learned_matching import LearnedMatcher
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


@pytest.fixture(scope="module")
def cover():
    return read_upright(PHOTOS / "bank1_cover_i0.jpg", 1000)


def aligned(matcher, reference, new):
    one, other = matcher.features(reference), matcher.features(np.ascontiguousarray(new))
    return align(one, other, matcher.matches(one, other))


def grid(margin=120, step=70):
    xs, ys = np.meshgrid(
        np.arange(margin, WIDTH - margin, step), np.arange(margin, HEIGHT - margin, step)
    )
    return np.stack([xs.ravel(), ys.ravel()], axis=1).astype(float)


def test_a_photo_lies_over_itself_without_moving(matcher, reference):
    alignment = aligned(matcher, reference, reference)

    carried = alignment.carry(grid())

    assert alignment.state is AlignmentState.ALIGNED
    assert set(carried.states) == {PlaceState.CARRIED}
    assert np.abs(carried.xy - grid()).max() < 0.05


@pytest.fixture(scope="module")
def moved_camera(matcher, reference):
    """The same surface from nearer, leaning and rolled, in other light."""
    seen = tilt(WIDTH, HEIGHT, turn_deg=6, zoom=1.12, lean=0.15)
    new = relit(seen_through(reference, seen), gain=0.85, gamma=1.25)
    return aligned(matcher, reference, new), seen, new


def test_places_follow_a_camera_that_moved(moved_camera):
    alignment, seen, _ = moved_camera
    truth = cv2.perspectiveTransform(grid()[None], seen)[0]

    carried = alignment.carry(grid())

    off_px = np.linalg.norm(carried.xy - truth, axis=1)
    assert np.median(off_px) < 1.5
    assert np.mean(off_px < 2 * carried.sigma_px) > 0.9


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
    assert together > 0.5


@pytest.mark.parametrize(
    "changed",
    [
        lambda rgb: rgb[:, ::-1],
        lambda rgb: np.zeros_like(rgb),
        lambda rgb: np.full_like(rgb, 255),
        lambda rgb: rgb[:20, :20],
    ],
    ids=["mirrored", "black", "white", "20 x 20 px"],
)
def test_what_cannot_be_aligned_fails_rather_than_lying(matcher, cover, changed):
    alignment = aligned(matcher, cover, changed(cover))

    assert alignment.state is AlignmentState.FAILED
    assert set(alignment.carry(grid()).states) == {PlaceState.HIDDEN}


@pytest.mark.parametrize("other", ["bank2_cover_i0", "bank2_solenoid_i0", "strainer"])
def test_another_place_is_not_taken_for_this_one(matcher, cover, other):
    new = read_upright(PHOTOS / f"{other}.jpg", 1000)

    assert aligned(matcher, cover, new).state is AlignmentState.FAILED


def test_carrying_no_points_gives_none(moved_camera):
    carried = moved_camera[0].carry(np.empty((0, 2)))

    assert carried.xy.shape == (0, 2)
    assert carried.states == ()
