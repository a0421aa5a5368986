"""Cases for finding wet regions: photos laid over each other, and what is newly wet in them.

Newly wet is what the later photo's mask shows of a leak that the earlier photo does not show at
all. Of a leak that both show it is what the earlier mask, carried to the later photo and widened
for its doubt, does not cover; such a leak counts as grown where that is a quarter of it or more.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import permutations
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.matching.aligning import AlignmentState
from leaktrack.imaging.matching.learned_matching import LearnedMatcher
from leaktrack.imaging.matching.overlaying import Placing
from leaktrack.imaging.spotting.laying import Earlier, laid
from leaktrack.imaging.spotting.wetting import LONGEST_PX
from leaktrack.model.shapes import PointPx
from leaktrack.places import resource
from leaktrack.workflows.align_files import readable_file
from leaktrack.workflows.align_photos import placing_of
from leaktrack.workflows.find_features import ReadablePhoto
from tests.accuracy.truth import TruePhoto, TrueZone

Bools = NDArray[np.bool_]
Aligner = Callable[[TruePhoto, TruePhoto], Placing]

_CARRIED_OFF_PX = 3
_GROWN_SHARE = 0.25
_FAR_PX = 5000


@dataclass(frozen=True)
class Target:
    """A leak that should be found.

    Attributes:
        new: (rows, cols) what is newly wet.
        whole: (rows, cols) all that is wet of the leak.
        full_px: How many pixels of the full photo are newly wet.
        area_mm2: Of the whole leak, as the truth has it; None where it does not say.
        is_grown: Whether it was wet before, though less.
        is_shown: Whether the earlier photo shows at least half of the place.
    """

    leak: int
    new: Bools
    whole: Bools
    full_px: float
    area_mm2: float | None
    is_grown: bool
    is_shown: bool


@dataclass(frozen=True)
class Case:
    """A later photo with one or several earlier ones laid over it, at working size.

    Attributes:
        earlier: Newest first.
        wet: (rows, cols) the number of the leak that wets each pixel.
        was_wet: (rows, cols) the same of the newest earlier photo, carried.
        is_forward: Whether the earlier photos are of earlier inspections.
    """

    zone: str
    after: TruePhoto
    before: tuple[TruePhoto, ...]
    rgb: NDArray[np.uint8]
    earlier: tuple[Earlier, ...]
    wet: NDArray[np.uint8]
    was_wet: NDArray[np.uint8]
    targets: tuple[Target, ...]
    joints: tuple[tuple[PointPx, ...], ...]

    @property
    def is_forward(self) -> bool:
        """Whether all earlier photos really were taken at earlier inspections."""
        at = self.after.facts["inspection"]
        return all(photo.facts["inspection"] < at for photo in self.before)

    @property
    def px(self) -> float:
        """How many px of the full later photo are one px here."""
        return self.after.size_px[0] / self.rgb.shape[1]


def aligner(cache_folder: Path) -> Aligner:
    """Return what tells where places of one photo lie in another, as the program does."""
    matcher = LearnedMatcher(resource("models"))
    files: dict[Path, ReadablePhoto] = {}

    def placed(one: TruePhoto, other: TruePhoto) -> Placing:
        for photo in (one, other):
            if photo.path not in files:
                files[photo.path] = readable_file(photo.path)
        return placing_of(files[one.path], files[other.path], matcher, cache_folder)

    return placed


def pair_cases(zone: TrueZone, placed: Aligner, every: int = 1) -> Iterator[Case]:
    """Yield every photo of a zone with every other one as the earlier photo; or every n-th pair."""
    shown = {photo.name: photo.rgb(LONGEST_PX) for photo in zone.photos}
    for after, before in list(permutations(zone.photos, 2))[::every]:
        placing = placed(after, before)
        if placing.state is AlignmentState.FAILED:
            continue
        rgb = shown[after.name]
        earlier = laid(placing, shown[before.name], rgb.shape, after.size_px[0])
        # The mask is bent as the photo is; only the nearest pixel's number makes sense.
        numbers = np.repeat(_mask(before, shown[before.name].shape)[..., None], 3, axis=2)
        was = laid(placing, 8 * numbers, rgb.shape, after.size_px[0]).rgb[..., 0]
        was_wet = np.rint(was / 8).astype(np.uint8)
        yield _case(zone, after, (before,), rgb, (earlier,), was_wet)


def together(zone: TrueZone, cases: list[Case], most: int) -> Iterator[Case]:
    """Yield every photo with up to ``most`` photos of earlier inspections at once, newest first."""
    for photo in zone.photos:
        known = [case for case in cases if case.after.name == photo.name and case.is_forward]
        known.sort(key=lambda case: -case.before[0].facts["inspection"])
        chosen = known[:most]
        if len(chosen) > 1:
            before = tuple(case.before[0] for case in chosen)
            earlier = tuple(case.earlier[0] for case in chosen)
            newest = chosen[0]
            yield _case(zone, photo, before, newest.rgb, earlier, newest.was_wet)


def _case(
    zone: TrueZone,
    after: TruePhoto,
    before: tuple[TruePhoto, ...],
    rgb: NDArray[np.uint8],
    earlier: tuple[Earlier, ...],
    was_wet: NDArray[np.uint8],
) -> Case:
    wet = _mask(after, rgb.shape)
    px = after.size_px[0] / rgb.shape[1]
    is_placed = np.any([one.is_placed for one in earlier], axis=0)
    targets = tuple(_targets(after, before[0], wet, was_wet, is_placed, px))
    joints = tuple(_joint_lines(after))
    return Case(zone.name, after, before, rgb, earlier, wet, was_wet, targets, joints)


def _targets(
    after: TruePhoto,
    before: TruePhoto,
    wet: NDArray[np.uint8],
    was_wet: NDArray[np.uint8],
    is_placed: Bools,
    px: float,
) -> Iterator[Target]:
    earlier = {leak["leak"]: leak for leak in before.facts["leaks"]}
    slack = np.ones((2 * _CARRIED_OFF_PX + 1,) * 2, np.uint8)
    for leak in after.facts["leaks"]:
        number = leak["leak"]
        whole = wet == number
        if not leak["present"] or not whole.any():
            continue
        known = earlier.get(number)
        is_grown = bool(known and known["present"] and known["wet_pixels"])
        old = cv2.dilate((was_wet == number).astype(np.uint8), slack) > 0
        new = whole & ~old if is_grown else whole
        if new.sum() >= _GROWN_SHARE * whole.sum():
            full_px = float(new.sum()) * px**2
            is_shown = bool((new & is_placed).sum() >= 0.5 * new.sum())
            area = leak.get("wet_area_visible_mm2")
            yield Target(number, new, whole, full_px, area, is_grown, is_shown)


def _mask(photo: TruePhoto, shape: tuple[int, ...]) -> NDArray[np.uint8]:
    wet = photo.wet()
    return cv2.resize(wet, (shape[1], shape[0]), interpolation=cv2.INTER_NEAREST)


def _joint_lines(photo: TruePhoto) -> Iterator[tuple[PointPx, ...]]:
    """Yield the joints' lines as far as the photo shows them, as a person would draw them."""
    for joint in photo.facts.get("joints_px", {}).values():
        line: list[PointPx] = []
        for (x, y), is_visible in zip(joint["px"], joint["visible"], strict=True):
            if is_visible and max(abs(x), abs(y)) < _FAR_PX:
                line.append(PointPx(x, y))
            elif len(line) > 1:
                yield tuple(line)
                line = []
        if len(line) > 1:
            yield tuple(line)
