"""Carry an outline as one shape: a corner that goes elsewhere than its neighbours is outvoted."""

from typing import TYPE_CHECKING

from leaktrack.model.place import PlaceState
from leaktrack.model.shapes import Outline, PointPx
from leaktrack.workflows.align_photos import CarriedPoint

if TYPE_CHECKING:
    from leaktrack.imaging.matching.overlaying import Placing


def carried_outline(placing: "Placing", outline: Outline) -> tuple[CarriedPoint, ...]:
    """Return where the corners of an outline lie in another photo, in the same order."""
    import numpy as np

    from leaktrack.imaging.carrying.shaping import carried_shape
    from leaktrack.imaging.matching.aligning import AlignmentState

    if placing.state is AlignmentState.FAILED or not outline:
        return (CarriedPoint(PlaceState.UNKNOWN),) * len(outline)
    corners = np.array([(corner.x, corner.y) for corner in outline], float)
    carried = carried_shape(placing, corners, is_closed=True)
    return tuple(
        CarriedPoint(state, PointPx(float(x), float(y)), float(sigma))
        if np.isfinite(x)
        else CarriedPoint(state)
        for (x, y), sigma, state in zip(carried.xy, carried.sigma_px, carried.states, strict=True)
    )
