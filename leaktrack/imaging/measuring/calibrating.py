"""Take a photo's scale from what is known in it: a printed target, bolts, a typed length."""

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from leaktrack.imaging.measuring.levelling import best_focal, chance, poses
from leaktrack.imaging.measuring.projecting import Camera, Floats, Plane, onto, through
from leaktrack.imaging.measuring.scaling import (
    Doubt,
    Scale,
    ScaleSource,
    ScaleState,
    as_matrix,
    bent,
)
from leaktrack.imaging.measuring.targeting import TargetScale
from leaktrack.model.shapes import PointPx

SURFACE_DOUBT_MM = 3.0
"""How much nearer or farther than the target a wet surface may lie, unless said otherwise."""

LARGEST_TILT_DEG = 45.0
"""Steeper, a scale is refused: rendered targets were 2 % wrong there, 9 % at 55 degrees."""

# Oil runs over a casting that is no plane. On rendered engines with targets on nearby surfaces, 42
# wet areas differed from the target's plane by 11 % (rms), near the target as much as far from it:
# a lean of this size of each wet area explains that, and a small one of the surface as a whole.
_LEAN_DEG = 18.0
_SURFACE_LEAN_DEG = 3.0

_UNKNOWN_TILT_DEG = (
    20.0  # of a photo in which nothing tells how straight it was taken; own judgement
)
_LENS_BEND = 0.01  # of the place of the photo's corner: phones correct most of it; own judgement
_RULED_MM = 0.1  # a side or spacing measured with a calliper
_CLICK_PX = 1.5  # own judgement
_LEAST_SIDE_PX = 30.0  # cells of 5 px: below, the target's grid is not seen
_LEAST_LENGTH_PX = 40.0  # clicks on less are worth little; own judgement
_LARGEST_RESIDUAL = 0.01  # of the pattern's extent: more, and it is another pattern
_FLATTEST = 0.05  # a pattern narrower than this share of its length lies on a line
_MOST_BUNCHING = 0.5  # of stations along a line: more, and no photo looks like that; own judgement


def scale_at_target(target: TargetScale, camera: Camera, *, is_same_plane: bool = False) -> Scale:
    """Return the scale that a printed square target gives; refused where small or steep.

    Args:
        target: The target as found in the photo.
        camera: The photo's camera.
        is_same_plane: What is measured lies on the very surface on which the target lies: its
            distance and lean are not doubted.
    """
    corners = _array(target.corners_px)
    half = target.side_mm / 2
    square = np.array([[-half, -half], [half, -half], [half, half], [-half, half]])
    facts = Scale(
        source=ScaleSource.TARGET,
        state=ScaleState.MEASURED,
        size_px=camera.size_px,
        at_px=_middle(corners),
        side_mm=target.side_mm,
        corners_px=target.corners_px,
        is_focal_told=camera.is_told,
        is_cut=camera.is_cut,
    )
    sides = np.linalg.norm(corners - np.roll(corners, -1, axis=0), axis=1)
    if sides.min() < _LEAST_SIDE_PX:
        return replace(facts, state=ScaleState.TOO_SMALL)
    return _posed(facts, corners, square, camera, target.sigma_px, is_same_plane=is_same_plane)


def scale_of_bolts(
    places_px: Sequence[PointPx],
    places_mm: Sequence[tuple[float, float]],
    camera: Camera,
    *,
    is_same_plane: bool = False,
) -> Scale:
    """Return the scale that bolts of known spacing give; refused where they do not fit it.

    Four and more that are not on a line give the plane of their flange. Two, and any number on a
    line, give one number along it: how the flange leans is not known then, and doubted.

    Args:
        places_px: Centres of at least two bolts in the upright photo.
        places_mm: Their places on the flange, from anywhere; on a line: (station, 0).
        camera: The photo's camera.
        is_same_plane: As for a target.

    Raises:
        ValueError: Fewer than two bolts, or not as many places in px as in mm.
    """
    seen, known = _array(places_px), np.array(places_mm, np.float64).reshape(-1, 2)
    if len(seen) != len(known) or len(seen) < 2:
        raise ValueError("bolts need a place in px and one in mm each, and at least two of them")
    if len(seen) < 4 or _flatness(known) < _FLATTEST:
        return _along_line(seen, known, camera)
    facts = Scale(
        source=ScaleSource.PATTERN,
        state=ScaleState.MEASURED,
        size_px=camera.size_px,
        at_px=_middle(seen),
        corners_px=tuple(places_px),
        is_focal_told=camera.is_told,
        is_cut=camera.is_cut,
    )
    known = known - known.mean(axis=0)
    if _extent(seen) < _LEAST_LENGTH_PX:
        return replace(facts, state=ScaleState.TOO_SMALL)
    fitting = best_focal(seen, known, camera)
    off_px = math.sqrt(2) * poses(seen, known, fitting)[0].off_px
    if off_px > _LARGEST_RESIDUAL * _extent(seen):
        return replace(facts, state=ScaleState.WRONG_PATTERN)
    return _posed(facts, seen, known, fitting, _CLICK_PX, is_same_plane=is_same_plane)


