"""The chance of a defect: what speaks for it makes it likelier, and no clue turns round."""

import pytest

from leaktrack.imaging.beading.defect_weights import defect_chance
from leaktrack.model.bead_audit import BeadDefectKind

GAP, THIN, THICK = BeadDefectKind.GAP, BeadDefectKind.THIN, BeadDefectKind.THICK


def test_a_gap_is_likelier_the_emptier_and_the_longer_it_is():
    plain = defect_chance(GAP, (-2.0, -0.5, 1.0))

    assert defect_chance(GAP, (-4.0, -0.5, 1.0)) > plain
    assert defect_chance(GAP, (-2.0, 0.5, 1.0)) > plain
    assert defect_chance(GAP, (1.0, -1.5, 0.3)) < 0.5 < defect_chance(GAP, (-4.0, 0.0, 1.5))


@pytest.mark.parametrize("kind", [THIN, THICK])
def test_a_limit_far_exceeded_is_likelier_and_one_sided_is_less_likely(kind):
    plain = defect_chance(kind, (2.0, 0.3, 3.0, 1.2, 0.3))

    assert defect_chance(kind, (5.0, 0.3, 3.0, 1.2, 0.3)) > plain
    assert defect_chance(kind, (2.0, 0.3, 3.0, 1.2, 1.0)) <= plain
    assert defect_chance(kind, (5.0, 0.5, 3.5, 1.5, 0.2)) > 0.5
