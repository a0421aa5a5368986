"""Where does a photo lie in a picture where depth moves things? The matches around a place tell.

One plane through all matches holds for one surface only: what lies deeper is many pixels off it.
Right matches of any surface move like those around them; wrong ones hardly ever do, and those of a
like part do so on that part only. So these tell more surely than those of one surface whether both
show the same, and where every pixel lies.
"""

import cv2
import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.matching.moving import Points, lengths, moved, through

Plane = NDArray[np.float64]
Maps = tuple[NDArray[np.float32], NDArray[np.float32]]

_UNIT = 1000.0  # both are compared at this length of the longer side
_NEIGHBOURS = 10
_LEAST = 15
_STRAY = 6.0  # px at 1000, from where the neighbours put it
_STEP_PX = 8
_LEAST_BENDING = 8
_FARTHEST = 0.4  # of the longer side: what the plane puts farther off is no match


def like_neighbours(here: Points, there: Points, size: tuple[int, int]) -> NDArray[np.bool_]:
    """Return which matches move as those around them do; none where there are few.

    Args:
        here: (K, 2) places in a photo that is drawn as the picture shows it.
        there: (K, 2) the same in the picture.
        size: Width and height of both.
    """
    if len(here) < _LEAST:
        return np.zeros(len(here), np.bool_)
    one, other = here * (_UNIT / max(size)), there * (_UNIT / max(size))
    expected, _, _ = moved(one, one, other, np.eye(3), neighbours=_NEIGHBOURS, is_own=True)
    return np.asarray(lengths(expected - other) < _STRAY)


def bent(shape: tuple[int, int], plane: Plane, here: Points, there: Points) -> Maps:
    """Return where each pixel of a picture lies in a photo: x and y, (rows, cols) each.

    Args:
        shape: Rows and columns of the picture.
        plane: (3, 3) from px of the photo to px of the picture, as far as one will do.
        here: (K, 2) matches in the photo that move like their neighbours.
        there: (K, 2) the same in the picture.
    """
    rows, cols = shape
    x, y = (each.astype(np.float32) for each in np.meshgrid(np.arange(cols), np.arange(rows)))
    if len(here):
        on_plane = through(plane, here)
        is_near = lengths(on_plane - there) < _FARTHEST * max(shape)
        here, there = on_plane[is_near], there[is_near]
    if len(here) >= _LEAST_BENDING:
        nodes = np.stack(np.meshgrid(_nodes(cols), _nodes(rows)), axis=-1)
        places = nodes.reshape(-1, 2)
        to, _, _ = moved(places, there, here, np.eye(3))
        away = (to - places).reshape(nodes.shape).astype(np.float32)
        grow = np.array([[_STEP_PX, 0, 0], [0, _STEP_PX, 0]], float)
        wide = cv2.warpAffine(away, grow, (cols, rows), borderMode=cv2.BORDER_REPLICATE)
        x, y = x + wide[..., 0], y + wide[..., 1]
    places = np.stack([x.ravel(), y.ravel()], axis=1).astype(float)
    photo = through(np.asarray(np.linalg.inv(plane), np.float64), places).astype(np.float32)
    return photo[:, 0].reshape(shape), photo[:, 1].reshape(shape)


def _nodes(length: int) -> NDArray[np.float64]:
    return np.arange(0.0, length + _STEP_PX, _STEP_PX)
