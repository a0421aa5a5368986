"""Wet areas painted on drawn metal are found; what only looks changed is not."""

import itertools
import time

import cv2
import numpy as np
import pytest

from leaktrack.imaging.matching.aligning import AlignmentState, Carried
from leaktrack.imaging.spotting.laying import Earlier, laid, shows_something
from leaktrack.imaging.spotting.wetting import changed_regions
from leaktrack.model.errors import Cancelled
from leaktrack.model.place import PlaceState
from leaktrack.model.shapes import PointPx, contains
from leaktrack.model.wet_search import WetKind
from tests.pictures import casting, relit, seen_through, tilt

WIDTH, HEIGHT = 1000, 750
RUN = [
    (470, 470),
    (530, 470),
    (512, 484),
    (514, 590),
    (508, 606),
    (494, 606),
    (488, 590),
    (490, 484),
]
LIKELY = 0.5


@pytest.fixture(scope="module")
def dry():
    return casting(WIDTH, HEIGHT)


@pytest.fixture(scope="module")
def wet_mask():
    mask = np.zeros((HEIGHT, WIDTH), np.uint8)
    cv2.fillPoly(mask, [np.array(RUN, np.int32)], 1)
    return mask > 0


def oiled(rgb, mask, taken=(0.75, 1.15, 1.7)):
    """A film of oil: it takes away light, blue most of all, and ends sharply."""
    soft = cv2.GaussianBlur(mask.astype(np.float32), (0, 0), 0.8)[..., None]
    light = (rgb / 255.0) ** 2.2 * np.exp(-soft * np.array(taken))
    return np.clip(light ** (1 / 2.2) * 255, 0, 255).astype(np.uint8)


def still(rgb):
    """The photo as it lies over one taken from the very same place."""
    rows, cols = rgb.shape[:2]
    return Earlier(rgb, np.full((rows, cols), 1, np.float32), np.ones((rows, cols), bool))


def likely(after, *before, kind=WetKind.WET, **options):
    found = changed_regions(after, WIDTH, [still(one) for one in before], **options)
    return [one for one in found.regions if one.kind is kind and one.score >= LIKELY]


def overlap(region, mask):
    """Intersection over union of a region's outline and a mask."""
    drawn = np.zeros(mask.shape, np.uint8)
    cv2.fillPoly(drawn, [np.rint([[p.x, p.y] for p in region.outline]).astype(np.int32)], 1)
    return (mask & (drawn > 0)).sum() / (mask | (drawn > 0)).sum()


def test_a_run_of_oil_is_found_with_its_outline(dry, wet_mask):
    (region,) = likely(oiled(dry, wet_mask), dry)

    assert overlap(region, wet_mask) > 0.7
    assert region.area_px == pytest.approx(wet_mask.sum(), rel=0.25)


def test_it_is_found_in_other_light_as_well(dry, wet_mask):
    after = relit(oiled(dry, wet_mask), gain=0.9, gamma=1.1)

    best = likely(after, dry)[0]

    assert overlap(best, wet_mask) > 0.6


def test_it_is_found_where_the_photo_was_taken_from_elsewhere(dry, wet_mask):
    seen = tilt(WIDTH, HEIGHT, turn_deg=4, zoom=1.05)
    before = seen_through(dry, seen)
    after = oiled(dry, wet_mask)
    earlier = laid(Moved(seen), before, after.shape, WIDTH)

    found = changed_regions(after, WIDTH, [earlier])

    assert overlap(found.regions[0], wet_mask) > 0.6


def test_a_full_size_photo_gets_outlines_in_its_own_pixels(dry, wet_mask):
    found = changed_regions(oiled(dry, wet_mask), 4 * WIDTH, [still(dry)])

    best = found.regions[0]
    assert contains(best.outline, PointPx(4 * 501, 4 * 540))
    assert best.area_px == pytest.approx(16 * wet_mask.sum(), rel=0.25)


def test_several_earlier_photos_agree_on_what_is_new(dry, wet_mask):
    shadowed = dry.copy()
    shadowed[:, 500:] = (shadowed[:, 500:] * 0.6).astype(np.uint8)

    (region,) = likely(oiled(dry, wet_mask), dry, relit(dry, seed=5), shadowed)

    assert overlap(region, wet_mask) > 0.6


def test_what_dried_up_is_found(dry, wet_mask):
    (region,) = likely(dry, oiled(dry, wet_mask), kind=WetKind.DRIED)

    assert overlap(region, wet_mask) > 0.6
    assert likely(dry, oiled(dry, wet_mask)) == []


