"""Carry places from photo to photo exactly, and say honestly where that cannot be done.

Several guesses follow the picture and are weighed node by node. Where one is nearly sure it becomes
a match; from these the cameras and the depth of every place are found, which is one more guess.
The likeliest wins.
"""

from collections.abc import Callable
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.carrying import chances
from leaktrack.imaging.carrying.deepening import deepened
from leaktrack.imaging.carrying.flattening import STEP_PX, Floats, Picture, Rgb, Shrinkage, pictures
from leaktrack.imaging.carrying.guessing import Guess, by_neighbours, by_surfaces, followed
from leaktrack.imaging.carrying.sharing import at_once, each_in_turn, go_on
from leaktrack.imaging.carrying.surrounding import surrounded
from leaktrack.imaging.carrying.weighing import CLUES, DEPTH_CLUES, Judged, Weigher
from leaktrack.imaging.matching.aligning import Alignment, AlignmentState, Carried
from leaktrack.imaging.matching.moving import Points, surface
from leaktrack.model.place import PlaceState

_NEIGHBOURS = 16
_SURFACES = 4
_NEXT_NEIGHBOURS = 20  # own measurement: one guess with 12 and another with 30 did no better
_LEAST_SURE = 40
_SURE = 0.75  # own measurement: such places are right nine times of ten, and cover most surfaces
_SURE_BLOCK = 4  # of so many nodes squared, the surest becomes a match
_SURFACE_PX = 1.5
_HALVE = np.diag([0.5, 0.5, 1.0])
_LEAST_ALIKE = 0.2  # own measurement: 99 of 100 places carried rightly are more alike
_UNLIKE_CHANCE = 0.3
_WITH_PLACE = (PlaceState.CARRIED, PlaceState.UNCERTAIN)


@dataclass(frozen=True, slots=True, eq=False)
class FineAlignment:
    """How a new photo lies over a reference photo, node by node.

    Attributes:
        state: As the matches alone had it.
        where: (rows, cols, 2) where each node lies in the new photo's picture.
        chance: (rows, cols) how likely that is right at the node and those around it, 0 to 1.
        reference: How the reference photo's picture lies over the full photo.
        new: The same of the new photo.
        size: Width and height of the full new photo.
    """

    state: AlignmentState
    where: Floats
    chance: Floats
    reference: Shrinkage
    new: Shrinkage
    size: tuple[int, int]

    def carry(self, points: Points) -> Carried:
        """Return where (N, 2) points of the full reference photo lie in the full new one."""
        if not len(points):
            return Carried(np.empty((0, 2)), np.empty(0), ())
        xy, chance = self._at(points)
        width, height = self.size
        is_inside = np.all((xy >= -0.5) & (xy < (width - 0.5, height - 0.5)), axis=1)
        states = tuple(
            _state(bool(inside), float(one)) for inside, one in zip(is_inside, chance, strict=True)
        )
        has_place = np.array([state in _WITH_PLACE for state in states])
        xy[~has_place] = np.nan
        sigma = chances.sigma_share(chance) * max(self.size)
        return Carried(xy, np.where(has_place, sigma, np.inf), states)

    def chances(self, points: Points) -> NDArray[np.float64]:
        """Return how likely the places of (N, 2) points are right, 0 to 1."""
        return self._at(points)[1]

    def places(self, points: Points) -> Points:
        """Return where (N, 2) points of the full reference photo lie, sure or not."""
        return self._at(points)[0]

    def _at(self, points: Points) -> tuple[Points, NDArray[np.float64]]:
        nodes = self.reference.to_picture(points) / STEP_PX
        where, chance = _looked_up(self.where, nodes), _looked_up(self.chance, nodes)
        return self.new.to_full(where), chance.ravel()


def refined(
    alignment: Alignment,
    reference_rgb: Rgb,
    reference_size: tuple[int, int],
    new_rgb: Rgb,
    pause: Callable[[], None] = go_on,
) -> Alignment | FineAlignment:
    """Return the alignment made exact by looking at the photos; as it was where that is no use.

    Args:
        alignment: Made from matches.
        reference_rgb: The upright reference photo or a smaller decode of it.
        reference_size: Width and height of the full reference photo.
        new_rgb: The upright new photo or a smaller decode of it.
        pause: Called often; may raise to stop.
    """
    if alignment.state is AlignmentState.FAILED:
        return alignment
    photos = ((reference_rgb, reference_size), (new_rgb, alignment.size))
    reference, new = each_in_turn(lambda photo: pictures(*photo), photos, pause)
    guesses = guessed(alignment, reference, new, reference_size, pause)
    if guesses is None:
        return alignment
    weigher, fallback = guesses
    where, chance = _likeliest(weigher)
    calm = calmed(where, chance, fallback)
    # Between nodes of two surfaces a place lies on neither: the least sure neighbour decides.
    least = np.asarray(cv2.erode(chance, np.ones((3, 3), np.uint8)), np.float32)
    here, there = (Shrinkage(each[0].halved().px) for each in (reference, new))
    return FineAlignment(alignment.state, calm, least, here, there, alignment.size)