def scale_of_length(
    start: PointPx,
    end: PointPx,
    length_mm: float,
    camera: Camera,
    source: ScaleSource = ScaleSource.LENGTH,
) -> Scale:
    """Return the scale that a known length between two places gives.

    It holds along that line. Across it, the surface may lean away from the camera, and then reads
    too small by the cosine: 6 % at 20 degrees, which counts as one standard deviation.

    Args:
        start: One end, in the upright photo.
        end: The other.
        length_mm: Between them on the engine; above 0.
        camera: The photo's camera.
        source: LENGTH or BOLTS.
    """
    ends = _array((start, end))
    facts = Scale(
        source=source,
        state=ScaleState.MEASURED,
        size_px=camera.size_px,
        at_px=_middle(ends),
        side_mm=length_mm,
        corners_px=(start, end),
        is_focal_told=camera.is_told,
        is_cut=camera.is_cut,
    )
    length_px = start.distance_px(end)
    if length_px < _LEAST_LENGTH_PX:
        return replace(facts, state=ScaleState.TOO_SMALL)
    distance = camera.focal_px * length_mm / length_px
    middle = _middle(ends)
    plane = Plane(camera.ray(middle.x, middle.y) * distance, np.array([0.0, 0, 1]))
    along = np.append((ends[1] - ends[0]) / length_px, 0.0)
    across = np.array([-along[1], along[0], 0.0])

    def ruled(of: Plane, camera: Camera = camera) -> Floats:
        """Return the map onto a plane, stretched so that the length is the known one."""
        flat = onto(of, camera)
        found = float(np.linalg.norm(np.diff(through(flat, ends), axis=0)))
        return np.diag([length_mm / found, length_mm / found, 1.0]) @ flat

    doubts = [
        Doubt("lean across", as_matrix(ruled(plane.leaning(along, _UNKNOWN_TILT_DEG)))),
        Doubt("lean along", as_matrix(ruled(plane.leaning(across, _UNKNOWN_TILT_DEG)))),
        Doubt("surface", as_matrix(onto(plane.nearer(SURFACE_DOUBT_MM), camera))),
    ]
    for aside in camera.looking_elsewhere:
        there = Plane(aside.ray(middle.x, middle.y) * distance, plane.normal)
        doubts.append(Doubt("cut photo", as_matrix(ruled(there, aside))))
    off = math.hypot(math.sqrt(2) * _CLICK_PX / length_px, _RULED_MM / length_mm)
    flat = ruled(plane)
    doubts.append(Doubt("ends", as_matrix(np.diag([1 + off, 1 + off, 1.0]) @ flat)))
    doubts.append(Doubt("lens", as_matrix(flat), _LENS_BEND))
    return replace(
        facts,
        to_mm=as_matrix(flat),
        doubts=tuple(doubts),
        distance_mm=distance,
        lean_deg=_LEAN_DEG,
    )


