"""Local correlations are those of NumPy, pixel by pixel."""

import numpy as np
import pytest

from leaktrack.imaging.carrying.correlating import Correlated

WINDOW_PX = 7


def grain(seed):
    return np.random.default_rng(seed).normal(size=(40, 50)).astype(np.float32)


def around(picture, row, col):
    half = WINDOW_PX // 2
    return picture[row - half : row + half + 1, col - half : col + half + 1].ravel()


@pytest.mark.parametrize(("row", "col"), [(3, 3), (12, 30), (36, 45)])
def test_each_pixel_has_the_correlation_of_what_is_around_it(row, col):
    one, other = grain(1), grain(1) + 0.5 * grain(2)

    alike = Correlated(one, WINDOW_PX).to(other)

    expected = np.corrcoef(around(one, row, col), around(other, row, col))[0, 1]
    assert alike[row, col] == pytest.approx(expected, abs=1e-3)


def test_only_every_third_pixel_is_told_on_request():
    one, other = grain(1), grain(1) + 0.5 * grain(2)

    some = Correlated(one, WINDOW_PX, step_px=3).to(other)

    assert np.allclose(some, Correlated(one, WINDOW_PX).to(other)[::3, ::3], atol=1e-5)


def test_a_part_of_a_known_picture_is_compared_as_if_it_were_alone():
    one, large = grain(1)[:20, :25], grain(3)
    part = np.s_[10:30, 12:37]

    alike = Correlated(one, WINDOW_PX).to_part(Correlated(large, WINDOW_PX), part)

    inner = np.s_[4:-4, 4:-4]  # at the rim, what lies beyond is known
    alone = Correlated(one, WINDOW_PX).to(np.ascontiguousarray(large[part]))
    assert np.allclose(alike[inner], alone[inner], atol=1e-4)
