"""What speaks for and against the places that two photos, the ties or all photos tell?

What ties say of the depth, what the two photos look like there, whether something else stands in
front, and what the two photos alone had said. ``trusting`` makes a chance of it.
"""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.carrying.flattening import STEP_PX, Floats, Picture, bent
from leaktrack.imaging.carrying.following import flown
from leaktrack.imaging.carrying.triangulating import Pose
from leaktrack.imaging.carrying.weighing import Likenesses, far
from leaktrack.imaging.matching.moving import lengths
from leaktrack.imaging.surveying.filling import Filled
from leaktrack.imaging.surveying.inverting import inverted
from leaktrack.imaging.surveying.surveying import Survey
from leaktrack.imaging.surveying.tinting import Tint
from leaktrack.imaging.surveying.tying import NEW

CLUES = (
    "fine likeness",
    "middling likeness",
    "coarse likeness",
    "disagreement",
    "off what the two photos say",
    "off what the two photos say, times their doubt",
    "likeness close by",
    "off what ties say",
    "off what the new photo says",
    "off what all photos say",
    "off what all photos say, times the lead",
    "moved by the picture",
    "comes back off",
    "something nearer around",
    "cost of the depth in the new photo",
    "brighter or darker",
    "of another colour",
    "votes",
    "ties against",
    "off the ties",
    "known around",
    "lead of the depth",
    "cost of the depth",
    "contrast",
    "doubt of the two photos",
)
"""Distances are told in px of pictures 720 px long, taken as log(1 + px)."""

CANDIDATES = ("the two photos alone", "ties", "the new photo", "all photos")
"""Who says where a node lies."""

_MOST_DOUBT = 0.04  # of the longest side
_TOLD = 2.0  # px, told at 1000, for one px of the pictures compared, about
_AROUND = 3.0  # nodes, one standard deviation


@dataclass(frozen=True, slots=True, eq=False)
class Candidates:
    """Places in the new photo that are said to be those of the nodes.

    Attributes:
        wheres: (candidates, rows, cols, 2) in px of the new picture; the last one has a place for
            every node, and changes smoothly where surfaces do.
        clues: (candidates, rows, cols, clues); see ``CLUES``.
        is_told: (candidates, rows, cols) whether there is such a place at all.
    """

    wheres: Floats
    clues: Floats
    is_told: NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False)
class Opposite:
    """What the depths of the new photo say, at all pixels of its picture.

    Attributes:
        back: (rows, cols, 2) where each lies in the reference picture.
        nearest: (rows, cols) the largest inverse depth around each.
        cost: (rows, cols) how unlikely its depth is by itself: great where no other photo shows it.
        px_per_nearness: How many px, told at 1000, places move for each unit of it.
    """

    back: Floats
    nearest: Floats
    cost: Floats
    px_per_nearness: float

    def in_front(self, places: Floats, nearness: Floats) -> Floats:
        """Return how much nearer something around (rows, cols, 2) places is, as distances are."""
        nearer = np.maximum(bent(self.nearest, places) - nearness, 0)
        return far(nearer * self.px_per_nearness / _TOLD)


