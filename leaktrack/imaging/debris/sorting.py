"""What does a particle look like: a dark clump, a crumb of sealant, metal, a fibre?"""

import numpy as np

from leaktrack.imaging.debris.finding import Blob
from leaktrack.model.debris import ParticleKind

# Own judgement, looked at in rendered and painted photos.
_FIBRE_ASPECT = 5.0
_FIBRE_FILL = 0.35  # of the rectangle that holds it: a bent fibre is long and mostly empty
_COLOURED = 12.0
_GLINT = 7.0  # lighter than the paper by so much lightness, as only a mirror is
_DARK = 0.48  # of the paper's lightness


def kind_of(blob: Blob, length: float, width: float, area: float) -> ParticleKind:
    """Return what a particle looks like.

    Args:
        blob: Its look.
        length: Largest caliper.
        width: Smallest caliper, in the same unit.
        area: In the unit squared.
    """
    lightness, paper = blob.lab[:, 0], float(blob.paper[0])
    # Something grey in the same light has the paper's tint, less where it is darker.
    tint = blob.paper[1:] * np.median(lightness) / paper
    off_colour = float(np.hypot(*(np.median(blob.lab[:, 1:], axis=0) - tint)))
    is_thin = length > _FIBRE_ASPECT * width or area < _FIBRE_FILL * length * width
    if is_thin and length > 3 * area / length:
        return ParticleKind.FIBRE
    if blob.glint > _GLINT and off_colour < _COLOURED:
        return ParticleKind.METAL
    if off_colour > _COLOURED:
        return ParticleKind.SEALANT_CRUMB
    if float(np.median(lightness)) < _DARK * paper:
        return ParticleKind.DARK_CLUMP
    return ParticleKind.SEALANT_CRUMB
