"""Follow places between two photos laid over each other, quickly and both ways.

For looking only: a place that is not sure is followed to where it most likely lies.
"""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from leaktrack.model.shapes import PointPx

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from leaktrack.imaging.matching.overlaying import Placing

_NODES = 80
"""Along the longest side; between them places are interpolated."""

_REFINEMENTS = 8


@dataclass(frozen=True, slots=True, eq=False)
class PlaceMesh:
    """Where the places of one photo lie in another one.

    Attributes:
        step_px: Distance of the nodes, in px of the one photo; the first is at (0, 0).
        where: (rows, cols, 2) where each node lies, in px of the other photo.
        is_known: (rows, cols) whether that is known, if not surely: not hidden, not outside.
    """

    step_px: float
    where: "NDArray[np.float64]"
    is_known: "NDArray[np.bool_]"

    def there(self, at: PointPx) -> PointPx:
        """Return where a place of the one photo lies in the other."""
        x, y = self._at(at.x / self.step_px, at.y / self.step_px)
        return PointPx(float(x), float(y))

    def back(self, at: PointPx) -> PointPx:
        """Return the place of the one photo that lies at a place of the other."""
        import numpy as np

        wanted = np.array([at.x, at.y])
        away = np.linalg.norm(self.where - wanted, axis=2)
        row, col = np.unravel_index(int(away.argmin()), away.shape)
        u, v = float(col), float(row)
        for _ in range(_REFINEMENTS):  # Newton's way to where the mesh has the wanted place
            miss = wanted - self._at(u, v)
            step, *_ = np.linalg.lstsq(self._slopes(u, v), miss, rcond=None)
            u, v = u + float(np.clip(step[0], -1, 1)), v + float(np.clip(step[1], -1, 1))
            u, v = self._inside(u, v)
        return PointPx(u * self.step_px, v * self.step_px)

    def magnification(self, at: PointPx) -> float:
        """Return how many px of the other photo one px of the one photo is, around a place."""
        import numpy as np

        slopes = self._slopes(at.x / self.step_px, at.y / self.step_px, reach=3.0)
        return max(1e-3, float(np.sqrt(abs(np.linalg.det(slopes)))) / self.step_px)

    def _slopes(self, u: float, v: float, reach: float = 0.5) -> "NDArray[np.float64]":
        import numpy as np

        columns = []
        for along_u, along_v in ((reach, 0.0), (0.0, reach)):
            (u0, v0), (u1, v1) = (
                self._inside(u - along_u, v - along_v),
                self._inside(u + along_u, v + along_v),
            )
            span = max(1e-9, (u1 - u0) + (v1 - v0))
            columns.append((self._at(u1, v1) - self._at(u0, v0)) / span)
        return np.stack(columns, axis=1)

    def _at(self, u: float, v: float) -> "NDArray[np.float64]":
        u, v = self._inside(u, v)
        rows, cols = self.where.shape[:2]
        col, row = min(int(u), cols - 2), min(int(v), rows - 2)
        right, below = u - col, v - row
        upper = (1 - right) * self.where[row, col] + right * self.where[row, col + 1]
        lower = (1 - right) * self.where[row + 1, col] + right * self.where[row + 1, col + 1]
        mixed: NDArray[np.float64] = (1 - below) * upper + below * lower
        return mixed

    def _inside(self, u: float, v: float) -> tuple[float, float]:
        rows, cols = self.where.shape[:2]
        return min(max(u, 0.0), cols - 1.0), min(max(v, 0.0), rows - 1.0)


def mesh_of(placing: "Placing", width_px: int, height_px: int) -> PlaceMesh:
    """Return a mesh over a photo, from what tells where its places lie in another one.

    Args:
        placing: Where places of the photo lie in the other one.
        width_px: Of the full photo.
        height_px: Of the full photo.
    """
    import numpy as np

    longest = max(width_px, height_px)
    step = longest / _NODES
    across, down = (int(np.ceil(side / step)) + 1 for side in (width_px, height_px))
    x, y = np.meshgrid(np.arange(across) * step, np.arange(down) * step)
    last = np.array([width_px - 1.0, height_px - 1.0])
    nodes = np.minimum(np.stack([x.ravel(), y.ravel()], axis=1), last)
    carried = placing.carry(nodes)
    is_known = np.isfinite(carried.xy[:, 0])
    where = placing.places(nodes)
    return PlaceMesh(step, where.reshape(down, across, 2), is_known.reshape(down, across))
