"""Take a scale over from a photo with a target to one without, through how they lie together.

The surface round the target is carried, not the target: a few of its widths in each direction.
Where those places go gives a projective map between the photos for that surface. How well it is
known shows when it is fitted again without one sector of the places after the other, and in how
sure the places themselves are.
"""

from dataclasses import replace

import numpy as np

from leaktrack.imaging.overlaying import Placing
from leaktrack.imaging.projecting import Floats, through
from leaktrack.imaging.scaling import (
    Doubt,
    Scale,
    ScaleSource,
    ScaleState,
    as_matrix,
    matrix,
    tilt_deg_at,
)
from leaktrack.model.place import PlaceState
from leaktrack.model.shapes import PointPx

_REACH = 2.0  # target sides to each side of its middle: best of five tried on rendered photos
_STEPS = 13  # places in each direction
_LEAST_PLACES = 30  # of 169; own judgement
_SECTORS = 8
_ROUNDS = 5
_KNOWN = (PlaceState.CARRIED, PlaceState.UNCERTAIN)
_LARGEST_TILT_DEG = 50.0  # a little more than where the scale was measured; own judgement


def carried_scale(scale: Scale, placing: Placing) -> Scale:
    """Return a photo's scale in another photo; NOT_CARRIED where the photos do not lie together.

    Args:
        scale: Measured in the reference photo.
        placing: Where places of the reference photo lie in the new one.
    """
    facts = replace(
        scale, source=ScaleSource.CARRIED, size_px=placing.size, corners_px=(), distance_mm=None
    )
    refused = replace(facts, to_mm=None, doubts=(), tilt_deg=None)
    if scale.state is not ScaleState.MEASURED or scale.to_mm is None:
        return refused
    here = _places_round(scale)
    carried = placing.carry(here)
    is_known = np.array([state in _KNOWN for state in carried.states], bool)
    is_known &= np.isfinite(carried.xy).all(axis=1)
    if is_known.sum() < _LEAST_PLACES:
        return replace(refused, state=ScaleState.NOT_CARRIED)
    here, there, sigma = here[is_known], carried.xy[is_known], carried.sigma_px[is_known]
    weight = 1 / np.maximum(np.nan_to_num(sigma, nan=10.0, posinf=10.0), 0.5) ** 2
    back = _fitted(there, here, weight)
    forth = np.asarray(np.linalg.inv(back), np.float64)
    at = through(forth, np.array([[scale.at_px.x, scale.at_px.y]]))[0]
    to_mm = matrix(scale.to_mm) @ _facing(back, at)
    doubts = [
        replace(doubt, to_mm=as_matrix(matrix(doubt.to_mm) @ _facing(back, at)), bend=0.0)
        for doubt in scale.doubts
    ]
    doubts += _without_sectors(scale, here, there, weight, at)
    # All places may be off together, the more to one side the farther away they lie.
    stretched = 1 + float(np.median(sigma)) / float(np.linalg.norm(there - at, axis=1).mean())
    doubts.append(Doubt("carrying", as_matrix(np.diag([stretched, stretched, 1.0]) @ to_mm)))
    tilt = tilt_deg_at(to_mm, at)
    if tilt > _LARGEST_TILT_DEG:
        return replace(refused, state=ScaleState.TOO_TILTED)
    return replace(
        facts,
        at_px=PointPx(float(at[0]), float(at[1])),
        to_mm=as_matrix(to_mm),
        doubts=tuple(doubts),
        tilt_deg=tilt,
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


def _without_sectors(
    scale: Scale, here: Floats, there: Floats, weight: Floats, at: Floats
) -> list[Doubt]:
    """Return what the map would be without the places of one sector after the other.

    Source:
        The jackknife: variance = (k - 1) / k x the sum of squared differences.
    """
    off = here - np.array([scale.at_px.x, scale.at_px.y])
    sector = np.floor((np.arctan2(off[:, 1], off[:, 0]) / (2 * np.pi) % 1.0) * _SECTORS)
    assert scale.to_mm is not None
    doubts = []
    for one in range(_SECTORS):
        others = sector != one
        if others.all() or others.sum() < _LEAST_PLACES / 2:
            continue
        back = _fitted(there[others], here[others], weight[others])
        doubts.append(as_matrix(matrix(scale.to_mm) @ _facing(back, at)))
    share = float(np.sqrt((len(doubts) - 1) / len(doubts))) if doubts else 0.0
    return [Doubt("carrying", doubt, share=share) for doubt in doubts]


def _fitted(places: Floats, goals: Floats, weight: Floats) -> Floats:
    """Return the homography that takes (N, 2) places to their goals, with less regard for strays.

    Source:
        Direct linear transform with normalised places: R. Hartley, A. Zisserman, Multiple View
        Geometry, 2nd edition, algorithm 4.2.
    """
    to_place, to_goal = _normalising(places), _normalising(goals)
    x, y = through(to_place, places).T
    u, v = through(to_goal, goals).T
    zero, one = np.zeros_like(x), np.ones_like(x)
    by_u = np.stack([x, y, one, zero, zero, zero, -u * x, -u * y, -u], axis=1)
    by_v = np.stack([zero, zero, zero, x, y, one, -v * x, -v * y, -v], axis=1)
    share = weight / weight.mean()
    homography = np.eye(3)
    for _ in range(_ROUNDS):
        root = np.sqrt(share)[:, None]
        _, _, rows = np.linalg.svd(np.concatenate([root * by_u, root * by_v]), full_matrices=False)
        homography = np.linalg.inv(to_goal) @ rows[-1].reshape(3, 3) @ to_place
        stray = np.linalg.norm(through(homography, places) - goals, axis=1)
        usual = max(2 * float(np.median(stray)), 0.5)
        share = weight / weight.mean() / (1 + (stray / usual) ** 2) ** 2
    return np.asarray(homography / homography[2, 2], np.float64)


def _normalising(places: Floats) -> Floats:
    middle = places.mean(axis=0)
    size = float(np.sqrt(2) / np.linalg.norm(places - middle, axis=1).mean())
    return np.array([[size, 0, -size * middle[0]], [0, size, -size * middle[1]], [0, 0, 1]])


def _facing(homography: Floats, at: Floats) -> Floats:
    """Return a homography with the sign that makes its third component positive at a place."""
    return homography if homography[2, :2] @ at + homography[2, 2] > 0 else -homography