def candidates(
    reference: Picture,
    new: Picture,
    direct: tuple[Floats, Floats],
    survey: Survey,
    filled: Filled,
    opposite: Opposite,
    tint: Tint,
) -> Candidates:
    """Return what the two photos say alone, what ties say, and what all photos say, both ways.

    Args:
        reference: The reference photo.
        new: The new photo.
        direct: (rows, cols, 2) where the two photos alone take the nodes, in px of the new picture,
            and (rows, cols) the doubt of that as a share of the longest side.
        survey: What is known by ties.
        filled: A depth for every place.
        opposite: What the new photo says.
        tint: The colours of both.
    """
    own_where, own_doubt = direct
    pose, depths = survey.poses[NEW], survey.depths
    shape, size = own_where.shape[:2], reference.flat.shape
    is_known = np.isfinite(depths.nearness).reshape(shape)
    by_ties = _told_by_depth(reference, new, pose, depths.nearness, own_where)
    by_all = filled.where(pose, reference, new)
    from_new, is_told = inverted(opposite.back, opposite.nearest, reference)
    from_new = np.where(is_told[..., None], from_new, own_where)
    nodes = np.s_[::STEP_PX, ::STEP_PX]
    at_all = by_all[nodes]
    near_there = _near_there(reference, pose, filled)
    likenesses = Likenesses(reference)
    lead = far(filled.at_nodes(filled.depths.lead))
    doubt = np.log1p(1000 * np.minimum(own_doubt, _MOST_DOUBT)).astype(np.float32)
    common = [
        *(each.reshape(shape) for each in (depths.votes, depths.against, np.log1p(depths.off_px))),
        _blurred(is_known.astype(np.float32)),
        lead,
        filled.at_nodes(filled.depths.cost),
        likenesses.contrast,
        doubt,
    ]
    wheres = [*(_at_pixels(each, size) for each in (own_where, by_ties, from_new)), by_all]
    clues = []
    for where in wheres:
        followed, disagreement = flown(reference, new, where)
        at = where[nodes]
        off, off_all = far(lengths(at - own_where)), far(lengths(at - at_all))
        alike = likenesses.of(new, where)
        own = [
            *alike,
            far(disagreement[nodes]),
            off,
            off * doubt,
            _blurred(alike[0]),
            far(lengths(at - by_ties)),
            far(lengths(at - from_new)),
            off_all,
            off_all * lead,
            far(lengths(followed - where)[nodes]),
            far(lengths(bent(opposite.back, at) - reference.nodes())),
            opposite.in_front(at, near_there),
            bent(opposite.cost, at),
            *tint.changed(at, alike[-1]),
        ]
        clues.append(np.stack([each.astype(np.float32) for each in (*own, *common)], axis=2))
    return Candidates(
        np.stack([each[nodes] for each in wheres]),
        np.stack(clues),
        np.stack([np.ones(shape, bool), is_known, is_told, np.ones(shape, bool)]),
    )


def _told_by_depth(
    reference: Picture, new: Picture, pose: Pose, nearness: NDArray[np.float64], otherwise: Floats
) -> Floats:
    """Return (rows, cols, 2) where depth takes the nodes; ``otherwise`` where none is known."""
    known = np.isfinite(nearness)
    places = reference.to_full(reference.nodes().reshape(-1, 2).astype(float))
    told = otherwise.reshape(-1, 2).copy()
    seen = pose.seen_there(pose.rays(places[known]), nearness[known])
    told[known] = np.clip(new.to_picture(seen), -1e4, 1e4)
    where: Floats = told.reshape(otherwise.shape)
    return where


def _near_there(reference: Picture, pose: Pose, filled: Filled) -> Floats:
    """Return (rows, cols) the inverse depths of the nodes as the new photo's camera has them."""
    near = filled.nearness(pose)
    rays = pose.rays(reference.to_full(reference.nodes().reshape(-1, 2).astype(float)))
    there: Floats = pose.nearness_there(rays, near.ravel()).astype(np.float32)
    return there.reshape(near.shape)


def _at_pixels(at_every_node: Floats, shape: tuple[int, ...]) -> Floats:
    """Return (rows, cols, 2) at all pixels of a picture what is known at its nodes."""
    rows, cols = shape[:2]
    y, x = np.mgrid[0:rows, 0:cols].astype(np.float32) / STEP_PX
    spread = cv2.remap(
        np.ascontiguousarray(at_every_node, np.float32),
        x,
        y,
        cv2.INTER_LINEAR,
        borderMode=cv2.BORDER_REPLICATE,
    )
    return np.asarray(spread, np.float32)


def _blurred(values: Floats) -> Floats:
    return np.asarray(cv2.GaussianBlur(np.ascontiguousarray(values), (0, 0), _AROUND), np.float32)
