"""Turn round where a new photo's places lie in a reference photo: where do the nodes lie then?

The new photo's own depths see what the reference photo's do not: patches are cut along its edges,
and where it was taken from nearer, it shows more.
"""

import cv2
import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.carrying.flattening import STEP_PX, Floats, Picture

_REACH_PX = 2.0  # a node that no place lands nearer to is hidden, or its depth is wrong
_LEAST_GROWTH = 0.1  # of an area: where less is left, a surface is seen from its edge
_MOST_MOVED_PX = 3.0


def inverted(back: Floats, nearest: Floats, reference: Picture) -> tuple[Floats, NDArray[np.bool_]]:
    """Return (rows, cols, 2) where the nodes lie in the new picture, and whether that is told.

    Args:
        back: (rows, cols, 2) where every pixel of the new picture lies in the reference picture.
        nearest: (rows, cols) their inverse depths: what is nearer hides what is behind it.
        reference: The picture that has the nodes.
    """
    owner = _owners(back, nearest, reference.flat.shape)
    is_hit = owner >= 0
    if not is_hit.any():
        shape = reference.nodes().shape
        return np.zeros(shape, np.float32), np.zeros(shape[:2], bool)
    distance, label = cv2.distanceTransformWithLabels(
        (~is_hit).astype(np.uint8), cv2.DIST_L2, 5, labelType=cv2.DIST_LABEL_PIXEL
    )
    owner_of = np.zeros(int(label.max()) + 1, np.int64)
    owner_of[label[is_hit]] = owner[is_hit]
    nodes = np.s_[::STEP_PX, ::STEP_PX]
    landed = owner_of[label[nodes]]
    y, x = np.divmod(landed, back.shape[1])
    moved = _moved(reference.nodes() - back[y, x], back, y, x)
    where = np.stack([x, y], axis=2) + moved
    return where.astype(np.float32), distance[nodes] <= _REACH_PX


def _owners(back: Floats, nearest: Floats, shape: tuple[int, ...]) -> NDArray[np.int64]:
    """Return (rows, cols): which pixel of the new picture lands on each of the reference; or -1."""
    rows, cols = shape
    col, row = np.rint(np.clip(back, -1e4, 1e4)).astype(np.int64).reshape(-1, 2).T
    inside = np.flatnonzero((row >= 0) & (row < rows) & (col >= 0) & (col < cols))
    # The last one written stays: the nearest.
    inside = inside[np.argsort(nearest.ravel()[inside], kind="stable")]
    owner = np.full(rows * cols, -1, np.int64)
    owner[row[inside] * cols + col[inside]] = inside
    return owner.reshape(rows, cols)


def _moved(
    off: Floats, back: Floats, row: NDArray[np.int64], col: NDArray[np.int64]
) -> NDArray[np.float64]:
    """Return how far to move in the new picture so that places move by ``off`` in the reference."""
    across, down = (
        cv2.Sobel(back, cv2.CV_32F, *order, ksize=3, scale=1 / 8)[row, col]
        for order in ((1, 0), (0, 1))
    )
    growth = across[..., 0] * down[..., 1] - across[..., 1] * down[..., 0]
    by_x = off[..., 0] * down[..., 1] - off[..., 1] * down[..., 0]
    by_y = across[..., 0] * off[..., 1] - across[..., 1] * off[..., 0]
    moved = np.stack([by_x, by_y], axis=2) / np.maximum(growth, _LEAST_GROWTH)[..., None]
    is_near = (growth > _LEAST_GROWTH) & (np.abs(moved).max(axis=2) < _MOST_MOVED_PX)
    return np.where(is_near[..., None], moved, 0.0)
