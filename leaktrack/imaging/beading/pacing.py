"""Find the plane on which a path of known steps is seen: how long it looks tells how it leans.

Along the path every step of known length tells the scale there. Across it nothing does where the
path is straight, so a camera held about straight is assumed as far as the steps do not speak.
"""

from dataclasses import dataclass

import numpy as np
from scipy.optimize import least_squares

from leaktrack.imaging.measuring.projecting import Camera, Floats, Plane, onto, through

_USUAL_TILT_DEG = 20.0  # how askew photos are taken; one standard deviation, own judgement
_CLICK_MM = 0.35  # two clicks' error along the path; own judgement
_LEAST_DOUBT = 0.02  # of a step's length: no flange is that flat; own judgement
_LEAST_STEP_MM = 6.0
_STARTS_DEG = ((0.0, 0.0), (20.0, 0.0), (-20.0, 0.0), (0.0, 20.0), (0.0, -20.0))


@dataclass(frozen=True)
class PacedPlane:
    """A plane on which the steps of a path have the lengths that were told.

    Attributes:
        to_mm: (3, 3), the projective map from px to mm.
        misfit: How far the steps' lengths are off on it, as a share of them (rms).
    """

    to_mm: Floats
    misfit: float


def plane_of_steps(path_px: Floats, along_mm: Floats, camera: Camera) -> PacedPlane:
    """Return the plane that a path with known lengths between its points lies on.

    Args:
        path_px: (N, 2), at least two points of the path, in order.
        along_mm: (N,), rising: how far along the path each point lies.
        camera: The photo's camera.

    Raises:
        ValueError: Fewer than two points.
    """
    if len(path_px) < 2:
        raise ValueError("a path needs at least two points")
    kept = _steps_apart(along_mm)
    there, steps = path_px, np.diff(along_mm[kept])
    doubt = np.hypot(_LEAST_DOUBT, _CLICK_MM / steps)
    middle = path_px[len(path_px) // 2]
    ray = camera.ray(float(middle[0]), float(middle[1]))
    seen_px = float(np.linalg.norm(np.diff(path_px, axis=0), axis=1).sum())
    usual = camera.focal_px * float(along_mm[-1] - along_mm[0]) / max(seen_px, 1e-6)

    def lengths(leaning: Floats) -> Floats:
        flat = onto(_plane(ray, usual, leaning), camera)
        laid = through(flat, there)
        walked = np.append(0.0, np.cumsum(np.linalg.norm(np.diff(laid, axis=0), axis=1)))
        return np.diff(walked[kept])

    def off(leaning: Floats) -> Floats:
        return np.concatenate([(lengths(leaning) / steps - 1) / doubt, leaning[:2]])

    best = min(
        (
            least_squares(off, [a / _USUAL_TILT_DEG, b / _USUAL_TILT_DEG, 0.0], bounds=(-3.0, 3.0))
            for a, b in _STARTS_DEG
        ),
        key=lambda found: float(found.cost),
    )
    leaning = np.asarray(best.x, np.float64)
    misfit = float(np.sqrt(np.mean((lengths(leaning) / steps - 1) ** 2)))
    return PacedPlane(onto(_plane(ray, usual, leaning), camera), misfit)


def _plane(ray: Floats, usual_mm: float, leaning: Floats) -> Plane:
    """Return the plane of two leans, in usual tilts, and the log of its distance."""
    straight = Plane(ray * usual_mm * np.exp(leaning[2]), ray / np.linalg.norm(ray))
    tilted = straight.leaning(np.array([0.0, 1, 0]), float(leaning[0]) * _USUAL_TILT_DEG)
    return tilted.leaning(np.array([1.0, 0, 0]), float(leaning[1]) * _USUAL_TILT_DEG)


def _steps_apart(along_mm: Floats) -> list[int]:
    """Return which points to step between: in a short step, the click would be all of it."""
    kept = [0]
    for index in range(1, len(along_mm)):
        if along_mm[index] - along_mm[kept[-1]] >= _LEAST_STEP_MM:
            kept.append(index)
    if len(kept) == 1:
        kept.append(len(along_mm) - 1)
    return kept