def test_what_was_wet_before_is_not_new(dry, wet_mask):
    wet = oiled(dry, wet_mask)

    assert likely(wet, relit(wet, seed=4)) == []


def blurred(rgb):
    return cv2.GaussianBlur(rgb, (0, 0), 1.8)


def warmer(rgb):
    return np.clip(rgb * np.array([1.15, 1.0, 0.85]), 0, 255).astype(np.uint8)


def dim(rgb):
    return relit(rgb, gain=0.7, gamma=1.2, seed=3)


def glaring(rgb):
    ys, xs = np.mgrid[:HEIGHT, :WIDTH]
    glow = 230 * np.exp(-(((xs - 300) / 60) ** 2) - ((ys - 560) / 45) ** 2)
    return np.clip(rgb + glow[..., None], 0, 255).astype(np.uint8)


def shaded(rgb):
    shade = np.ones((HEIGHT, WIDTH), np.float32)
    cv2.line(shade, (200, 0), (330, HEIGHT), 0.5, 110)
    return (rgb * cv2.GaussianBlur(shade, (0, 0), 4)[..., None]).astype(np.uint8)


def dusty(rgb):
    veil = np.zeros((HEIGHT, WIDTH), np.float32)
    for x, y, radius in ((200, 560, 60), (640, 200, 45), (800, 640, 70)):
        cv2.circle(veil, (x, y), radius, 0.5, -1)
    veil = cv2.GaussianBlur(veil, (0, 0), 14)[..., None]
    return (rgb * (1 - veil) + np.array([190, 182, 170]) * veil).astype(np.uint8)


def cabled(rgb):
    after = rgb.copy()
    cv2.line(after, (0, 560), (WIDTH, 660), (24, 24, 26), 22, cv2.LINE_AA)
    cv2.line(after, (0, 555), (WIDTH, 655), (90, 90, 94), 4, cv2.LINE_AA)
    return after


CHANGES = [
    glaring,
    shaded,
    dusty,
    cabled,
    # Other tests of these searches have photos in other light and less sharp.
    *(pytest.param(change, marks=pytest.mark.thorough) for change in (blurred, warmer, dim)),
]


@pytest.mark.parametrize("changed", CHANGES, ids=lambda change: change.__name__)
def test_what_only_looks_changed_is_not_oil(dry, changed):
    assert likely(changed(dry), dry) == []


def test_what_no_earlier_photo_shows_is_not_assessed(dry, wet_mask):
    hidden = np.zeros((HEIGHT, WIDTH), bool)
    hidden[:, :200] = True
    before = Earlier(dry, np.ones((HEIGHT, WIDTH), np.float32), ~hidden)

    found = changed_regions(oiled(dry, wet_mask), WIDTH, [before])

    (unseen,) = found.unassessed
    assert contains(unseen, PointPx(100, 400))
    assert not contains(unseen, PointPx(240, 400))


def test_it_can_be_stopped_at_any_step(dry):
    calls = itertools.count()

    def stop(done, total, what):
        if next(calls) == 20:
            raise Cancelled

    with pytest.raises(Cancelled):
        changed_regions(dry, WIDTH, [still(dry)], progress=stop)


def test_it_asks_five_times_a_second_whether_to_stop(dry, wet_mask):
    before = still(cv2.resize(dry, (1200, 900)))
    after = cv2.resize(oiled(dry, wet_mask), (1200, 900))

    def longest_wait():
        began = [time.thread_time()]
        waits = []

        def note(done, total, what):
            waits.append(time.thread_time() - began[0])
            began[0] = time.thread_time()

        changed_regions(after, 2000, [before], progress=note)
        return max(waits)

    # What else runs on the machine only adds to it, through caches and memory shared with others.
    assert any(longest_wait() < 0.2 for _ in range(3))


@pytest.mark.parametrize("value", [0, 255])
def test_black_and_white_pictures_show_nothing(value):
    assert not shows_something(np.full((300, 400, 3), value, np.uint8))


def test_tiny_pictures_show_nothing(dry):
    assert shows_something(dry)
    assert not shows_something(dry[:20, :20])


class Moved:
    """How a photo lies that a known matrix moved."""

    state = AlignmentState.ALIGNED
    size = (WIDTH, HEIGHT)

    def __init__(self, matrix):
        self.matrix = matrix

    def places(self, points):
        return cv2.perspectiveTransform(np.asarray(points, float)[None], self.matrix)[0]

    def carry(self, points):
        count = len(points)
        return Carried(self.places(points), np.ones(count), (PlaceState.CARRIED,) * count)
