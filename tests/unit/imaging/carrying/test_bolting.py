"""Bolts in a row are found again, and the line beside them does not slide."""

import cv2
import numpy as np
import pytest

from leaktrack.imaging.carrying.anchoring import anchored
from leaktrack.imaging.carrying.bolting import bolts_again
from leaktrack.imaging.carrying.row_fitting import robust_row_motion, row_motion, row_of
from leaktrack.imaging.matching.aligning import AlignmentState, Carried
from leaktrack.model.place import PlaceState
from tests.pictures import casting, relit, seen_through, tilt

WIDTH, HEIGHT = 1000, 750
SIZE = (WIDTH, HEIGHT)
# Where ``casting`` draws its nine bolts.
HEADS = np.stack([np.linspace(WIDTH * 0.06, WIDTH * 0.94, 9).astype(int), np.full(9, 431)], axis=1)
HEADS = HEADS.astype(float)
SEAM = HEADS + np.array([0, 36])
VIEW = tilt(WIDTH, HEIGHT, turn_deg=4, zoom=0.9, lean=0.15)


def through(points, view=VIEW):
    return cv2.perspectiveTransform(points.reshape(-1, 1, 2), view).reshape(-1, 2)


class Off:
    """Knows the view but for a slide that is not known to it."""

    state = AlignmentState.ALIGNED
    size = SIZE

    def __init__(self, slide=(0.0, 0.0), sigma_px=6.0):
        self._slide, self._sigma_px = np.array(slide), sigma_px

    def places(self, points):
        return through(points) + self._slide

    def carry(self, points):
        count = len(points)
        states = (PlaceState.UNCERTAIN,) * count
        return Carried(self.places(points), np.full(count, self._sigma_px), states)


@pytest.fixture(scope="module")
def photos():
    here = casting()
    return here, relit(seen_through(here, VIEW), gain=0.8)


@pytest.mark.parametrize("slide", [(0, 0), (9, -2), (-7, 5)])
def test_a_row_of_bolts_is_found_though_it_was_carried_elsewhere(photos, slide):
    here, there = photos

    found = bolts_again(here, SIZE, there, Off(slide), HEADS)

    assert found is not None
    off = np.linalg.norm(found.xy - through(HEADS), axis=1)
    assert np.max(off) < 1.5
    assert np.mean(off < 2 * found.sigma_px) == 1


def test_places_are_told_in_px_of_the_full_photos(photos):
    here, there = photos
    half = cv2.resize(there, (WIDTH // 2, HEIGHT // 2), interpolation=cv2.INTER_AREA)
    larger = cv2.resize(here, (2 * WIDTH, 2 * HEIGHT), interpolation=cv2.INTER_LINEAR)

    found = bolts_again(larger, SIZE, half, Off((3, 0)), HEADS)

    assert found is not None
    assert np.median(np.linalg.norm(found.xy - through(HEADS), axis=1)) < 1.5


def test_where_the_new_photo_shows_no_bolts_none_are_told(photos):
    here, _ = photos
    rng = np.random.default_rng(5)
    plain = np.clip(rng.normal(120, 12, here.shape), 0, 255).astype(np.uint8)

    assert bolts_again(here, SIZE, plain, Off(), HEADS) is None


def test_two_bolts_are_no_row(photos):
    assert bolts_again(*(photos[0], SIZE, photos[1]), Off(), HEADS[:2]) is None


def test_a_row_in_perspective_is_told_by_three_numbers_and_a_place():
    row = row_of(HEADS)

    motion = row_motion(row, through(HEADS), np.ones(len(HEADS)))

    assert np.abs(motion.places(row) - through(HEADS)).max() < 0.3


def test_one_thing_that_seems_to_lie_elsewhere_does_not_move_the_row():
    row, there = row_of(HEADS), through(HEADS)
    there[3] += (60, 15)

    motion = robust_row_motion(row, there, np.ones(len(HEADS)), usual_px=2.0)

    assert np.abs(motion.places(row) - through(HEADS)).max() < 1


def test_a_line_that_slid_along_itself_is_put_beside_its_bolts(photos):
    here, there = photos
    found = bolts_again(here, SIZE, there, Off(), HEADS)
    direction = np.array([np.cos(np.deg2rad(4)), np.sin(np.deg2rad(4))])
    slid = np.array([[-9, 7, -4, 8, -8, 3, 9, -7, 1]]).T * direction  # as along a plain edge
    carried = Carried(through(SEAM) + slid, np.full(9, 8.0), (PlaceState.UNCERTAIN,) * 9)

    put = anchored(carried, range(9), SEAM, HEADS, found, SIZE)

    before = np.linalg.norm(carried.xy - through(SEAM), axis=1)
    after = np.linalg.norm(put.xy - through(SEAM), axis=1)
    assert after.mean() < 0.4 * before.mean()
    assert (put.sigma_px < carried.sigma_px).all()


def test_across_the_line_places_stay_where_they_were_carried(photos):
    here, there = photos
    found = bolts_again(here, SIZE, there, Off(), HEADS)
    bulge = 5 * np.sin(np.linspace(0, np.pi, 9))[:, None] * np.array([[-0.07, 1.0]])
    carried = Carried(through(SEAM) + bulge, np.full(9, 1.0), (PlaceState.CARRIED,) * 9)

    put = anchored(carried, range(9), SEAM, HEADS, found, SIZE)

    assert np.abs(put.xy[:, 1] - carried.xy[:, 1]).max() < 0.5
    assert put.states == carried.states


def test_a_place_that_could_not_be_carried_is_told_by_its_bolt(photos):
    here, there = photos
    found = bolts_again(here, SIZE, there, Off(), HEADS)
    xy, sigma = through(SEAM), np.full(9, 2.0)
    xy[4], sigma[4] = np.nan, np.inf
    states = [PlaceState.CARRIED] * 9
    states[4] = PlaceState.HIDDEN

    put = anchored(Carried(xy, sigma, tuple(states)), range(9), SEAM, HEADS, found, SIZE)

    assert put.states[4] is PlaceState.UNCERTAIN
    assert np.linalg.norm(put.xy[4] - through(SEAM)[4]) < 2 * put.sigma_px[4] < 20