def guessed(
    alignment: Alignment,
    reference: tuple[Picture, ...],
    new: tuple[Picture, ...],
    reference_size: tuple[int, int],
    pause: Callable[[], None] = go_on,
) -> tuple[Weigher, Floats] | None:
    """Return all guesses, ready to be weighed, and the smooth one to fall back on at the nodes.

    None where the matches lie on no surface.
    """
    one, other = reference[0].halved(), new[0].halved()
    here, there = one.to_picture(alignment.here), other.to_picture(alignment.there)
    # OpenCV's estimator minds the unit: in px of smaller pictures it missed one surface of 84.
    plane = surface(2 * here, 2 * there, 2 * _SURFACE_PX)
    if plane is None:
        return None
    main = _HALVE @ plane[0] @ np.linalg.inv(_HALVE)
    weigher, flat = at_once(
        lambda: Weigher(one, other, here, there),
        lambda: by_surfaces(one, here, there, _SURFACES),
    )
    smooth = by_neighbours(one, here, there, main, _NEIGHBOURS)

    def judged(start: Floats) -> Judged:
        return weigher.judged(followed(one, other, start))

    for guess in each_in_turn(judged, [smooth, *flat], pause):
        weigher.take(guess)
    sure = _sure(one.nodes(), *_likeliest(weigher))
    if len(sure[0]) >= _LEAST_SURE:
        again = by_neighbours(one, *sure, main, _NEXT_NEIGHBOURS)
        weigher.add(followed(one, other, again))
    matches = (
        np.concatenate([alignment.here, one.to_full(sure[0])]),
        np.concatenate([alignment.there, other.to_full(sure[1])]),
    )
    sizes = (reference_size, alignment.size)
    found = deepened(reference, new, (one, other), matches, main, sizes, pause)
    if found is None:
        return weigher, smooth[::STEP_PX, ::STEP_PX]
    weigher.take_depths(found)
    exact = followed(one, other, found.where)
    weigher.add(Guess(found.where, exact.disagreement))
    weigher.add(exact)
    return weigher, found.where[::STEP_PX, ::STEP_PX]


def _likeliest(weigher: Weigher) -> tuple[Floats, Floats]:
    """Return where the likeliest guess takes each node, and how likely that is right."""
    clues = weigher.clues()
    chance = held_down(clues, chances.chance(clues))
    wheres = np.stack(weigher.wheres)
    if clues.shape[-1] == len(DEPTH_CLUES):
        chance = held_down(clues, chances.chance(surrounded(clues, chance, wheres)))
    best = chance.argmax(axis=0)
    where = np.take_along_axis(wheres, best[None, ..., None], axis=0)[0]
    return where, chance.max(axis=0)


def held_down(clues: Floats, chance: Floats) -> Floats:
    """Return the chances of guesses, small where a guess takes a node to what looks unlike it.

    Depth goes on behind a plain cover that hides the place, and all else may seem to fit.
    """
    is_unlike = clues[..., CLUES.index("coarse likeness")] < _LEAST_ALIKE
    return np.where(is_unlike, np.minimum(chance, _UNLIKE_CHANCE), chance)


def _sure(nodes: Floats, where: Floats, chance: Floats) -> tuple[Points, Points]:
    """Return the surest node of each block, where it is sure enough, as matches."""
    rows, cols = (side // _SURE_BLOCK * _SURE_BLOCK for side in chance.shape)
    blocks = chance[:rows, :cols].reshape(rows // _SURE_BLOCK, _SURE_BLOCK, -1, _SURE_BLOCK)
    flat = blocks.transpose(0, 2, 1, 3).reshape(*blocks.shape[::2], -1)
    surest = flat.argmax(axis=2)
    down = np.arange(flat.shape[0])[:, None] * _SURE_BLOCK + surest // _SURE_BLOCK
    across = np.arange(flat.shape[1])[None] * _SURE_BLOCK + surest % _SURE_BLOCK
    is_sure = flat.max(axis=2) >= _SURE
    picked = (down[is_sure], across[is_sure])
    return nodes[picked].astype(float), where[picked].astype(float)


def calmed(where: Floats, chance: Floats, fallback: Floats) -> Floats:
    """Return the places with those of little chance drawn towards the smooth fallback."""
    trust = np.clip((chance - 0.2) / 0.4, 0, 1)[..., None]
    drawn: Floats = (fallback + trust * (where - fallback)).astype(np.float32)
    return drawn


def _looked_up(table: Floats, nodes: Points) -> Points:
    """Return (N, channels) of a (rows, cols[, channels]) table between its nodes.

    OpenCV rounds places to a thirty-second of a node, which is too coarse on large photos.
    """
    rows, cols = table.shape[:2]
    flat = table.reshape(rows, cols, -1).astype(np.float64)
    inside = np.clip(nodes, 0, (cols - 1, rows - 1))
    first = np.minimum(inside.astype(np.int64), (max(cols - 2, 0), max(rows - 2, 0)))
    (x, y), (right, down) = first.T, (inside - first).T[..., None]
    next_x, next_y = np.minimum(x + 1, cols - 1), np.minimum(y + 1, rows - 1)
    above = flat[y, x] * (1 - right) + flat[y, next_x] * right
    below = flat[next_y, x] * (1 - right) + flat[next_y, next_x] * right
    between: Points = above * (1 - down) + below * down
    return between


def _state(is_inside: bool, chance: float) -> PlaceState:
    if not is_inside:
        return PlaceState.OUTSIDE
    if chance >= chances.CARRIED:
        return PlaceState.CARRIED
    return PlaceState.UNCERTAIN if chance >= chances.UNCERTAIN else PlaceState.HIDDEN
