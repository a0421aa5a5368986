"""Has a joint that nobody recorded room where a leak begins?"""

from collections.abc import Iterator, Mapping, Sequence
from math import log

import numpy as np

from leaktrack.analysis.spreading import Numbers, Seam, density
from leaktrack.analysis.suspecting import Scene
from leaktrack.analysis.weighing import Weights
from leaktrack.model.source import FoundSource
from leaktrack.model.trace import Clue, ClueKind

# How far about a source the places are looked at that it may come from, and how finely; how finely
# the whole photo is. Finer changes chances by less than one in a hundred.
AROUND_MM = 75.0
STEP_MM = 3.0
ACROSS = 32
# Points of a joint's line nearer to one another than this are not looked at.
LINE_MM = 4.0
# However full of joints a photo is, so much of it is left. Own judgement.
LEAST_FREE = 0.1


def room_clues(scene: Scene, seams: Sequence[Seam], weights: Weights) -> Iterator[Clue]:
    """Return whether something that nobody recorded has room where the leak begins."""
    if not seams or scene.source is None:
        return
    lines, steps_mm = [one.xy for one in seams], [one.step_mm for one in seams]
    weight = log(room(scene.source, lines, steps_mm, weights.places))
    kind = ClueKind.AWAY_FROM_JOINTS if weight > 0 else ClueKind.ON_THE_JOINTS
    yield Clue(kind, weight=weight, photo_id=scene.photo_id, at_px=scene.source.at)


def room(
    source: FoundSource,
    lines: Sequence[Numbers],
    steps_mm: Sequence[float],
    places: Mapping[str, float],
) -> float:
    """Return how likely a leak of something unrecorded begins here, against anywhere in the photo.

    Two joints keep apart, as each has its flange and its bolts. So what is not in the record lies
    seldom on a recorded joint, and the oftener elsewhere; some of it may lie anywhere.

    Args:
        source: Where the leak begins.
        lines: Places along the recorded joints, in px, each of shape (n, 2).
        steps_mm: Between the places of each.
        places: The weights' figures of places.
    """
    if not lines:
        return 1.0
    thinned = [
        xy[:: max(1, int(LINE_MM / max(step, 1e-6)))]
        for xy, step in zip(lines, steps_mm, strict=True)
    ]
    joints = np.vstack(thinned)
    apart_px = places["apart_mm"] / source.mm_per_px
    half = np.arange(-AROUND_MM, AROUND_MM + STEP_MM / 2, STEP_MM) / source.mm_per_px
    near = _grid(source.at.x + half, source.at.y + half)
    is_inside = (near >= 0).all(axis=1) & (near < [source.width_px, source.height_px]).all(axis=1)
    near = near[is_inside]
    if not len(near):
        return 1.0
    likely = density(source, near, places)
    reach = half[-1] + apart_px
    about = joints[(np.abs(joints - [source.at.x, source.at.y]) <= reach).all(axis=1)]
    step = source.width_px / ACROSS
    whole = _grid(
        np.arange(step / 2, source.width_px, step), np.arange(step / 2, source.height_px, step)
    )
    free = max(LEAST_FREE, float(_is_free(whole, joints, apart_px, step).mean()))
    here = float(likely @ _is_free(near, about, apart_px, half[1] - half[0])) / float(likely.sum())
    return places["anywhere"] + (1 - places["anywhere"]) * here / free


def _grid(x: Numbers, y: Numbers) -> Numbers:
    across, down = np.meshgrid(x, y)
    return np.column_stack([across.ravel(), down.ravel()])


def _is_free(xy: Numbers, joints: Numbers, apart_px: float, step_px: float) -> Numbers:
    """Return how much of a grid's cell is away from all joints, 0 to 1, of shape (n,)."""
    if not len(joints):
        return np.ones(len(xy))
    squared = (xy**2).sum(axis=1)[:, None] + (joints**2).sum(axis=1) - 2 * xy @ joints.T
    away_px = np.sqrt(np.maximum(squared.min(axis=1), 0.0))
    free: Numbers = np.clip((away_px - apart_px) / step_px + 0.5, 0.0, 1.0)
    return free
