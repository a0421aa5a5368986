"""Measure the bead of sealant in a photo file, along a drawn path; nothing is recorded."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING
from uuid import UUID

from leaktrack.imaging.reading import focal_35mm, read_upright, told_size
from leaktrack.model.bead_audit import BeadAudit
from leaktrack.model.errors import BadInput
from leaktrack.model.identity import new_id
from leaktrack.model.shapes import PointPx
from leaktrack.workflows.check_input import LIMITS
from leaktrack.workflows.measure_scale import USUAL_SIDE_MM, check_length
from leaktrack.workflows.project import Progress, silent

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from leaktrack.imaging.beading.faulting import Limits
    from leaktrack.imaging.measuring.projecting import Floats

USUAL_BEAD_MM = 3.0
"""Where nobody says how wide the bead was to be, it is looked for about so wide."""

TOLERANCE_MM = 0.5
TOLERANCE_SHARE = 0.25
USUAL_TOLERANCE = (
    "usual: a quarter of the width, 0.5 mm at least; a car maker asks for 2.0 ± 0.5 mm"
)
"""Source: a car maker's repair manual of 2018 for a timing case: beads of 2.0 ± 0.5 mm and
1.75 ± 0.5 mm. No other published limit was found; workshops use 20 to 25 % of the width."""

FARTHEST = 1.5
"""Widths that a bead's middle may lie off its path, unless said otherwise; own judgement."""

_STEPS = 4


@dataclass(frozen=True, slots=True)
class PathPoint:
    """A point of a bead's path in a photo; ``along_mm`` where it is known."""

    at: PointPx
    along_mm: float | None = None


@dataclass(frozen=True, slots=True)
class Tolerance:
    """Which widths are allowed, and who says so.

    Attributes:
        nominal_mm: The width that was asked for; None where nobody said.
        narrowest_mm: None: by the usual tolerance.
        widest_mm: None: by the usual tolerance.
        source: Where the limits come from.
    """

    nominal_mm: float | None = None
    narrowest_mm: float | None = None
    widest_mm: float | None = None
    source: str = USUAL_TOLERANCE


@dataclass(frozen=True, slots=True)
class FileAudit:
    """The audit of a bead in a photo file.

    Attributes:
        audit: What was measured.
        scale_source: "target", "path", "photo" or "none".
        width: What the bead typically is, in the audit's unit; None where none was found.
        warnings: What to mind, in sentences.
    """

    audit: BeadAudit
    scale_source: str
    width: float | None
    warnings: tuple[str, ...]


