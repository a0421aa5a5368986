"""Take a scale over from a photo with a target to one without, through how they lie together.

The surface round the target is carried, not the target: a few of its widths in each direction.
Their places in mm are known, so where they are seen in the other photo tells how that surface lies
before its camera. How well it is known shows when it is found again without one sector of the
places after the other, and in how sure the places themselves are.
"""

import math
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.matching.overlaying import Placing
from leaktrack.imaging.measuring.levelling import chance, poses
from leaktrack.imaging.measuring.projecting import Camera, Floats, onto, through
from leaktrack.imaging.measuring.scaling import (
    Doubt,
    Matrix,
    Scale,
    ScaleSource,
    ScaleState,
    as_matrix,
    matrix,
)
from leaktrack.model.place import PlaceState
from leaktrack.model.shapes import PointPx

_REACH = 2.0  # target sides to each side of its middle: best of five tried on rendered photos
_STEPS = 13  # places in each direction
_LEAST_PLACES = 30  # of 169; own judgement
_SECTORS = 8
_ROUNDS = 5
_LEAST_TRUST = 0.25  # of a place that fits
_KNOWN = (PlaceState.CARRIED, PlaceState.UNCERTAIN)
_LARGEST_TILT_DEG = 50.0  # a little more than where the scale was measured; own judgement


def carried_scale(scale: Scale, placing: Placing, camera: Camera) -> Scale:
    """Return a photo's scale in another photo; NOT_CARRIED where the photos do not lie together.

    Args:
        scale: Measured in the reference photo.
        placing: Where places of the reference photo lie in the new one.
        camera: That of the new photo.
    """
    facts = replace(
        scale,
        source=ScaleSource.CARRIED,
        size_px=camera.size_px,
        corners_px=(),
        is_focal_told=camera.is_told,
    )
    refused = replace(facts, to_mm=None, doubts=(), tilt_deg=None, distance_mm=None)
    if scale.state is not ScaleState.MEASURED or scale.to_mm is None:
        return refused
    here = _places_round(scale)
    carried = placing.carry(here)
    is_known = np.array([state in _KNOWN for state in carried.states], bool)
    is_known &= np.isfinite(carried.xy).all(axis=1)
    if is_known.sum() < _LEAST_PLACES:
        return replace(refused, state=ScaleState.NOT_CARRIED)
    sigma_px = float(np.median(carried.sigma_px[is_known]))
    here, there = _of_one_surface(here[is_known], carried.xy[is_known], carried.sigma_px[is_known])
    best, *mirrored = poses(there, through(matrix(scale.to_mm), here), camera)
    if best.plane.tilt_deg > _LARGEST_TILT_DEG:
        return replace(refused, state=ScaleState.TOO_TILTED)
    pixel = camera.matrix @ best.plane.at_mm
    at = np.asarray(pixel[:2] / pixel[2], np.float64)
    to_mm = onto(best.plane, camera)

    def again(to_mm: Matrix, here: Floats, there: Floats, camera: Camera = camera) -> Matrix:
        """Return the map that another scale, other places or another camera give."""
        planes = [pose.plane for pose in poses(there, through(matrix(to_mm), here), camera)]
        nearest = max(planes, key=lambda one: float(one.normal @ best.plane.normal))
        return as_matrix(onto(nearest, camera))

    doubts = [
        replace(doubt, to_mm=again(doubt.to_mm, here, there), bend=0.0) for doubt in scale.doubts
    ]
    for pose in mirrored:
        share = chance(pose.off_px, best.off_px, 2 * _SECTORS, max(sigma_px, best.off_px))
        other = as_matrix(onto(pose.plane, camera))
        doubts.append(Doubt("mirrored lean", other, share=math.sqrt(share)))
    longer = replace(camera, focal_px=camera.focal_px * (1 + camera.focal_doubt))
    doubts.append(Doubt("focal length", again(scale.to_mm, here, there, longer)))
    parts = _without_sectors(here, scale.at_px)
    share = math.sqrt((len(parts) - 1) / len(parts)) if parts else 0.0
    doubts += [
        Doubt("carrying", again(scale.to_mm, here[others], there[others]), share=share)
        for others in parts
    ]
    # All places may be off together, the more to one side the farther away they lie.
    stretched = 1 + sigma_px / float(np.linalg.norm(there - at, axis=1).mean())
    doubts.append(Doubt("carrying", as_matrix(np.diag([stretched, stretched, 1.0]) @ to_mm)))
    return replace(
        facts,
        at_px=PointPx(float(at[0]), float(at[1])),
        to_mm=as_matrix(to_mm),
        doubts=tuple(doubts),
        tilt_deg=best.plane.tilt_deg,
        distance_mm=float(np.linalg.norm(best.plane.at_mm)),
    )


