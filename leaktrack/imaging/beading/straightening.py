"""Lay a path straight: a strip of the photo along it, and the way back into the photo."""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import PchipInterpolator
from scipy.ndimage import gaussian_filter1d

from leaktrack.imaging.measuring.projecting import Floats, through

_FINE = 0.25  # of the smoothing: how finely a path is walked
_LEAST_SHRINK = 1.3  # the photo is blurred first where the strip is coarser than this many px


@dataclass(frozen=True)
class Track:
    """A smooth path on a flat surface, at even steps.

    Attributes:
        at: (N, 2), its places, in the surface's unit.
        left: (N, 2), unit steps to the left of somebody who follows it.
        along: (N,), rising: how far along the path each place counts as.
        step: From one place to the next, in the surface's unit.
        to_px: (3, 3), the projective map from the surface to the photo.
    """

    at: Floats
    left: Floats
    along: Floats
    step: float
    to_px: Floats

    def places_px(self, offsets: Floats) -> Floats:
        """Return (M, N, 2) px of the places at each of (M,) offsets to the left, or (M, N) ones."""
        spread = offsets[:, None] if offsets.ndim == 1 else offsets
        on_surface = self.at[None] + spread[..., None] * self.left[None]
        there = through(self.to_px, on_surface.reshape(-1, 2))
        return there.reshape(*on_surface.shape)


@dataclass(frozen=True)
class Strip:
    """A photo laid straight along a track.

    Attributes:
        rgb: (M, N, 3) float32, from 0 to 255; rows across from right to left, columns along.
        is_inside: (M, N), whether the photo holds the place.
        offsets: (M,), of its rows to the left of the track.
        track: Its columns.
        px_size: Of the photo, in the surface's unit, typically.
    """

    rgb: NDArray[np.float32]
    is_inside: NDArray[np.bool_]
    offsets: Floats
    track: Track
    px_size: float


def track_of(
    path_px: Floats, along: Floats | None, to_surface: Floats, step: float, smoothing: float
) -> Track:
    """Return the smooth track of a drawn path.

    Args:
        path_px: (N, 2), at least two points, no two alike next to one another.
        along: (N,), rising: how far along each point counts as; None: as far as it is.
        to_surface: (3, 3), the projective map from px to the surface.
        step: Between two places of the track, in the surface's unit.
        smoothing: Standard deviation of the smoothing along it, in the same unit.
    """
    laid = through(to_surface, path_px)
    if along is None:
        along = _walk(laid)
    back = np.asarray(np.linalg.inv(to_surface), np.float64)
    return _walked(laid, along, step, smoothing, back)


def strip_of(rgb: NDArray[np.uint8], track: Track, reach: float) -> Strip:
    """Return the photo along a track, up to some reach to both sides.

    Args:
        rgb: (rows, cols, 3), the upright photo.
        track: Where to look.
        reach: To each side, in the surface's unit.
    """
    half = max(1, round(reach / track.step))
    offsets = np.asarray(np.arange(-half, half + 1) * track.step, np.float64)
    where = track.places_px(offsets)
    height, width = rgb.shape[:2]
    is_inside = (
        (where[..., 0] >= -0.5)
        & (where[..., 0] <= width - 0.5)
        & (where[..., 1] >= -0.5)
        & (where[..., 1] <= height - 0.5)
    )
    seen = where[is_inside]
    if not len(seen):
        empty = np.zeros((*where.shape[:2], 3), np.float32)
        return Strip(empty, is_inside, offsets, track, track.step)
    shrink = float(
        np.median(  # px of the photo to a row of the strip
            np.linalg.norm(np.diff(where, axis=0), axis=2)[is_inside[1:]]
        )
    )
    left, top = (max(0, int(seen[:, i].min()) - 8) for i in (0, 1))
    right, bottom = int(seen[:, 0].max()) + 9, int(seen[:, 1].max()) + 9
    cut = np.ascontiguousarray(rgb[top:bottom, left:right], np.uint8).astype(np.float32)
    if shrink > _LEAST_SHRINK:
        cut = cv2.GaussianBlur(cut, (0, 0), 0.5 * shrink).astype(np.float32)
    at = (where - (left, top)).astype(np.float32)
    laid = cv2.remap(cut, at[..., 0], at[..., 1], cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    return Strip(np.asarray(laid, np.float32), is_inside, offsets, track, track.step / shrink)


def _walked(laid: Floats, along: Floats, step: float, smoothing: float, to_px: Floats) -> Track:
    """Return the track through places on the surface, smoothed and walked at even steps."""
    walk = _walk(laid)
    is_new = np.append(True, np.diff(walk) > 1e-9)
    laid, along, walk = laid[is_new], along[is_new], walk[is_new]
    fine = np.linspace(0, walk[-1], max(8, int(np.ceil(walk[-1] / (smoothing * _FINE))) + 1))
    # Piecewise cubics that never overshoot: corners of a seal stay where they were clicked.
    places = np.asarray(PchipInterpolator(walk, laid)(fine))
    sigma = smoothing / (fine[1] - fine[0])
    # Beyond its ends the path is taken to go straight on, so that smoothing does not shorten it.
    pad = int(3 * sigma) + 1
    longer = np.pad(places, ((pad, pad), (0, 0)), mode="reflect", reflect_type="odd")
    places = gaussian_filter1d(longer, sigma, axis=0)[pad:-pad]
    counted = np.asarray(PchipInterpolator(walk, along)(fine))
    fine_walk = _walk(places)
    even = np.arange(0, fine_walk[-1] + step * 1e-6, step)
    at = np.stack([np.interp(even, fine_walk, places[:, i]) for i in (0, 1)], axis=1)
    way = np.gradient(at, axis=0)
    way /= np.maximum(np.linalg.norm(way, axis=1, keepdims=True), 1e-12)
    left = np.stack([way[:, 1], -way[:, 0]], axis=1)
    return Track(at, left, np.interp(even, fine_walk, counted), step, to_px)


def _walk(places: Floats) -> Floats:
    return np.append(0.0, np.cumsum(np.linalg.norm(np.diff(places, axis=0), axis=1)))
