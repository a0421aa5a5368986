"""Find the same points in two photos with two small trained networks: XFeat and LighterGlue.

Ordinary features find hardly anything in common on oily castings in changed light; these find
hundreds of points, of which a quarter to a half are wrong. Whoever uses them must filter.

Source:
    G. Potje et al., "XFeat: Accelerated Features for Lightweight Image Matching", CVPR 2024.
    P. Lindenberger et al., "LightGlue: Local Feature Matching at Light Speed", ICCV 2023.
"""

import io
import os
import threading
import zipfile
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import cv2
import numpy as np
import onnxruntime as ort
from numpy.typing import NDArray

from leaktrack.imaging.measuring.targeting import Square

Floats = NDArray[np.float32]
Rgb = NDArray[np.uint8]

NETWORK_WIDTH_PX = 992  # of the picture the backbone sees; measured best for speed against matches
MOST_POINTS = 2048
_CELL_PX = 8  # the backbone's maps are an eighth of its picture
_SIDE_STEP_PX = 32  # and its picture's sides are multiples of this
_LEAST_HEAT = 0.05
_LEAST_MATCH_SCORE = 0.1

_LOADING = threading.Lock()
_SHEET = 1.7  # a target's sheet against its black square; one module of margin makes 1.33
_BICUBIC = -0.75  # the variant of cubic interpolation the networks were trained with


@dataclass(frozen=True, slots=True, eq=False)
class Features:
    """Distinct points of one photo, strongest first.

    Attributes:
        xy: (N, 2) positions in the full upright photo, in px.
        descriptors: (N, 64), each of unit length.
        size: Width and height of the full upright photo.
    """

    xy: Floats
    descriptors: Floats
    size: tuple[int, int]

    def outside(self, squares: Sequence[Square]) -> "Features":
        """Return them without those on printed targets and their margins.

        A target lies somewhere else at each inspection; its points would drag the engine along.
        """
        is_kept = np.ones(len(self.xy), bool)
        for square in squares:
            sheet = sheet_of(square).astype(np.float32).reshape(-1, 1, 2)
            is_kept &= [cv2.pointPolygonTest(sheet, (x, y), False) < 0 for x, y in self.xy.tolist()]
        return Features(self.xy[is_kept], self.descriptors[is_kept], self.size)

    def strongest(self, most: int) -> "Features":
        """Return them without the weakest."""
        return Features(self.xy[:most], self.descriptors[:most], self.size)

    def moved(self, x: float, y: float) -> "Features":
        """Return them that much farther to the right and down."""
        xy = self.xy + np.array([x, y], np.float32)
        return Features(xy, self.descriptors, self.size)

    def to_bytes(self) -> bytes:
        """Return them as bytes for a cache; descriptors lose what does not matter."""
        file = io.BytesIO()
        np.savez(
            file,
            xy=self.xy,
            descriptors=self.descriptors.astype(np.float16),
            size=np.array(self.size),
        )
        return file.getvalue()

    @classmethod
    def from_bytes(cls, content: bytes) -> "Features | None":
        """Return them from a cache; None where the bytes are damaged."""
        try:
            with np.load(io.BytesIO(content)) as kept:
                width, height = (int(side) for side in kept["size"])
                descriptors = kept["descriptors"].astype(np.float32)
                return cls(kept["xy"].astype(np.float32), descriptors, (width, height))
        except (OSError, EOFError, ValueError, KeyError, zipfile.BadZipFile):
            return None


def sheet_of(square: Square) -> NDArray[np.float64]:
    """Return the (4, 2) corners of the paper that a target is printed on, its margin with it."""
    corners = np.array([[corner.x, corner.y] for corner in square], float)
    middle = corners.mean(axis=0)
    sheet: NDArray[np.float64] = middle + _SHEET * (corners - middle)
    return sheet


class LearnedMatcher:
    """Both networks, loaded once a process, when first used. Several threads may use one.

    They run in onnxruntime: OpenCV 5.0 runs them too, but dies with a floating point exception when
    the matcher, whose inner sizes depend on what it sees, is used a second time.
    """

    def __init__(self, models: Path, pause: Callable[[], None] = lambda: None) -> None:
        self._models, self._pause = models, pause

    def pausing(self, pause: Callable[[], None]) -> "LearnedMatcher":
        """Return the same, with something called before each look; it may raise to stop."""
        return LearnedMatcher(self._models, pause)

    def features(
        self,
        rgb: Rgb,
        size: tuple[int, int] | None = None,
        *,
        longest_px: int = NETWORK_WIDTH_PX,
        most: int = MOST_POINTS,
    ) -> Features:
        """Return the distinct points of a photo.

        Args:
            rgb: The upright photo, or a smaller decode of it.
            size: Width and height of the full photo; None: ``rgb`` is the full photo.
            longest_px: Longer side of the picture that the network sees.
            most: How many points at most.
        """
        rows, cols = rgb.shape[:2]
        full = size or (cols, rows)
        picture = _network_picture(rgb, longest_px)
        wanted = ["descriptors", "heat", "reliability"]
        descriptors, heat, reliability = self._run("xfeat.onnx", wanted, {"image": picture})
        at, found = _selected(descriptors, heat, reliability, most)
        height, width = picture.shape[2:]
        to_full = np.array([full[0] / width, full[1] / height], np.float32)
        return Features((at + 0.5) * to_full - 0.5, found, full)

    def matches(self, one: Features, other: Features) -> NDArray[np.int64]:
        """Return (K, 2) rows (i, j): point i of the one photo looks like point j of the other."""
        if len(one.xy) < 2 or len(other.xy) < 2:
            return np.empty((0, 2), np.int64)
        wanted = ["best1", "score0", "best0", "kept0", "kept1"]
        best1, score0, best0, kept0, kept1 = self._run(
            "lighterglue.onnx",
            wanted,
            {
                "kpts0": _centred(one),
                "desc0": one.descriptors,
                "kpts1": _centred(other),
                "desc1": other.descriptors,
            },
        )
        is_mutual = best0[best1] == np.arange(len(best1))
        rows = np.nonzero(is_mutual & (score0 > _LEAST_MATCH_SCORE))[0]
        pairs = np.stack([kept0[rows], kept1[best1[rows]]], axis=1)
        return pairs.astype(np.int64)

    def _run(self, name: str, wanted: list[str], given: dict[str, Floats]) -> list[NDArray[Any]]:
        self._pause()
        with _LOADING:
            session = _session(self._models / name)
        outputs: list[NDArray[Any]] = session.run(wanted, given)
        return outputs


