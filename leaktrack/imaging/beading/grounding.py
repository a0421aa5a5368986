"""On which surface does a path lie, and how long is a mm there?"""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter1d

from leaktrack.imaging.beading.pacing import plane_of_steps
from leaktrack.imaging.beading.straightening import strip_of, track_of
from leaktrack.imaging.measuring.projecting import Camera, Floats, through
from leaktrack.imaging.measuring.scaling import Scale, ScaleState, matrix

_SAME_SCALE = 0.06
"""By how much a target and told places may disagree about lengths; own judgement."""

_LARGEST_MISFIT = 0.15
"""By how much steps of a path may differ from those told, as a share of them; own judgement."""

_TRIED_REACHES = (0.012, 0.024, 0.048, 0.096)  # of the photo's diagonal
_USUAL_WIDTH = 0.012
_STANDS_OUT = 0.6  # of the greatest difference that any reach shows; own judgement
_BELIEVED = (0.12, 0.9)  # a width found within a reach, as a share of it


@dataclass(frozen=True)
class Ground:
    """The surface that a path lies on.

    Attributes:
        to_surface: (3, 3), the projective map from px to the surface.
        unit: Of the surface: "mm", or "px" without a scale.
        source: "target", "path", "photo" or "none".
        path_px: (N, 2), the path, in the order in which ``along`` rises.
        along: (N,), mm along the path, where it was told; else None.
        is_reversed: Whether the path was turned round, because the told places fell.
        warnings: What to mind, in sentences.
    """

    to_surface: Floats
    unit: str
    source: str
    path_px: Floats
    along: Floats | None
    is_reversed: bool
    warnings: tuple[str, ...]


def ground_of(
    path_px: Floats,
    along: Floats | None,
    scale: Scale | None,
    camera: Camera,
    mm_per_px: float | None = None,
) -> Ground:
    """Return the surface that a path lies on.

    Args:
        path_px: (N, 2), at least two points, no two alike next to one another.
        along: (N,), mm along the path, rising or falling; None: not told.
        scale: Of a target on the same surface; None: there is none.
        camera: The photo's camera.
        mm_per_px: What is known of the photo's scale otherwise; counts where nothing else does.
    """
    is_reversed = along is not None and bool(along[-1] < along[0])
    if along is not None and is_reversed:
        path_px, along = path_px[::-1], along[::-1]
    target, warnings = _by_target(scale)
    if along is not None:
        if target is not None:
            laid = through(target, path_px)
            seen = float(np.linalg.norm(np.diff(laid, axis=0), axis=1).sum())
            told = float(along[-1] - along[0])
            if abs(told / seen - 1) < _SAME_SCALE:
                # The target tells how the surface leans, the longer path its scale.
                flat = np.diag([told / seen, told / seen, 1.0]) @ target
                return Ground(flat, "mm", "target", path_px, along, is_reversed, warnings)
            warnings += (_disagreeing(seen, told),)
        paced = plane_of_steps(path_px, along, camera)
        if paced.misfit > _LARGEST_MISFIT:
            warnings += (
                "The places along the path do not fit a flat surface: widths may be wrong. Look "
                "at the points and their places.",
            )
        return Ground(paced.to_mm, "mm", "path", path_px, along, is_reversed, warnings)
    if target is not None:
        return Ground(target, "mm", "target", path_px, None, is_reversed, warnings)
    if mm_per_px is not None:
        flat = np.diag([mm_per_px, mm_per_px, 1.0])
        return Ground(flat, "mm", "photo", path_px, None, is_reversed, warnings)
    return Ground(np.eye(3), "px", "none", path_px, None, is_reversed, warnings)


def _by_target(scale: Scale | None) -> tuple[Floats | None, tuple[str, ...]]:
    if scale is None:
        return None, ()
    if scale.state is ScaleState.MEASURED and scale.to_mm is not None:
        return matrix(scale.to_mm), ()
    return None, ("The printed target is too small or seen too steeply to measure by.",)


def _disagreeing(seen_mm: float, told_mm: float) -> str:
    return (
        f"By the printed target the path is {seen_mm:.0f} mm long, by its own places "
        f"{told_mm:.0f} mm. Its own places were taken: does the target lie on the flange, and is "
        "its side right?"
    )


def guessed_width(rgb: NDArray[np.uint8], path_px: Floats) -> float:
    """Return about how wide the bead on a path is, in px; for photos without a scale.

    Args:
        rgb: (rows, cols, 3), the upright photo.
        path_px: (N, 2), the path.
    """
    diagonal = float(np.hypot(*rgb.shape[:2]))
    likely = []
    for share in _TRIED_REACHES:
        reach = share * diagonal
        width, contrast = _width_within(rgb, path_px, reach)
        if _BELIEVED[0] * reach < width < _BELIEVED[1] * reach:
            likely.append((width, contrast))
    most = max((contrast for _, contrast in likely), default=0.0)
    # The narrowest that stands out: not the bright line along a bead, nor the flange as a whole.
    return next(
        (width for width, contrast in likely if contrast >= _STANDS_OUT * most),
        _USUAL_WIDTH * diagonal,
    )


def _width_within(rgb: NDArray[np.uint8], path_px: Floats, reach: float) -> tuple[float, float]:
    """Return how wide what differs from both sides is, and how much it typically differs.

    The width is that at half of how much it differs.
    """
    step = reach / 40
    strip = strip_of(rgb, track_of(path_px, None, np.eye(3), step, 0.2 * reach), reach)
    lab = cv2.cvtColor(np.ascontiguousarray(strip.rgb / 255.0), cv2.COLOR_RGB2LAB)
    lab = gaussian_filter1d(lab, 10, axis=1)
    rows = len(strip.offsets)
    side = rows // 8
    beside = (lab[:side].mean(axis=0) + lab[-side:].mean(axis=0)) / 2
    apart = np.linalg.norm(lab - beside, axis=2)
    # From the outside in: a highlight in the middle may look like the flange again.
    is_bead = apart > 0.5 * apart.max(axis=0)
    first, last = is_bead.argmax(axis=0), rows - is_bead[::-1].argmax(axis=0)
    middle = apart[rows // 2 - rows // 10 : rows // 2 + rows // 10]
    return float(np.median(last - first)) * step, float(np.median(middle))
