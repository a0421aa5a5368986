"""Find oil with dye in it that glows under an ultraviolet or blue lamp.

Dye for oil shines yellow-green (about 500 to 560 nm); the lamp, and what mirrors it, is violet to
blue; paper, lint and cloth shine bluish-white, skin faintly the same, some plastic orange. So what
counts is by how much a place is brighter in green than its surroundings, less what it is brighter
in blue, as long as red does not lead. No earlier photo is needed.

Thresholds and weights are own measurement on photos rendered as under such a lamp, not on taken
ones. Through yellow glasses paper looks like dye: then nothing here can tell them apart.
"""

import math
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.spotting.bounding import Candidate, outline_of
from leaktrack.model.wet_search import WetKind, WetRegion

Rgb = NDArray[np.uint8]
Floats = NDArray[np.float32]
Bools = NDArray[np.bool_]

_LONGEST_PX = 1600
_GAMMA = 2.2
_BEHIND_SHARE = 1 / 14  # of the width: what counts as the surroundings of a place
_SHRUNK = 8  # surroundings are smooth, and found in a photo that much smaller
_SURE_SIGMAS, _FAINT_SIGMAS = 8.0, 4.0
_LEAST_GLOW = 0.004  # of full light: less is noise of a dark photo, whatever its sigma
_EDGE_SHARE = 0.3  # of the brightest glow nearby: below it lies the lens's halo
_NEARBY_SHARE = 1 / 90  # of the width
_LEAST_PX = 25
_MOST_RED = 1.15  # of green: more is orange
_MOST_REGIONS = 60
_LEAST_SCORE = 0.02  # less is noise, and nobody wants to look at it

# A photo under the lamp is violet or blue as a whole, or at least dark with a glow in it. A quarter
# of an ordinary engine photo is brighter than 0.15 of full light (27 rendered ones).
_DARK = 0.1  # of full light
_VERY_DARK = 0.04  # so dark that nothing but a glow could be seen in it
_BLUE_A_LITTLE = 1.4  # blue against green in the typical pixel of such a photo
_BLUE_LEADS = 2.2  # blue against green in the typical pixel of a dark photo
_BLUE_ONLY = 3.5  # the same of any photo, also of a blue engine
_LAMP_LEAD = 6.0  # blue against green of what a blue lamp lights, before the camera balances it
_LARGEST_GAIN = 3.0
_STANDS_OUT = 8.0  # times the typical brightness
_LEAST_SHARE = 3e-4  # of the photo's pixels


@dataclass(frozen=True, slots=True)
class GlowWeights:
    """What makes a region likely to be dye: weights of a logistic regression."""

    constant: float
    strength: float
    yellowness: float
    area: float


WEIGHTS = GlowWeights(constant=-17.6, strength=1.79, yellowness=7.07, area=0.31)
"""Learned from 36 renderings of nine photos of three engines; see ``tests.accuracy glow``."""


def looks_ultraviolet(rgb: Rgb, *, is_said: bool = False) -> bool:
    """Return whether a photo was taken under an ultraviolet or blue lamp in the dark.

    A photo with much daylight in it, or balanced to look grey, is recognised only where somebody
    said so; one in plain white light never is.

    Args:
        rgb: (rows, cols, 3), the upright photo or a smaller decode of it.
        is_said: Somebody said that the engine was looked at under such a lamp.
    """
    light = _light(_shrunk(rgb, 400))
    brightest = light.max(axis=2)
    red, green, blue = _typical(light)
    lead = blue / max(green, 1e-4)
    if lead > _BLUE_ONLY and blue > red:
        return True
    if float(np.percentile(brightest, 75)) > _DARK:
        return is_said and lead > _BLUE_LEADS
    if is_said:
        return True
    is_black = float(np.percentile(brightest, 75)) < _VERY_DARK
    if lead > (_BLUE_A_LITTLE if is_black else _BLUE_LEADS) and blue > red:
        return True
    stands_out = light[..., 1] > max(_STANDS_OUT * float(np.median(brightest)), 0.05)
    is_dye = stands_out & (light[..., 2] < 0.5 * light[..., 1])
    is_dye &= light[..., 0] < _MOST_RED * light[..., 1]
    return float(is_dye.mean()) > _LEAST_SHARE


def glowing_regions(rgb: Rgb) -> tuple[WetRegion, ...]:
    """Return the regions that glow like dye, likeliest first; places in px of ``rgb``.

    Args:
        rgb: (rows, cols, 3), the upright photo.
    """
    seen = _shrunk(rgb, _LONGEST_PX)
    px = rgb.shape[1] / seen.shape[1]
    glow = glow_map(_light(seen))
    found = []
    for region in _regions(glow):
        score = _score(glow, region)
        if score < _LEAST_SCORE:
            continue
        area = region.area_px * px**2
        found.append(WetRegion(outline_of(region, px), area, None, None, score, WetKind.WET))
    return tuple(sorted(found, key=lambda one: -one.score)[:_MOST_REGIONS])


@dataclass(frozen=True)
class Glow:
    """How much each place of a photo glows.

    Attributes:
        amount: (rows, cols) light beyond that of the surroundings, yellow-green only, 1 = full.
        sigma: Of its noise.
        yellow: (rows, cols) how little of that light is blue: 1 none, 0 as much as green.
    """

    amount: Floats
    sigma: float
    yellow: Floats


