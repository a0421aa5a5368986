"""Render photos as under an ultraviolet lamp, with dye in the oil, from photos in white light.

There are no photos of glowing dye with truth. These are rendered, not taken: a photo's surfaces are
lit by a violet-blue lamp and a little daylight, its true wet areas shine yellow-green (dye for oil
is excited at 365 nm or 450 nm and shines at about 500 to 560 nm), the lens blooms, the sensor
saturates and is noisy. Other things shine too: lint, paper and labels bluish-white from optical
brighteners, the lamp mirrored in metal, a hand, orange plastic. Amounts are own judgement, so the
figures say how the program fares in these pictures and no more.
"""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

Rgb = NDArray[np.uint8]
Floats = NDArray[np.float32]
Bools = NDArray[np.bool_]

_GAMMA = 2.2


@dataclass(frozen=True)
class GlowPhoto:
    """A rendered photo under ultraviolet light.

    Attributes:
        glows: (rows, cols) where dye shines, as far as it is to be seen at all.
        other: (rows, cols) where something else shines.
    """

    rgb: Rgb
    glows: Bools
    other: Bools


def glow_photo(rgb: Rgb, is_wet: Bools, rng: np.random.Generator) -> GlowPhoto:
    """Return a photo as under an ultraviolet lamp.

    Args:
        rgb: (rows, cols, 3), the photo in white light.
        is_wet: (rows, cols), where dyed oil lies.
        rng: Tells lamp, camera, strength of the dye and what else shines.
    """
    white = (rgb.astype(np.float32) / 255) ** _GAMMA
    rows, cols = is_wet.shape
    lamp = _spot(rows, cols, rng)
    light = white * _lamp_colour(rng) * (lamp * np.exp(rng.uniform(-3.5, -0.5)))[..., None]
    light += white * rng.choice([0.0, 0.002, 0.01])  # daylight that was not shut out
    light += _mirrored(white, rng) * lamp[..., None]
    others, other = _others(rows, cols, rng)
    light += others * lamp[..., None]
    dye, film = _dye(is_wet, rng)
    shine = film * lamp * rng.choice([0.06, 0.15, 0.35, 1.0, 2.5])
    light += shine[..., None] * dye
    light = _bloomed(light, rng)
    # Cameras take the violet for the colour of daylight, now more and now less.
    balance = np.array([rng.uniform(1, 1.8), 1, 1 / rng.uniform(1, 2.5)], np.float32)
    exposed = light * balance * rng.uniform(0.7, 1.6)
    is_seen = is_wet & (shine > _least_seen(exposed))
    return GlowPhoto(_developed(exposed, rng), is_seen, other & ~is_wet)


def _spot(rows: int, cols: int, rng: np.random.Generator) -> Floats:
    """Return how much of the lamp's light falls on each place."""
    y, x = np.mgrid[0:rows, 0:cols].astype(np.float32)
    middle_x, middle_y = rng.uniform(0.25, 0.75) * cols, rng.uniform(0.25, 0.75) * rows
    width = rng.uniform(0.35, 0.9) * cols
    far = ((x - middle_x) ** 2 + (y - middle_y) ** 2) / width**2
    return np.asarray(0.12 + 0.88 * np.exp(-far), np.float32)


def _lamp_colour(rng: np.random.Generator) -> Floats:
    """Return what a camera sees of the lamp itself: from violet (365 nm) to blue (450 nm)."""
    violet, blue = np.array([0.45, 0.08, 1.0]), np.array([0.04, 0.16, 1.0])
    share = rng.random()
    return np.asarray(share * violet + (1 - share) * blue, np.float32)


def _mirrored(white: Floats, rng: np.random.Generator) -> Floats:
    """Return the lamp mirrored where the photo has its highlights: blue to white."""
    bright = np.clip((white.mean(axis=2) - 0.55) / 0.4, 0, 1) ** 2 * rng.uniform(0.2, 2.0)
    colour = np.array([rng.uniform(0.25, 0.7), rng.uniform(0.3, 0.7), 1.0], np.float32)
    return np.asarray(bright[..., None] * colour, np.float32)


