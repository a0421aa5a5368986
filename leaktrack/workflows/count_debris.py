"""Count and measure the particles in a photo of a strainer or filter paper."""

from pathlib import Path
from typing import TYPE_CHECKING

from leaktrack.model.debris import DebrisCount, Particle
from leaktrack.model.errors import BadInput
from leaktrack.model.shapes import PointPx
from leaktrack.workflows.measure_scale import USUAL_SIDE_MM, scale_in
from leaktrack.workflows.project import Progress, silent

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from leaktrack.imaging.debris.finding import Blob
    from leaktrack.imaging.measuring.scaling import Scale

_STEPS = 3

_NO_PAPER = (
    "What %s shows is as uneven as bare metal, not like paper or cloth, so this count may be of "
    "anything but debris. Spread the debris on matt white paper and take another photo."
)


def count_debris(
    photo: Path, target_mm: float = USUAL_SIDE_MM, progress: Progress = silent
) -> DebrisCount:
    """Return the particles on the paper that a photo shows.

    Args:
        photo: The photo: matt white paper or cloth, even light, a printed target flat on it.
        target_mm: Printed side of the target's black square.
        progress: Called between the steps; may raise Cancelled to stop.

    Raises:
        BadInput: No paper is found, or the target's side cannot be.
        Cancelled: Stopped by ``progress``.
        UnreadablePhoto: The file is missing or damaged.
    """
    from leaktrack.imaging.debris.finding import LEAST_PX, blobs_on
    from leaktrack.imaging.debris.papering import UNEVEN, paper_in, unevenness
    from leaktrack.imaging.reading import read_upright

    progress(0, _STEPS, "scale")
    scale = scale_in(photo, target_mm, is_same_plane=True)
    progress(1, _STEPS, "paper")
    paper = paper_in(read_upright(photo), scale.corners_px if scale else ())
    if paper is None or not paper.inside.any():
        raise BadInput(
            f"No light paper is found in {photo.name}, so nothing was counted. Spread the debris "
            "on matt white paper, let it fill the picture, and take another photo."
        )
    is_doubtful = unevenness(paper) > UNEVEN
    progress(2, _STEPS, "particles")
    usable = scale if scale is not None and scale.to_mm is not None else None
    particles = [_particle(blob, usable) for blob in blobs_on(paper)]
    mm_per_px = usable.mm_per_px if usable else None
    progress(_STEPS, _STEPS, "")
    return DebrisCount(
        particles=tuple(sorted(particles, key=lambda one: -one.length)),
        unit="px" if mm_per_px is None else "mm",
        mm_per_px=mm_per_px,
        least=LEAST_PX * (mm_per_px or 1.0),
        warnings=(
            *([_NO_PAPER % photo.name] if is_doubtful else ()),
            *_warnings(scale, usable, photo),
        ),
        is_paper_doubtful=is_doubtful,
    )


def _particle(blob: "Blob", scale: "Scale | None") -> Particle:
    from leaktrack.imaging.debris.gauging import area_inside, calipers
    from leaktrack.imaging.debris.sorting import kind_of

    measured = blob.edge if scale is None else _in_mm(blob.edge, scale)
    (length, width), area = calipers(measured), area_inside(measured)
    middle = blob.edge.mean(axis=0)
    look = blob.lab.mean(axis=0)
    return Particle(
        at=PointPx(float(middle[0]), float(middle[1])),
        outline=tuple(PointPx(float(x), float(y)) for x, y in blob.edge),
        length=length,
        width=width,
        area=area,
        kind=kind_of(blob, length, width, area),
        lightness=float(look[0]),
        colour=(float(look[1] - blob.paper[1]), float(look[2] - blob.paper[2])),
    )


def _in_mm(edge: "NDArray[np.float64]", scale: "Scale") -> "NDArray[np.float64]":
    from leaktrack.imaging.measuring.projecting import through
    from leaktrack.imaging.measuring.scaling import matrix

    assert scale.to_mm is not None
    return through(matrix(scale.to_mm), edge)


def _warnings(scale: "Scale | None", usable: "Scale | None", photo: Path) -> list[str]:
    if usable is not None:
        return []
    if scale is None:
        return [
            f"{photo.name} shows no printed target, so sizes are in pixels. Lay one flat on the "
            "paper and take another photo."
        ]
    return ["The target is too small or seen too much askew to measure by; sizes are in pixels."]
