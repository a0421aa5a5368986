"""Where did a camera stand that shows places whose depth in another photo is known?

Source:
    G. Terzakis, M. Lourakis, "A consistently fast and globally optimal solution to the
    perspective-n-point problem", ECCV 2020, as OpenCV has it.
"""

import cv2
import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.carrying.triangulating import TOLD_AT_PX, USUAL_FOCAL, Pose, rays
from leaktrack.imaging.matching.moving import Points

Floats = NDArray[np.float64]

_LEAST_FITTING = 30
_FITS_PX = 5.0  # told at 1000 px
_TRIES = 1000


def resected(
    here: Points,
    nearness: Floats,
    there: Points,
    lens: Floats,
    sizes: tuple[tuple[int, int], tuple[int, int]],
) -> Pose | None:
    """Return the cameras by places of known depth, of which many may be wrong; None if too many.

    Args:
        here: (N, 2) places in the reference photo.
        nearness: (N,) their inverse depths.
        there: (N, 2) the same places in the other photo.
        lens: (2,) log of the focal length over the usual one and radial distortion of the reference
            photo; of the other photo both are taken as usual.
        sizes: Width and height of both.
    """
    if len(here) < _LEAST_FITTING:
        return None
    focal = USUAL_FOCAL * max(sizes[1])
    space = rays(here, sizes[0], *lens) / nearness[:, None]
    seen = (there - (np.array(sizes[1]) - 1) / 2) / focal
    found, turn, shift, fitting = cv2.solvePnPRansac(
        space,
        seen,
        np.eye(3),
        np.zeros(4),
        iterationsCount=_TRIES,
        reprojectionError=_FITS_PX / (USUAL_FOCAL * TOLD_AT_PX),
        flags=cv2.SOLVEPNP_SQPNP,
    )
    if not found or fitting is None or len(fitting) < _LEAST_FITTING:
        return None
    values = np.concatenate([[lens[0], 0, lens[1], 0], turn.ravel(), shift.ravel()])
    return Pose(values.astype(np.float64), *sizes)