def _places_round(scale: Scale) -> Floats:
    """Return the places of the reference photo that are carried: (N, 2), inside the photo."""
    mm_per_px = scale.mm_per_px or 1.0
    reach = _REACH * (scale.side_mm or 30.0) / mm_per_px
    steps = np.linspace(-reach, reach, _STEPS)
    x, y = np.meshgrid(scale.at_px.x + steps, scale.at_px.y + steps)
    places = np.column_stack([x.ravel(), y.ravel()])
    inside = ((places >= 0) & (places <= np.array(scale.size_px) - 1)).all(axis=1)
    return np.asarray(places[inside], np.float64)


def _without_sectors(here: Floats, middle: PointPx) -> list[NDArray[np.bool_]]:
    """Return which places are left without those of one sector after the other.

    Source:
        The jackknife: variance = (k - 1) / k x the sum of squared differences.
    """
    off = here - np.array([middle.x, middle.y])
    sector = np.floor((np.arctan2(off[:, 1], off[:, 0]) / (2 * np.pi) % 1.0) * _SECTORS)
    left = [sector != one for one in range(_SECTORS)]
    return [each for each in left if not each.all() and each.sum() > _LEAST_PLACES / 2]


def _of_one_surface(here: Floats, there: Floats, sigma_px: Floats) -> tuple[Floats, Floats]:
    """Return the places of both photos that one projective map explains, without the strays.

    Source:
        Direct linear transform with normalised places: R. Hartley, A. Zisserman, Multiple View
        Geometry, 2nd edition, algorithm 4.2.
    """
    weight = 1 / np.maximum(np.nan_to_num(sigma_px, nan=10.0, posinf=10.0), 0.5) ** 2
    to_here, to_there = _normalising(here), _normalising(there)
    x, y = through(to_here, here).T
    u, v = through(to_there, there).T
    zero, one = np.zeros_like(x), np.ones_like(x)
    by_u = np.stack([x, y, one, zero, zero, zero, -u * x, -u * y, -u], axis=1)
    by_v = np.stack([zero, zero, zero, x, y, one, -v * x, -v * y, -v], axis=1)
    trust = np.ones_like(x)
    for _ in range(_ROUNDS):
        root = np.sqrt(weight * trust)[:, None]
        _, _, rows = np.linalg.svd(np.concatenate([root * by_u, root * by_v]), full_matrices=False)
        homography = np.linalg.inv(to_there) @ rows[-1].reshape(3, 3) @ to_here
        stray = np.linalg.norm(through(homography, here) - there, axis=1)
        usual = max(2 * float(np.median(stray)), 0.5)
        trust = 1 / (1 + (stray / usual) ** 2) ** 2
    is_trusted = trust > _LEAST_TRUST
    return here[is_trusted], there[is_trusted]


def _normalising(places: Floats) -> Floats:
    middle = places.mean(axis=0)
    size = float(np.sqrt(2) / np.linalg.norm(places - middle, axis=1).mean())
    return np.array([[size, 0, -size * middle[0]], [0, size, -size * middle[1]], [0, 0, 1]])
