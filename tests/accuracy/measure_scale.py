"""How well areas are measured in mm2 by the printed target.

The outlines are the true ones, so only the scale is to blame. First by the target in the photo
itself, then by the target of another photo of the zone, carried over. Goal: two thirds of the true
areas within one sigma, 95 % within two; corners within 0.3 px.
"""

import tempfile
from collections.abc import Iterator, Sequence
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.carrying.transferring import carried_scale
from leaktrack.imaging.matching.learned_matching import LearnedMatcher
from leaktrack.imaging.measuring.projecting import camera_of
from leaktrack.imaging.measuring.scaling import Scale, ScaleState, area_mm2
from leaktrack.imaging.measuring.targeting import squares_seen
from leaktrack.imaging.reading import focal_35mm
from leaktrack.model.shapes import Outline, PointPx
from leaktrack.places import resource
from leaktrack.workflows.align_files import readable_file
from leaktrack.workflows.align_photos import placing_of
from leaktrack.workflows.measure_scale import scale_in
from tests.accuracy.truth import TruePhoto, TrueZone

_LEAST_AREA_PX2 = 300
_FINER = 4  # an outline round square pixels is taken from an enlarged mask

Errors = list[tuple[float, float]]
"""Area error and sigma, each as a share of the true area."""


def report(zones: Sequence[TrueZone], every: int) -> None:
    """Print corners and areas of every photo with a target, then the areas by carried scales."""
    own: Errors = []
    corners: list[tuple[float, float]] = []
    print("photo                       corners: found  fitted px  tilt  areas: error +- sigma")
    for photo in [photo for zone in zones for photo in zone.photos][::every]:
        target = photo.facts["scale_target"]
        if not target:
            continue
        scale = scale_in(photo.path, target["side_mm"])
        if scale is None:
            print(f"{photo.name:26}  target not found")
            continue
        off = _corner_errors(photo, scale)
        found = _area_errors(photo, scale)
        corners.append(off)
        own += found
        tilt = f"{scale.tilt_deg:4.0f}"
        print(f"{photo.name:26}  {off[0]:14.2f} {off[1]:10.2f}  {tilt}  {_told(found)}")
    print(f"corners, mean: {np.mean(corners, axis=0)[0]:.2f} px as found, ", end="")
    print(f"{np.mean(corners, axis=0)[1]:.2f} px as fitted")
    print(f"areas by the photo's own target: {_summed(own)}")
    carried: Errors = []
    for zone in zones:
        carried += list(_carried(zone, every))
    print(f"areas by a carried scale: {_summed(carried)}")


def true_outlines(is_wet: NDArray[np.bool_]) -> Iterator[tuple[int, Outline]]:
    """Yield the outlines round a mask's pixels, with 1 where they enclose it and -1 for holes."""
    rows, cols = np.nonzero(is_wet)
    top, left = max(0, int(rows.min()) - 1), max(0, int(cols.min()) - 1)
    part = is_wet[top : rows.max() + 2, left : cols.max() + 2].astype(np.uint8)
    fine = cv2.resize(part, None, fx=_FINER, fy=_FINER, interpolation=cv2.INTER_NEAREST)
    lines, above = cv2.findContours(fine, cv2.RETR_CCOMP, cv2.CHAIN_APPROX_NONE)
    for line, parents in zip(lines, np.asarray(above).reshape(-1, 4), strict=True):
        if len(line) > 2:
            at = (line.reshape(-1, 2) + 0.5) / _FINER - 0.5 + (left, top)
            outline = tuple(PointPx(float(x), float(y)) for x, y in at)
            yield (1 if parents[3] < 0 else -1), outline


def _corner_errors(photo: TruePhoto, scale: Scale) -> tuple[float, float]:
    """Return how far the corners are off, as the marker search and as the fit found them."""
    true = np.array(photo.facts["scale_target"]["corners_px"])
    seen = [np.array([[p.x, p.y] for p in square]) for square in squares_seen(photo.rgb())]
    found = min(float(np.linalg.norm(square - true, axis=1).mean()) for square in seen)
    fitted = np.array([[p.x, p.y] for p in scale.corners_px])
    return found, float(np.linalg.norm(fitted - true, axis=1).mean())


def _area_errors(photo: TruePhoto, scale: Scale) -> Errors:
    """Return error and sigma of every wet area, as shares of the truth."""
    wet, found = photo.wet(), []
    for leak in photo.facts["leaks"]:
        is_wet = wet == leak["leak"]
        if not leak["present"] or is_wet.sum() < _LEAST_AREA_PX2:
            continue
        area, sigma = 0.0, 0.0
        for sign, outline in true_outlines(is_wet):
            piece = area_mm2(scale, outline)
            if piece is None:
                return []
            area, sigma = area + sign * piece.mm2, sigma + piece.sigma_mm2
        true = leak["wet_area_visible_mm2"]
        found.append((area / true - 1, sigma / true))
    return found


def _carried(zone: TrueZone, every: int) -> Iterator[tuple[float, float]]:
    """Yield the errors in each photo by the scale of each other photo with a target."""
    matcher = LearnedMatcher(resource("models"))
    pairs = [
        (one, other)
        for one in zone.photos
        for other in zone.photos
        if one is not other and one.facts["scale_target"] and any(_present(other))
    ]
    with tempfile.TemporaryDirectory() as cache:
        for one, other in pairs[::every]:
            scale = scale_in(one.path, one.facts["scale_target"]["side_mm"])
            if scale is None:
                continue
            files = readable_file(one.path), readable_file(other.path)
            placing = placing_of(*files, matcher, Path(cache))
            camera = camera_of(other.size_px, focal_35mm(other.path))
            there = carried_scale(scale, placing, camera)
            found = _area_errors(other, there)
            told = _told(found) if there.state is ScaleState.MEASURED else there.state.value
            print(f"{one.name} to {other.name}: {told}", flush=True)
            yield from found


def _present(photo: TruePhoto) -> Iterator[bool]:
    return (bool(leak["present"]) for leak in photo.facts["leaks"])


def _told(errors: Errors) -> str:
    return ", ".join(f"{error:+.1%} +- {sigma:.1%}" for error, sigma in errors) or "nothing wet"


def _summed(errors: Errors) -> str:
    if not errors:
        return "none"
    error, sigma = np.array(errors).T
    within = np.abs(error) / sigma
    return (
        f"{len(error)}, mean error {error.mean():+.1%}, rms {np.sqrt((error**2).mean()):.1%}, "
        f"mean sigma {sigma.mean():.1%}, {np.mean(within < 1):.0%} within one sigma, "
        f"{np.mean(within < 2):.0%} within two"
    )
