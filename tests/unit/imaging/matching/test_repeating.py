"""Where a pattern repeats, its ends tell which way two photos lie over each other."""

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from leaktrack.imaging.matching.aligning import Alignment, AlignmentState, align
from leaktrack.imaging.matching.learned_matching import Features
from leaktrack.imaging.matching.repeating import Shown, without_repeats

Rgb = NDArray[np.uint8]
Points = NDArray[np.float64]

SIZE = 800, 600
PERIOD_PX = 40
SHIFT = np.array([24.0, -10.0])  # of the new photo's view
FINS = slice(140, 460), slice(200, 600)  # rows, columns


def photo(*, fins: tuple[slice, slice] = FINS, seed: int = 4) -> Rgb:
    """Return a casting with a field of like squares on it, all of one kind."""
    rng = np.random.default_rng(seed)
    width, height = SIZE
    rough = cv2.GaussianBlur(rng.uniform(0, 255, (height, width)).astype(np.float32), (0, 0), 4)
    grey = 60 + 140 * (rough - rough.min()) / np.ptp(rough)
    rows, cols = np.mgrid[0:height, 0:width]
    squares = np.where((rows // 20 + cols // 20) % 2 == 0, 30.0, 225.0)
    grey[fins] = squares[fins]
    return np.repeat(grey.astype(np.uint8)[..., None], 3, axis=2)


def shifted(rgb: Rgb) -> Rgb:
    """Return the photo as seen after the camera moved."""
    motion = np.array([[1, 0, SHIFT[0]], [0, 1, SHIFT[1]]])
    return np.asarray(cv2.warpAffine(rgb, motion, SIZE, borderMode=cv2.BORDER_REFLECT), np.uint8)


def on_fins(fins: tuple[slice, slice] = FINS) -> Points:
    """Return the corners of the squares but those at the field's edge."""
    rows, cols = fins
    down = np.arange(rows.start + 20, rows.stop, 20)
    across = np.arange(cols.start + 20, cols.stop, 20)
    return np.stack(np.meshgrid(across, down), axis=2).reshape(-1, 2).astype(float)


def around() -> Points:
    """Return places on the rough casting beside the squares."""
    rng = np.random.default_rng(5)
    points = rng.uniform((40, 40), (760, 560), (900, 2))
    rows, cols = FINS
    is_beside = (points[:, 1] < rows.start - 20) | (points[:, 1] > rows.stop + 20)
    is_beside |= (points[:, 0] < cols.start - 20) | (points[:, 0] > cols.stop + 20)
    return points[is_beside]


def matched(here: Points, there: Points) -> tuple[Features, Features, NDArray[np.int64]]:
    """Return matches of places as if a network had found them."""

    def features(xy: Points) -> Features:
        return Features(xy.astype(np.float32), np.zeros((len(xy), 1), np.float32), SIZE)

    return features(here), features(there), np.stack([np.arange(len(here))] * 2, axis=1)


def settled(rgb: Rgb, here: Points, there: Points) -> tuple[Alignment, Alignment]:
    """Return how matches lay a photo over its shifted one, and how without those a period on."""
    reference, new, pairs = matched(here, there)
    alignment = align(reference, new, pairs)
    shown = Shown(reference, rgb), Shown(new, shifted(rgb))
    return alignment, without_repeats(alignment, *shown, pairs)


def misled(squares: Points, beside: Points, share: float) -> tuple[Points, Points]:
    """Return matches of which a share of those on the squares lie a period on."""
    rng = np.random.default_rng(6)
    is_on = rng.random(len(squares)) < share
    there = squares + SHIFT + is_on[:, None] * np.array([PERIOD_PX, 0.0])
    return np.concatenate([squares, beside]), np.concatenate([there, beside + SHIFT])


@pytest.mark.parametrize("share", [0.7, 0.85])
def test_most_matches_a_period_on_do_not_mislead(share: float) -> None:
    squares = on_fins()
    before, after = settled(photo(), *misled(squares, around()[:60], share))
    middle = squares[np.linalg.norm(squares - (400, 300), axis=1) < 80]
    wrong = before.places(middle) - middle - SHIFT
    np.testing.assert_allclose(np.median(wrong, axis=0), (PERIOD_PX, 0), atol=2)  # so it was misled
    assert after.state is AlignmentState.ALIGNED
    np.testing.assert_allclose(after.places(middle), middle + SHIFT, atol=1)


def test_a_few_matches_a_period_on_change_nothing() -> None:
    here, there = misled(on_fins(), around()[:60], 0.2)
    before, after = settled(photo(), here, there)
    assert after is before
    np.testing.assert_allclose(after.places(on_fins()), on_fins() + SHIFT, atol=1)


def test_a_pattern_without_ends_leaves_it_open() -> None:
    everywhere = slice(0, 600), slice(0, 800)
    rgb = photo(fins=everywhere)
    squares = on_fins((slice(60, 540), slice(80, 680)))
    before, after = settled(rgb, *misled(squares, np.empty((0, 2)), 0.6))
    assert before.state is AlignmentState.ALIGNED
    assert after.state is AlignmentState.UNRELIABLE


def test_matches_wrong_together_by_chance_are_no_repetition() -> None:
    beside = around()
    is_moved = np.linalg.norm(beside - (150, 300), axis=1) < 120
    assert is_moved.sum() > 30
    there = beside + SHIFT + is_moved[:, None] * np.array([70.0, 0.0])
    more = np.concatenate([beside, beside[is_moved] + 3.0])
    there = np.concatenate([there, beside[is_moved] + 3.0 + SHIFT])
    before, after = settled(photo(), more, there)
    assert after is before


def test_a_failed_alignment_stays_failed() -> None:
    nothing = np.empty((0, 2))
    before, after = settled(photo(), nothing, nothing)
    assert before.state is AlignmentState.FAILED
    assert after is before