def glow_map(light: Floats) -> Glow:
    """Return how much each place glows.

    Args:
        light: (rows, cols, 3), linear, 1 = full.
    """
    soft = np.asarray(cv2.GaussianBlur(light, (0, 0), 1.0), np.float32)
    soft[..., 2] *= _blue_gain(soft)
    more = soft - _surroundings(soft)
    red, green, blue = (more[..., channel] for channel in range(3))
    beyond = np.maximum(green, 0) - np.maximum(blue, 0)
    # Where the core is so bright that all of it is full, what is around it decides.
    is_orange = red > _MOST_RED * green + 0.004
    amount = np.where(is_orange, 0, beyond)
    quiet = amount[np.abs(amount) <= np.percentile(np.abs(amount), 90)]
    sigma = 1.48 * float(np.median(np.abs(quiet - np.median(quiet))))
    yellow = np.clip(beyond / np.maximum(green, 1e-4), 0, 1)
    return Glow(np.asarray(amount, np.float32), max(sigma, 2e-4), np.asarray(yellow, np.float32))


def _blue_gain(light: Floats) -> float:
    """Return by how much the camera turned blue down, taking the lamp for daylight."""
    _, green, blue = _typical(light)
    return min(max(_LAMP_LEAD * green / max(blue, 1e-4), 1.0), _LARGEST_GAIN)


def _typical(light: Floats) -> tuple[float, float, float]:
    """Return the median colour of the brighter half of a photo; black where all of it is."""
    brightest = light.max(axis=2)
    is_lit = brightest >= max(0.004, float(np.median(brightest)))
    if not is_lit.any():
        return 0.0, 0.0, 0.0
    red, green, blue = (float(np.median(light[..., channel][is_lit])) for channel in range(3))
    return red, green, blue


def _regions(glow: Glow) -> list[Candidate]:
    """Return the parts that stand out, each with its edge where the glow has fallen to a share."""
    amount = glow.amount
    sure = max(_SURE_SIGMAS * glow.sigma, _LEAST_GLOW)
    faint = max(_FAINT_SIGMAS * glow.sigma, _LEAST_GLOW / 2)
    reach = 2 * max(2, round(amount.shape[1] * _NEARBY_SHARE)) + 1
    nearby = cv2.dilate(amount, cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (reach, reach)))
    above = ((amount > faint) & (amount > _EDGE_SHARE * nearby)).astype(np.uint8)
    closed = cv2.morphologyEx(above, cv2.MORPH_CLOSE, np.ones((3, 3), np.uint8))
    count, labels, boxes, _ = cv2.connectedComponentsWithStats(closed)
    found = []
    for label in range(1, count):
        left, top, width, height, area = (int(value) for value in boxes[label])
        if area < _LEAST_PX:
            continue
        box = (slice(top, top + height), slice(left, left + width))
        mask = (labels[box] == label).astype(np.uint8)
        if float(amount[box][mask > 0].max()) < sure:
            continue
        # A core so bright that it is white glows no more than its rim by this measure.
        shapes, _ = cv2.findContours(mask, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
        cv2.drawContours(mask, shapes, -1, 1, -1)
        found.append(Candidate(mask, left, top))
    return found


def features_of(glow: Glow, region: Candidate) -> tuple[float, float, float]:
    """Return what a region's score is reckoned from: strength, yellowness, area."""
    rows, cols = region.mask.shape
    box = (slice(region.top, region.top + rows), slice(region.left, region.left + cols))
    amount, inside = glow.amount[box], region.mask > 0
    bright = inside & (amount >= np.percentile(amount[inside], 50))
    strength = math.log(max(float(np.percentile(amount[inside], 90)) / glow.sigma, 1.0))
    yellowness = float(np.median(glow.yellow[box][bright]))
    area = math.log(region.area_px)
    return strength, yellowness, area


def _score(glow: Glow, region: Candidate) -> float:
    """Return the chance that a region is dye."""
    strength, yellowness, area = features_of(glow, region)
    logit = (
        WEIGHTS.constant
        + WEIGHTS.strength * strength
        + WEIGHTS.yellowness * yellowness
        + WEIGHTS.area * area
    )
    return 1 / (1 + math.exp(-max(-30.0, min(30.0, logit))))


def _surroundings(light: Floats) -> Floats:
    """Return what each place's surroundings look like: the median round it, small things gone."""
    size = (light.shape[1], light.shape[0])
    small = cv2.resize(
        light, (size[0] // _SHRUNK, size[1] // _SHRUNK), interpolation=cv2.INTER_AREA
    )
    reach = max(5, round(small.shape[1] * _BEHIND_SHARE)) | 1
    # OpenCV takes a median of so wide a window of 8-bit values only; the root keeps the dark ones.
    eight = np.round(255 * np.sqrt(np.clip(small, 0, 1))).astype(np.uint8)
    middle = (cv2.medianBlur(eight, reach).astype(np.float32) / 255) ** 2
    smooth = cv2.GaussianBlur(middle, (0, 0), reach / 4)
    return np.asarray(cv2.resize(smooth, size, interpolation=cv2.INTER_LINEAR), np.float32)


def _shrunk(rgb: Rgb, longest_px: int) -> Rgb:
    longest = max(rgb.shape[:2])
    if longest <= longest_px:
        return rgb
    share = longest_px / longest
    return np.asarray(cv2.resize(rgb, None, fx=share, fy=share, interpolation=cv2.INTER_AREA))


def _light(rgb: Rgb) -> Floats:
    """Return linear light, near enough to the sRGB curve."""
    return np.asarray((rgb.astype(np.float32) / 255) ** _GAMMA, np.float32)
