"""How wide a bead is in a photo without a scale, against a painted one."""

import pytest

from leaktrack.imaging.beading.grounding import guessed_width
from tests.paint_beads import Painting, painted


def test_the_bright_line_along_a_bead_is_not_taken_for_the_bead():
    seen = painted(Painting(colour="red", reach_mm=(80.0, 26.0), px_per_mm=8.0, tilt=(0, 0)))

    assert guessed_width(seen.rgb, seen.path_px[20:-20:12]) == pytest.approx(24, rel=0.3)