def audit_bead_in_file(
    path: Path,
    points: Sequence[PathPoint],
    tolerance: Tolerance | None = None,
    target_side_mm: float = USUAL_SIDE_MM,
    progress: Progress = silent,
    *,
    mm_per_px: float | None = None,
    is_followed: bool = False,
    sealing_job_id: UUID | None = None,
    photo_id: UUID | None = None,
) -> FileAudit:
    """Return what a photo file shows of the bead along a path.

    The scale comes from a printed target that lies on the flange, from points of the path whose
    place along it is known, or from both; else from what was measured or typed for the photo, and
    without anything, figures are in px.

    Args:
        path: The photo.
        points: The path, in order, in px of the upright photo; at least two places.
        tolerance: Which widths are allowed; None: the usual ones about what the bead typically is.
        target_side_mm: Printed side of the target's black square.
        progress: Called between the steps; may raise Cancelled to stop.
        mm_per_px: What is known of the photo's scale otherwise.
        is_followed: The points are only a few clicks on the bead; it is followed between them.
        sealing_job_id: Of the job, where there is one.
        photo_id: Of the photo, where it is part of a project.

    Raises:
        BadInput: The path or a width cannot be.
        Cancelled: Stopped by ``progress``.
        UnreadablePhoto: The file is missing or damaged.
    """
    # OpenCV and SciPy take a while to load, and the window imports this before it stands.
    from leaktrack.imaging.beading.auditing import audited
    from leaktrack.imaging.beading.grounding import ground_of, guessed_width
    from leaktrack.imaging.measuring.calibrating import scale_at_target
    from leaktrack.imaging.measuring.projecting import camera_of
    from leaktrack.imaging.measuring.targeting import square_target

    tolerance = tolerance or Tolerance()
    _check_width(tolerance.nominal_mm)
    progress(0, _STEPS, "scale")
    path_px, along = _arrays(points)
    check_length(target_side_mm, "A target", "Measure the black square and give its side.")
    rgb = read_upright(path)
    camera = camera_of((rgb.shape[1], rgb.shape[0]), focal_35mm(path), told_size(path))
    target = square_target(rgb, target_side_mm)
    scale = scale_at_target(target, camera, is_same_plane=True) if target else None
    progress(1, _STEPS, "path")
    if is_followed:
        path_px = _followed(rgb, path_px, along)
    ground = ground_of(path_px, along, scale, camera, mm_per_px)
    in_mm = ground.unit == "mm"
    asked = tolerance if in_mm else Tolerance()
    usual = USUAL_BEAD_MM if in_mm else guessed_width(rgb, ground.path_px)

    def tell(done: int, total: int) -> None:
        progress(2 + (_STEPS - 2) * done // total, _STEPS, "edges")

    found = audited(
        rgb,
        ground.path_px,
        ground.along,
        ground.to_surface,
        asked.nominal_mm or usual,
        lambda typical: limits_of(asked, typical),
        tell,
    )
    typical = asked.nominal_mm or found.width
    limits = limits_of(asked, typical) if typical else None
    audit = BeadAudit(
        sealing_job_id=sealing_job_id or new_id(),
        photo_id=photo_id or new_id(),
        made_at=datetime.now(UTC),
        verdict=found.verdict,
        unit=ground.unit,
        nominal=asked.nominal_mm,
        narrowest=limits.narrowest if limits else None,
        widest=limits.widest if limits else None,
        tolerance_source=asked.source if limits else "",
        mm_per_px=found.unit_per_px if in_mm else None,
        points=found.points,
        defects=found.defects,
        unread=found.unread,
    )
    warnings = list(ground.warnings)
    if not in_mm:
        warnings.append(
            "The photo has no scale, so all figures are in px: lay a printed target on the "
            "flange, or say how far along the path its points lie (s_mm)."
        )
    return FileAudit(audit, ground.source, found.width, tuple(warnings))


def _followed(rgb: "NDArray[np.uint8]", clicks: "Floats", along: "Floats | None") -> "Floats":
    """Return the path along a bead between clicks on it.

    Raises:
        BadInput: A click lies outside the photo, or says how far along it lies.
    """
    from leaktrack.imaging.beading.pathfinding import followed

    if along is not None:
        raise BadInput(
            "A bead that is followed finds its own length: leave out how far along the points lie "
            "(s_mm), or give the whole path and do not follow."
        )
    height, width = rgb.shape[:2]
    x, y = clicks.T
    if not ((x >= 0) & (x < width) & (y >= 0) & (y < height)).all():
        raise BadInput("A bead can only be followed inside the photo. Click on the bead itself.")
    return followed(rgb, clicks)


def limits_of(tolerance: Tolerance, typical: float) -> "Limits":
    """Return which widths and offsets are allowed.

    Args:
        tolerance: What was asked for.
        typical: Width of the bead; counts where nobody said which one was asked for.
    """
    from leaktrack.imaging.beading.faulting import Limits

    nominal = tolerance.nominal_mm or typical
    # A bead in px has no mm to be given; a quarter of it is the greater part anyway.
    slack = max(TOLERANCE_SHARE * nominal, TOLERANCE_MM if tolerance.nominal_mm else 0.0)
    narrowest, widest = tolerance.narrowest_mm, tolerance.widest_mm
    return Limits(
        nominal - slack if narrowest is None else narrowest,
        nominal + slack if widest is None else widest,
        FARTHEST * nominal,
    )


def _arrays(points: Sequence[PathPoint]) -> "tuple[Floats, Floats | None]":
    """Return a path as (N, 2) px and, where every place along it is known, (N,) mm.

    Raises:
        BadInput: There are fewer than two places, or those along it go back and forth.
    """
    import numpy as np

    kept = [points[0]] if points else []
    for point in points[1:]:
        if point.at.distance_px(kept[-1].at) > 1e-6:  # a double click is one point
            kept.append(point)
    if len(kept) < 2:
        raise BadInput("A path needs at least two different points. Draw it along the bead.")
    path_px = np.array([(point.at.x, point.at.y) for point in kept], np.float64)
    told = [point.along_mm for point in kept if point.along_mm is not None]
    if not told:
        return path_px, None
    if len(told) < len(kept):
        raise BadInput(
            "Only some points of the path say how far along it they lie. Say it for all of them, "
            "or for none."
        )
    along = np.array(told, np.float64)
    steps = np.diff(along)
    if not ((steps > 0).all() or (steps < 0).all()):
        raise BadInput(
            "The places along the path (s_mm) neither rise nor fall from point to point. Put the "
            "points in the order in which they lie on the bead."
        )
    return path_px, along


def _check_width(width_mm: float | None) -> None:
    limits = LIMITS["bead_mm"]
    if width_mm is not None and not limits.lowest <= width_mm <= limits.highest:
        raise BadInput(
            f"A bead cannot be {width_mm:g} mm wide. Give its width in mm, between "
            f"{limits.lowest:g} and {limits.highest:g}."
        )