def _dye(is_wet: Bools, rng: np.random.Generator) -> tuple[Floats, Floats]:
    """Return the colour in which dye shines, and how thick the film is at each place, 0 to 1."""
    colour = np.array([rng.uniform(0.3, 0.85), 1.0, rng.uniform(0.02, 0.22)], np.float32)
    deep = cv2.distanceTransform(is_wet.astype(np.uint8), cv2.DIST_L2, 5)
    rough = rng.normal(0, 1, (is_wet.shape[0] // 12 + 2, is_wet.shape[1] // 12 + 2))
    size = (is_wet.shape[1], is_wet.shape[0])
    cloud = cv2.resize(rough.astype(np.float32), size, interpolation=cv2.INTER_CUBIC)
    film = (1 - np.exp(-deep / rng.uniform(2, 10))) * np.exp(0.5 * cloud)
    return colour, np.asarray(np.where(is_wet, np.clip(film, 0.02, 2.0), 0), np.float32)


def _others(rows: int, cols: int, rng: np.random.Generator) -> tuple[Floats, Bools]:
    """Return the light of other things that shine, and where they are."""
    light = np.zeros((rows, cols, 3), np.float32)
    where = np.zeros((rows, cols), np.uint8)
    for _ in range(int(rng.integers(0, 8))):
        _draw_lint(light, where, rng)
    if rng.random() < 0.4:
        _draw_label(light, where, rng)
    if rng.random() < 0.3:
        _draw_hand(light, where, rng)
    if rng.random() < 0.3:
        _draw_plastic(light, where, rng)
    return light, where > 0


def _brightener(rng: np.random.Generator) -> Floats:
    """Return the colour of paper, cloth and lint: optical brighteners shine at 420 to 460 nm.

    Old paper and oily cloth look greener than new ones.
    """
    colour = np.array([rng.uniform(0.25, 0.75), rng.uniform(0.45, 1.0), rng.uniform(0.75, 1.0)])
    return np.asarray(colour * rng.uniform(0.1, 1.2), np.float32)


def _draw(light: Floats, where: NDArray[np.uint8], shape: NDArray[np.uint8], of: Floats) -> None:
    soft = cv2.GaussianBlur(shape.astype(np.float32), (0, 0), 0.8)
    light += soft[..., None] * of
    where |= shape


def _draw_lint(light: Floats, where: NDArray[np.uint8], rng: np.random.Generator) -> None:
    rows, cols = where.shape
    at = np.array([rng.uniform(0, cols), rng.uniform(0, rows)])
    way = rng.uniform(0, 2 * np.pi)
    path = [at]
    for _ in range(int(rng.integers(4, 25))):
        way += rng.normal(0, 0.4)
        path.append(path[-1] + 5 * np.array([np.cos(way), np.sin(way)]))
    shape = np.zeros_like(where)
    cv2.polylines(shape, [np.array(path, np.int32)], False, 1, int(rng.integers(1, 4)))
    _draw(light, where, shape, _brightener(rng))


def _draw_label(light: Floats, where: NDArray[np.uint8], rng: np.random.Generator) -> None:
    rows, cols = where.shape
    middle = (rng.uniform(0.1, 0.9) * cols, rng.uniform(0.1, 0.9) * rows)
    box = (middle, (rng.uniform(0.05, 0.2) * cols, rng.uniform(0.03, 0.1) * cols))
    corners = cv2.boxPoints((*box, float(rng.uniform(0, 90))))
    shape = np.zeros_like(where)
    cv2.fillPoly(shape, [corners.astype(np.int32)], 1)
    _draw(light, where, shape, _brightener(rng))


def _draw_hand(light: Floats, where: NDArray[np.uint8], rng: np.random.Generator) -> None:
    """Skin shines faintly, bluish-white; so do most gloves."""
    rows, cols = where.shape
    shape = np.zeros_like(where)
    left = rng.uniform(0, 0.8) * cols
    for finger in range(4):
        middle = (left + finger * 0.05 * cols, rows - 0.05 * rows)
        box = (middle, (0.045 * cols, rng.uniform(0.2, 0.4) * rows), float(rng.uniform(-12, 12)))
        cv2.ellipse(shape, box, 1, -1)
    colour = np.array([rng.uniform(0.3, 0.6), rng.uniform(0.35, 0.6), 0.8])
    _draw(light, where, shape, np.asarray(colour * rng.uniform(0.03, 0.2), np.float32))


def _draw_plastic(light: Floats, where: NDArray[np.uint8], rng: np.random.Generator) -> None:
    rows, cols = where.shape
    middle = (rng.uniform(0.1, 0.9) * cols, rng.uniform(0.1, 0.9) * rows)
    box = (middle, (rng.uniform(0.02, 0.08) * cols, rng.uniform(0.02, 0.05) * cols), 20.0)
    shape = np.zeros_like(where)
    cv2.ellipse(shape, box, 1, -1)
    colour = np.array([1.0, rng.uniform(0.15, 0.5), 0.05]) * rng.uniform(0.1, 1.0)
    _draw(light, where, shape, np.asarray(colour, np.float32))


def _bloomed(light: Floats, rng: np.random.Generator) -> Floats:
    """Return light as it falls on the sensor: sharp, with a small and a wide halo."""
    share = rng.uniform(0.02, 0.08)
    near = cv2.GaussianBlur(light, (0, 0), light.shape[1] / 250)
    far = cv2.GaussianBlur(light, (0, 0), light.shape[1] / 50)
    sharp = cv2.GaussianBlur(light, (0, 0), rng.uniform(0.7, 1.6))
    return np.asarray((1 - share) * sharp + 0.7 * share * near + 0.3 * share * far, np.float32)


def _least_seen(exposed: Floats) -> float:
    """Return the shine below which nobody could tell dye from its surroundings: own judgement."""
    return max(0.006, 0.25 * float(np.median(exposed.max(axis=2))))


def _developed(light: Floats, rng: np.random.Generator) -> Rgb:
    """Return light as a camera writes it: noise of a dark photo, clipping, tone curve, JPEG."""
    grain = rng.uniform(0.002, 0.008)
    noise = rng.normal(0, 1, light.shape).astype(np.float32)
    seen = light + noise * np.sqrt(grain**2 + 0.0004 * np.clip(light, 0, 1))
    eight = np.round(255 * np.clip(seen, 0, 1) ** (1 / _GAMMA)).astype(np.uint8)
    smooth = cv2.bilateralFilter(eight, 5, 12, 3)  # as phones hide their noise
    quality = int(rng.integers(75, 95))
    _, packed = cv2.imencode(".jpg", smooth[:, :, ::-1], [cv2.IMWRITE_JPEG_QUALITY, quality])
    return np.ascontiguousarray(cv2.imdecode(packed, cv2.IMREAD_COLOR)[:, :, ::-1], np.uint8)