def _posed(
    facts: Scale,
    seen: Floats,
    known: Floats,
    camera: Camera,
    sigma_px: float,
    *,
    is_same_plane: bool,
) -> Scale:
    """Return the scale of a plane on which at least four places are known, with its doubts."""
    best, *mirrored = poses(seen, known, camera)
    plane = best.plane
    distance = float(np.linalg.norm(plane.at_mm))
    lean_deg = 0.0 if is_same_plane else _LEAN_DEG
    facts = replace(facts, tilt_deg=plane.tilt_deg, distance_mm=distance, lean_deg=lean_deg)
    if plane.tilt_deg > LARGEST_TILT_DEG:
        return replace(facts, state=ScaleState.TOO_TILTED)

    def again(seen: Floats, known: Floats = known, camera: Camera = camera) -> Floats:
        """Return the map that other places or another camera give, of the same lean."""
        planes = [pose.plane for pose in poses(seen, known, camera)]
        return onto(max(planes, key=lambda one: float(one.normal @ plane.normal)), camera)

    doubts = []
    for index in range(seen.size):
        moved = seen.copy()
        moved.flat[index] += sigma_px
        doubts.append(Doubt("places", as_matrix(again(moved))))
    for pose in mirrored:
        share = chance(pose.off_px, best.off_px, seen.size, sigma_px)
        doubts.append(
            Doubt("mirrored lean", as_matrix(onto(pose.plane, camera)), share=math.sqrt(share))
        )
    doubts.append(Doubt("given size", as_matrix(again(seen, known * _stretch(known)))))
    longer = replace(camera, focal_px=camera.focal_px * (1 + camera.focal_doubt))
    doubts.append(Doubt("focal length", as_matrix(again(seen, camera=longer))))
    doubts += [
        Doubt("cut photo", as_matrix(again(seen, camera=aside)))
        for aside in camera.looking_elsewhere
    ]
    bowed = bent(seen, camera.size_px, _LENS_BEND)
    doubts.append(Doubt("lens", as_matrix(again(bowed)), _LENS_BEND))
    if not is_same_plane:
        others = (
            ("surface", plane.nearer(SURFACE_DOUBT_MM)),
            ("lean", plane.leaning(np.array([1.0, 0, 0]), _SURFACE_LEAN_DEG)),
            ("lean", plane.leaning(np.array([0, 1.0, 0]), _SURFACE_LEAN_DEG)),
        )
        doubts += [Doubt(why, as_matrix(onto(other, camera))) for why, other in others]
    return replace(facts, to_mm=as_matrix(onto(plane, camera)), doubts=tuple(doubts))


def _along_line(seen: Floats, known: Floats, camera: Camera) -> Scale:
    """Return the scale along a line of bolts, refused where they are not spaced as said."""
    far = int(np.linalg.norm(known - known[0], axis=1).argmax())
    first = int(np.linalg.norm(known - known[far], axis=1).argmax())
    start, end = (PointPx(*map(float, seen[index])) for index in (first, far))
    spacing = float(np.linalg.norm(known[far] - known[first]))
    scale = scale_of_length(start, end, spacing, camera, ScaleSource.BOLTS)
    if len(seen) < 3 or scale.to_mm is None:
        return scale
    way = (seen[far] - seen[first]) / start.distance_px(end)
    share = (seen - seen[first]) @ way / start.distance_px(end)
    station = np.linalg.norm(known - known[first], axis=1) / spacing
    # Seen along a leaning line, stations bunch up towards the far end: one number tells how much.
    bunching, terms = station - share, share * (1 - station)
    lean = float(bunching @ terms) / max(float(terms @ terms), 1e-12)
    off = bunching - lean * terms
    if np.abs(off).max() > _LARGEST_RESIDUAL or abs(lean) > _MOST_BUNCHING:
        return replace(scale, state=ScaleState.WRONG_PATTERN, to_mm=None, doubts=())
    return scale


def _array(points: Sequence[PointPx]) -> Floats:
    return np.array([[point.x, point.y] for point in points], np.float64)


def _middle(places: Floats) -> PointPx:
    x, y = places.mean(axis=0)
    return PointPx(float(x), float(y))


def _extent(places: Floats) -> float:
    return float(np.linalg.norm(places[:, None] - places[None], axis=2).max())


def _stretch(known: Floats) -> float:
    return 1 + _RULED_MM / _extent(known)


def _flatness(known: Floats) -> float:
    """Return how wide a pattern is for its length, 0 on a line."""
    sizes = np.linalg.svd(known - known.mean(axis=0), compute_uv=False)
    return float(sizes[1] / max(sizes[0], 1e-12))
