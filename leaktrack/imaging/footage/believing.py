"""How likely is it that a picture shows what was asked for? A score learned from evidence."""

import numpy as np

from leaktrack.imaging.footage.verifying import Evidence


def chance(found: Evidence) -> float:
    """Return the calibrated chance that what was asked for is in sight."""
    strength = found.inside * found.spread
    return float(1 / (1 + np.exp(-3 * (np.log(strength + 1e-3) - np.log(0.4)))))
