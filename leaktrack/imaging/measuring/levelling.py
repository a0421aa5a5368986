"""Find the plane on which places are seen whose distances from one another are known."""

import math
from dataclasses import dataclass, replace

import cv2
import numpy as np

from leaktrack.imaging.measuring.projecting import Camera, Floats, Plane

_TRIED_FOCAL = np.geomspace(0.6, 2.5, 25)  # shares of the assumed focal length


@dataclass(frozen=True)
class Pose:
    """A plane on which known places are seen, and how far off they are in x and y (rms, px)."""

    plane: Plane
    off_px: float


def poses(seen: Floats, known: Floats, camera: Camera) -> list[Pose]:
    """Return the plane on which places are known, and one that looks nearly the same, best first.

    Source:
        T. Collins, A. Bartoli, Infinitesimal plane-based pose estimation (International Journal of
        Computer Vision 109, 2014): from far away, a plane and its mirror image look alike.
    """
    places = np.column_stack([known, np.zeros(len(known))])
    _, turns, moves, _ = cv2.solvePnPGeneric(
        places, seen.reshape(-1, 1, 2), camera.matrix, None, flags=cv2.SOLVEPNP_IPPE
    )
    found = []
    for first_turn, first_move in zip(turns, moves, strict=True):
        turn, move = cv2.solvePnPRefineLM(
            places, seen.reshape(-1, 1, 2), camera.matrix, None, first_turn, first_move
        )
        again, _ = cv2.projectPoints(places, turn, move, camera.matrix, None)
        off_px = np.sqrt(np.mean((again.reshape(-1, 2) - seen) ** 2))
        rotation, _ = cv2.Rodrigues(turn)
        normal = np.asarray(rotation[:, 2], np.float64)
        at = np.asarray(move, np.float64).ravel()
        found.append(Pose(Plane(at, normal if normal @ at > 0 else -normal), float(off_px)))
    return sorted(found, key=lambda pose: pose.off_px)


def chance(off_px: float, best_px: float, count: int, sigma_px: float) -> float:
    """Return the chance that a pose is the true one, against the best, by how far each is off."""
    worse = count * (off_px**2 - best_px**2) / sigma_px**2
    return 1 / (1 + math.exp(min(worse / 2, 700.0)))


def best_focal(seen: Floats, known: Floats, camera: Camera) -> Camera:
    """Return the camera, with the focal length that fits a pattern best where none was told."""
    if camera.is_told:
        return camera
    tried = [replace(camera, focal_px=camera.focal_px * share) for share in _TRIED_FOCAL]
    return min(tried, key=lambda one: poses(seen, known, one)[0].off_px)
