"""Where places of the new photo lie in the reference tells where the nodes lie in the new photo."""

import numpy as np
import pytest

from leaktrack.imaging.carrying.flattening import pictures
from leaktrack.imaging.surveying.inverting import inverted
from tests.pictures import casting

SIZE = (720, 540)


@pytest.fixture(scope="module")
def reference():
    return pictures(casting(*SIZE), SIZE)[0].halved()


def pixels(reference):
    rows, cols = reference.flat.shape
    return np.moveaxis(np.mgrid[0:rows, 0:cols][::-1], 0, 2).astype(np.float32)


@pytest.mark.parametrize("scale", [0.8, 1.0, 1.3])
def test_a_shifted_and_scaled_photo_is_turned_round_between_pixels(reference, scale):
    back = pixels(reference) * np.float32(scale) + np.float32((10.3, -4.6))

    where, is_told = inverted(back, np.ones(back.shape[:2], np.float32), reference)

    expected = (reference.nodes() - (10.3, -4.6)) / scale
    rows, cols = reference.flat.shape
    shows = np.all((expected > 1) & (expected < (cols - 2, rows - 2)), axis=2)
    assert is_told[shows].all()
    assert np.abs(where - expected)[shows].max() < 0.02
    hides = np.any((expected < -4) | (expected > (cols + 3, rows + 3)), axis=2)
    assert not is_told[hides].any()


def test_what_is_nearer_hides_what_is_behind_it(reference):
    """Both halves of the new photo land on the same places; the right one is nearer."""
    at = pixels(reference)
    half = at.shape[1] // 2
    back = at.copy()
    back[:, half:, 0] -= half
    nearest = np.where(at[..., 0] < half, 1.0, 2.0).astype(np.float32)

    where, is_told = inverted(back, nearest, reference)

    is_left = (reference.nodes()[..., 0] > 2) & (reference.nodes()[..., 0] < half - 3)
    assert is_told[is_left].all()
    assert np.abs(where - reference.nodes() - (half, 0))[is_left].max() < 0.02


def test_a_photo_of_something_else_tells_nothing(reference):
    away = pixels(reference) + np.float32(5000)

    _, is_told = inverted(away, np.ones(away.shape[:2], np.float32), reference)

    assert not is_told.any()
