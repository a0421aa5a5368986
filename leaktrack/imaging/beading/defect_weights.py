"""Weights learnt from known truth: from the clues for a defect of a bead to its chance.

Learnt as ``python -m tests.accuracy learn-bead`` does, from painted beads.
"""

import math

from leaktrack.model.bead_audit import BeadDefectKind

_MOST = 12.0
"""Natural logarithm of odds: nothing is surer, however clear its clues are."""

# Constant, then the weight of each clue of ``faulting``: for a gap its mean weight for sealant, the
# logarithm of its length in widths, and that of how well kinds are apart; for the others by how
# many deviations a limit is exceeded, the length, how far its place agrees, the same as before, and
# how one-sided it is.
_WEIGHTS = {
    BeadDefectKind.GAP: (-0.92, -0.50, 1.16, 2.20),
    BeadDefectKind.THIN: (-1.58, 1.96, -1.30, 0.85, 0.21, -0.08),
    BeadDefectKind.THICK: (-1.77, 0.30, 1.22, 0.20, 1.00, -0.49),
}
_OFF_TRACK = (-1.7, 1.7)  # close to the normal distribution; nothing to learn from yet


def defect_chance(kind: BeadDefectKind, clues: tuple[float, ...]) -> float:
    """Return how likely a defect is there, 0 to 1.

    Args:
        kind: Of defect.
        clues: As ``faulting`` gathers them for that kind.
    """
    constant, *weights = weights_of(kind)
    odds = constant + sum(
        weight * clue for weight, clue in zip(weights, clues[: len(weights)], strict=True)
    )
    return 1 / (1 + math.exp(-min(max(odds, -_MOST), _MOST)))


def weights_of(kind: BeadDefectKind) -> tuple[float, ...]:
    """Return the constant and the weights of a kind of defect."""
    return _WEIGHTS.get(kind, _OFF_TRACK)