@cache
def _session(path: Path) -> ort.InferenceSession:
    options = ort.SessionOptions()
    options.log_severity_level = 3
    options.intra_op_num_threads = os.cpu_count() or 1
    options.add_session_config_entry("session.intra_op.allow_spinning", "0")  # spare idle cores
    return ort.InferenceSession(path, options, providers=["CPUExecutionProvider"])


def _network_picture(rgb: Rgb, longest_px: int) -> Floats:
    """Return the picture as the backbone wants it: the mean of R, G and B, 0 to 1."""
    rows, cols = rgb.shape[:2]
    longest = max(rows, cols)
    width, height = (
        max(_SIDE_STEP_PX, round(side * longest_px / longest / _SIDE_STEP_PX) * _SIDE_STEP_PX)
        for side in (cols, rows)
    )
    way = cv2.INTER_AREA if width < cols else cv2.INTER_LINEAR
    small = cv2.resize(rgb, (width, height), interpolation=way).astype(np.float32)
    return np.ascontiguousarray(small.mean(axis=2)[None, None] / np.float32(255))


def _selected(
    descriptors: Floats, heat: Floats, reliability: Floats, most: int
) -> tuple[Floats, Floats]:
    """Return the strongest peaks, (N, 2) in px of the network's picture, with descriptors."""
    heat = heat[0, 0]
    height, width = heat.shape
    is_peak = (heat == cv2.dilate(heat, np.ones((5, 5), np.uint8))) & (heat > _LEAST_HEAT)
    y, x = np.nonzero(is_peak)
    at = np.stack([x, y], axis=1).astype(np.float32)
    # The networks were trained with corners aligned: hence the side less one.
    to_cell = np.array([width, height], np.float32) / _CELL_PX / np.array([width - 1, height - 1])
    cell = (at * to_cell - 0.5).astype(np.float32)
    score = heat[y, x] * _sampled(reliability[0], cell, is_cubic=False)[:, 0]
    order = np.argsort(-score, kind="stable")[:most]
    order = order[score[order] > 0]
    found = _sampled(descriptors[0], cell[order], is_cubic=True)
    found /= np.linalg.norm(found, axis=1, keepdims=True).clip(1e-12)
    return at[order], found


def _sampled(grid: Floats, cell: Floats, *, is_cubic: bool) -> Floats:
    """Return the (C, h, w) grid at (N, 2) places given in cells, as (N, C); zero outside."""
    channels, height, width = grid.shape
    taps = np.arange(-1, 3) if is_cubic else np.arange(0, 2)
    base = np.floor(cell).astype(np.int64)
    away = np.abs((cell - base)[:, None, :] - taps[None, :, None]).astype(np.float32)
    weight = _cubic(away) if is_cubic else 1 - away
    x, y = base[:, None, 0] + taps, base[:, None, 1] + taps
    weight_x = weight[..., 0] * ((x >= 0) & (x < width))
    weight_y = weight[..., 1] * ((y >= 0) & (y < height))
    index = y.clip(0, height - 1)[:, :, None] * width + x.clip(0, width - 1)[:, None, :]
    flat = np.ascontiguousarray(grid.reshape(channels, -1).T)
    total = np.zeros((len(cell), channels), np.float32)
    for row in range(len(taps)):
        for col in range(len(taps)):
            share = (weight_y[:, row] * weight_x[:, col])[:, None]
            total += share * flat[index[:, row, col]]
    return total


def _cubic(away: Floats) -> Floats:
    a = np.float32(_BICUBIC)
    near = ((a + 2) * away - (a + 3)) * away * away + 1
    far = ((a * away - 5 * a) * away + 8 * a) * away - 4 * a
    return np.where(away <= 1, near, far).astype(np.float32)


def _centred(features: Features) -> Floats:
    """Return positions with the photo's centre at 0 and its longer side from -1 to 1."""
    size = np.array(features.size, np.float32)
    centred: Floats = ((features.xy - size / 2) / (size.max() / 2)).astype(np.float32)
    return centred
