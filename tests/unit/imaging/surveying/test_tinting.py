"""Another light changes all that lies around; a hose changes its own place only."""

import numpy as np
import pytest

from leaktrack.imaging.carrying.flattening import pictures
from leaktrack.imaging.surveying.tinting import Tint
from tests.pictures import casting

SIZE = (720, 540)


def changed(new_rgb):
    rgb = casting(*SIZE)
    one, other = (pictures(each, SIZE)[0].halved() for each in (rgb, new_rgb))
    nodes = one.nodes()
    alike = np.ones(nodes.shape[:2], np.float32)
    return Tint(one, rgb, other, new_rgb).changed(nodes, alike)


@pytest.mark.parametrize("light", [(0.6, 0.6, 0.6), (1.1, 0.9, 0.7)])
def test_another_light_changes_no_place(light):
    lit = np.clip(casting(*SIZE) * np.array(light), 0, 255).astype(np.uint8)

    brightness, colour = changed(lit)

    assert np.percentile(brightness, 95) < 0.1
    assert np.percentile(colour, 95) < 0.1


def test_a_black_hose_is_darker_than_the_light_makes_it():
    hidden = casting(*SIZE)
    hidden[250:290] = (12, 12, 12)

    brightness, _ = changed(hidden)

    assert np.median(brightness[65:70]) > 1.0  # a node is four px
    assert np.median(brightness[:40]) < 0.15


def test_a_red_cable_is_of_another_colour():
    hidden = casting(*SIZE)
    hidden[250:290] = (190, 60, 20)

    _, colour = changed(hidden)

    assert np.median(colour[65:70]) > 0.7
    assert np.median(colour[:40]) < 0.15
