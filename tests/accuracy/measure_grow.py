"""How well a wet area is outlined from one click.

Told as overlap (intersection over union) with the area that is truly wet, for clicks at the source
and for clicks at random places well inside.
"""

import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.spotting.growing import grown_region
from leaktrack.model.shapes import PointPx
from tests.accuracy.truth import TruePhoto, TrueZone

_LEAST_AREA_PX2 = 300
_CLICKS_INSIDE = 6
_SOURCE_REACH_PX = 20  # a source farther from anything wet is under the flange's edge
_INSIDE_PX = 4


@dataclass(frozen=True)
class Click:
    """One click into one wet area."""

    is_source: bool
    at: PointPx
    is_wet: NDArray[np.bool_]


def report(zones: Sequence[TrueZone], every: int) -> None:
    """Print the overlaps of all clicks, by kind."""
    overlaps: dict[bool, list[float]] = {True: [], False: []}
    seconds: list[float] = []
    photos = [photo for zone in zones for photo in zone.photos]
    for photo in photos[::every]:
        rgb = photo.rgb()
        for click in clicks(photo):
            began = time.process_time()
            outline = grown_region(rgb, click.at)
            seconds.append(time.process_time() - began)
            overlaps[click.is_source].append(overlap(outline, click.is_wet))
    print("clicks           number    mean  median   >0.5")
    for is_source, found in overlaps.items():
        kind = "at the source" if is_source else "inside"
        print(
            f"{kind:16} {len(found):6}  {np.mean(found):6.2f}  {np.median(found):6.2f}"
            f"  {np.mean(np.array(found) > 0.5):5.0%}"
        )
    print(f"{np.mean(seconds):.2f} CPU s each")


def clicks(photo: TruePhoto) -> Iterator[Click]:
    """Yield clicks into every wet area of a photo, the same at every run."""
    wet = photo.wet()
    rng = np.random.default_rng(0)
    for leak in photo.facts["leaks"]:
        is_wet = wet == leak["leak"]
        if is_wet.sum() < _LEAST_AREA_PX2:
            continue
        depth = cv2.distanceTransform(is_wet.astype(np.uint8), cv2.DIST_L2, 5)
        nearest = _nearest(depth >= 2, leak["source_px"])
        if nearest is not None:
            yield Click(True, nearest, is_wet)
        rows, cols = np.nonzero(depth >= min(_INSIDE_PX, depth.max() * 0.6))
        for index in rng.choice(len(rows), _CLICKS_INSIDE):
            yield Click(False, PointPx(float(cols[index]), float(rows[index])), is_wet)


def overlap(outline: tuple[PointPx, ...], is_wet: NDArray[np.bool_]) -> float:
    """Return intersection over union of an outline and the truth."""
    grown = np.zeros(is_wet.shape, np.uint8)
    corners = np.array([[round(point.x), round(point.y)] for point in outline], np.int32)
    cv2.fillPoly(grown, [corners], 1)
    return float((is_wet & (grown > 0)).sum() / (is_wet | (grown > 0)).sum())


def _nearest(mask: NDArray[np.bool_], to: Sequence[float]) -> PointPx | None:
    rows, cols = np.nonzero(mask)
    away = np.hypot(cols - to[0], rows - to[1])
    nearest = int(away.argmin())
    if away[nearest] >= _SOURCE_REACH_PX:
        return None
    return PointPx(float(cols[nearest]), float(rows[nearest]))
