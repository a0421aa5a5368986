"""How well glowing dye is found under an ultraviolet lamp, in photos rendered for the purpose.

These photos are rendered, not taken: see ``glow_photos``. The weights were learnt from the zones
named scene_...; the other zones are engines they have not seen. A region is right where most of it
lies in dye or within 3 px of it; dye is found where a third of its patch is in right regions with a
score of one half and more.
"""

import time
from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise

import cv2
import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.spotting.glowing import glowing_regions, looks_ultraviolet
from tests.accuracy.glow_photos import glow_photo
from tests.accuracy.truth import TrueZone

_LONGEST_PX = 1100
_EACH = 2  # renderings of each photo
_LEAST_PATCH_PX = 60
_NEAR_PX = 3
_BANDS = (0.0, 0.1, 0.3, 0.5, 0.7, 0.9, 1.01)


@dataclass
class _Tally:
    """What was counted.

    Attributes:
        scores: Of every region, with whether it was right.
        found: For each patch of dye, whether it was found.
        overlaps: Intersection over union of dye and regions of score one half, for each photo.
        renderings: How many photos were rendered.
        recognised: How many of them were taken for what they are.
        mistaken: How many photos in white light were taken for ultraviolet ones.
    """

    scores: list[tuple[float, bool]] = field(default_factory=list)
    found: list[bool] = field(default_factory=list)
    overlaps: list[float] = field(default_factory=list)
    renderings: int = 0
    recognised: int = 0
    mistaken: int = 0


def report(zones: Sequence[TrueZone], every: int) -> None:
    """Print how many patches are found, how many regions are false, and what scores are worth."""
    print("Rendered photos, not taken ones.")
    groups = {"learnt from": _Tally(), "not seen before": _Tally()}
    began = time.process_time()
    for zone in zones:
        tally = groups["learnt from" if zone.name.startswith("scene_") else "not seen before"]
        for number, photo in enumerate(zone.photos[::every]):
            rgb = photo.rgb(_LONGEST_PX)
            size = (rgb.shape[1], rgb.shape[0])
            wet = cv2.resize(photo.wet(), size, interpolation=cv2.INTER_NEAREST) > 0
            tally.mistaken += looks_ultraviolet(rgb)
            for seed in range(_EACH):
                _count(tally, rgb, wet, np.random.default_rng([number, seed, len(zone.name)]))
    for name, tally in groups.items():
        _print(name, tally)
    print(f"{time.process_time() - began:.0f} CPU s, rendering included")


def _count(
    tally: _Tally, rgb: NDArray[np.uint8], wet: NDArray[np.bool_], rng: np.random.Generator
) -> None:
    """Render one photo, search it and count."""
    photo = glow_photo(rgb, wet, rng)
    tally.renderings += 1
    tally.recognised += looks_ultraviolet(photo.rgb)
    near = cv2.dilate(photo.glows.astype(np.uint8), np.ones((2 * _NEAR_PX + 1,) * 2)) > 0
    covered = np.zeros(wet.shape, bool)
    proposed = np.zeros(wet.shape, bool)
    for region in glowing_regions(photo.rgb):
        mask = np.zeros(wet.shape, np.uint8)
        corners = [[round(corner.x), round(corner.y)] for corner in region.outline]
        cv2.fillPoly(mask, [np.array(corners, np.int32)], 1)
        is_right = bool((near & (mask > 0)).sum() > 0.5 * mask.sum())
        tally.scores.append((region.score, is_right))
        if region.score >= 0.5:
            proposed |= mask > 0
            covered |= (mask > 0) & is_right
    count, patches = cv2.connectedComponents(photo.glows.astype(np.uint8))
    for label in range(1, count):
        patch = patches == label
        if patch.sum() >= _LEAST_PATCH_PX:
            tally.found.append(bool((covered & patch).sum() > patch.sum() / 3))
    if photo.glows.sum() >= _LEAST_PATCH_PX:
        both, either = (proposed & photo.glows).sum(), (proposed | photo.glows).sum()
        tally.overlaps.append(float(both / either))


def _print(name: str, tally: _Tally) -> None:
    if not tally.renderings:
        return
    scores = np.array([score for score, _ in tally.scores])
    right = np.array([is_right for _, is_right in tally.scores], bool)
    false = int(((scores >= 0.5) & ~right).sum())
    print(f"{name}: {tally.renderings} photos")
    print(f"  recognised as ultraviolet   {tally.recognised / tally.renderings:6.0%}")
    print(f"  white ones taken for it     {tally.mistaken:6}")
    print(f"  patches of dye found        {np.mean(tally.found):6.0%} of {len(tally.found)}")
    print(f"  overlap with the truth      {np.mean(tally.overlaps):6.2f}")
    print(f"  false regions in a photo    {false / tally.renderings:6.2f}")
    for low, high in pairwise(_BANDS):
        inside = (scores >= low) & (scores < high)
        if inside.any():
            print(
                f"  score {low:.1f} to {min(high, 1):.1f}: {int(inside.sum()):4} regions, "
                f"said {scores[inside].mean():.2f}, right {right[inside].mean():.2f}"
            )
