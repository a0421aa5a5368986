"""Two clicks at the ends of a painted bead lead along it."""

import numpy as np
import pytest

from leaktrack.imaging.beading.pathfinding import followed
from tests.paint_beads import Painting, painted


@pytest.mark.parametrize(
    ("colour", "ground", "gaps"),
    [("blue", "cast", ()), ("red", "machined", ((30.0, 33.0),)), ("black", "painted", ())],
)
def test_two_clicks_lead_along_the_bead(colour, ground, gaps):
    what = Painting(
        colour=colour, ground=ground, gaps=gaps, waves=5.0, reach_mm=(70.0, 26.0), gloss=0.1
    )
    seen = painted(what)
    last = np.array(seen.rgb.shape[1::-1])
    inside = ((seen.path_px > 6) & (seen.path_px < last - 7)).all(axis=1)
    true = seen.path_px[inside]

    found = followed(seen.rgb, true[[0, -1]])

    away = np.linalg.norm(found[:, None] - true[None], axis=2).min(axis=1)
    assert np.median(away) < 0.35 * what.width * what.px_per_mm
    assert away.max() < 0.7 * what.width * what.px_per_mm
    assert found[0] == pytest.approx(true[0])
    assert found[-1] == pytest.approx(true[-1])


def test_one_click_is_not_enough():
    with pytest.raises(ValueError, match="from one click to another"):
        followed(np.zeros((50, 50, 3), np.uint8), np.array([[5.0, 5.0]]))
