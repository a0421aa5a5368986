"""Paint oil, and what only looks like it, onto photos: more truth than was photographed.

What oil does to light was measured on rendered photos: against its surroundings a fresh film takes
away 0.3 to 0.8 of red, 0.5 to 1.3 of green and 0.8 to 2 of blue, an old one 1.6 of all three (in
natural logarithms). Everything else is own judgement of how such things look.
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
class Painted:
    """A photo with something painted on it.

    Attributes:
        oil: (rows, cols) where it is oil now.
        other: (rows, cols) where it was changed otherwise.
    """

    rgb: Rgb
    oil: Bools
    other: Bools


def painted(rgb: Rgb, allowed: Bools, rng: np.random.Generator) -> Painted:
    """Return the photo with a few runs of oil and a few other things, at random places.

    Args:
        rgb: (rows, cols, 3).
        allowed: (rows, cols) where oil may start.
        rng: Tells where and how.
    """
    light = (rgb.astype(np.float32) / 255) ** _GAMMA
    oil, other = np.zeros(rgb.shape[:2], bool), np.zeros(rgb.shape[:2], bool)
    for _ in range(int(rng.integers(2, 5))):
        other |= _OTHERS[int(rng.integers(len(_OTHERS)))](light, rng)
    places = np.argwhere(allowed)
    for _ in range(int(rng.integers(1, 5)) if len(places) else 0):
        row, col = places[int(rng.integers(len(places)))]
        oil |= _paint_oil(light, int(col), int(row), rng)
    if rng.random() < 0.7:
        _change_light(light, rng)
    return Painted(_developed(light, rng), oil, other & ~oil)


def relit(rgb: Rgb, rng: np.random.Generator) -> Rgb:
    """Return the photo in other light and from another camera, with nothing else changed."""
    light = (rgb.astype(np.float32) / 255) ** _GAMMA
    _change_light(light, rng)
    return _developed(light, rng)


def _paint_oil(light: Floats, x: int, y: int, rng: np.random.Generator) -> Bools:
    size = float(np.exp(rng.uniform(np.log(6), np.log(30))))
    mask = run_shape(light.shape[:2], x, y, size, rng)
    soft = cv2.GaussianBlur(mask.astype(np.float32), (0, 0), float(rng.uniform(0.7, 1.5)))
    depth = cv2.distanceTransform(mask.astype(np.uint8), cv2.DIST_L2, 3)
    depth = 0.75 + 0.25 * np.clip(depth / (0.5 * size), 0, 1) + 0.12 * _cloud(mask.shape, 9, rng)
    age, amount = rng.random(), float(np.exp(rng.uniform(np.log(0.5), np.log(1.7))))
    taken = np.array([0.62 + 0.38 * age, 1, 1.5 - 0.47 * age], np.float32) * amount
    kept = np.exp(-depth[..., None] * taken)
    light *= 1 + soft[..., None] * (kept - 1)
    glints = (_cloud(mask.shape, 2.5, rng) > rng.uniform(1.6, 3)) & mask
    shine = cv2.GaussianBlur(glints.astype(np.float32), (0, 0), 0.8)[..., None]
    light += shine * np.float32(rng.uniform(0, 0.5))
    return np.asarray(mask, bool)


def run_shape(
    shape: tuple[int, ...], x: int, y: int, size: float, rng: np.random.Generator
) -> Bools:
    """Return a run: a head that spreads along a joint, arms that wander down, a drop at their end.

    Args:
        shape: Rows and columns.
        x: Where it starts.
        y: Where it starts.
        size: Its width, px.
        rng: Tells how it runs.
    """
    mask = np.zeros(shape[:2], np.uint8)
    head = (int(size * rng.uniform(0.6, 2.2)), max(1, int(size * rng.uniform(0.15, 0.5))))
    cv2.ellipse(mask, (x, y), head, float(rng.uniform(-8, 8)), 0, 360, 1, -1)
    for _ in range(1 if rng.random() < 0.75 else 2):
        at, wide = np.array([x + rng.normal(0, 0.3 * size), y]), size * rng.uniform(0.3, 0.6)
        drift = rng.normal(0, 0.12)
        length = size * rng.uniform(0.3, 9)
        for walked in np.arange(0, length, 1.5):
            drift = 0.93 * drift + rng.normal(0, 0.06)
            at = at + np.array([1.5 * drift, 1.5])
            swell = wide * (0.75 + 0.25 * np.sin(walked / (1.3 * size) + x) + rng.normal(0, 0.05))
            cv2.circle(mask, (int(at[0]), int(at[1])), max(1, int(swell)), 1, -1)
        end = max(1, int(wide * rng.uniform(0.9, 1.6)))
        cv2.circle(mask, (int(at[0]), int(at[1])), end, 1, -1)
    rough = cv2.GaussianBlur(mask.astype(np.float32), (0, 0), 1.2)
    return np.asarray(rough + 0.12 * _cloud(mask.shape, 3, rng) > 0.5)


def _paint_streak(light: Floats, rng: np.random.Generator) -> Bools:
    """Dry grime: dull, without sharp ends, hardly tinted."""
    x, y = _anywhere(light, rng)
    size = float(rng.uniform(6, 22))
    mask = run_shape(light.shape[:2], x, y, size, rng)
    soft = cv2.GaussianBlur(mask.astype(np.float32), (0, 0), size * float(rng.uniform(0.35, 0.8)))
    soft = np.clip(soft * (0.8 + 0.5 * _cloud(mask.shape, 4, rng)), 0, 1)
    taken = np.array([0.9, 1, 1.1], np.float32) * rng.uniform(0.3, 1.1)
    light *= np.exp(-soft[..., None] * taken)
    return np.asarray(soft > 0.25)


def _paint_rust(light: Floats, rng: np.random.Generator) -> Bools:
    """Rust: reddish, blotchy, with a frayed edge."""
    x, y = _anywhere(light, rng)
    ys, xs = np.mgrid[: light.shape[0], : light.shape[1]].astype(np.float32)
    size = float(rng.uniform(8, 35))
    far = np.hypot(xs - x, (ys - y) / rng.uniform(0.8, 1.8)) / size
    blotch = np.clip(1.2 - far + 0.45 * _cloud(far.shape, 4, rng), 0, 1)
    colour = np.array([0.30, 0.12, 0.05], np.float32) * rng.uniform(0.4, 1.1)
    share = (np.clip(2 * blotch, 0, 1) * rng.uniform(0.35, 0.85))[..., None]
    light += share * (colour * _around(light, x, y) / 0.3 - light)
    return np.asarray(blotch > 0.15)


def _paint_residue(light: Floats, rng: np.random.Generator) -> Bools:
    """Dried coolant or dust: a pale veil, greenish, pinkish or white, with a paler rim."""
    x, y = _anywhere(light, rng)
    size = float(rng.uniform(8, 26))
    mask = run_shape(light.shape[:2], x, y, size, rng)
    soft = cv2.GaussianBlur(mask.astype(np.float32), (0, 0), float(rng.uniform(1, 6)))
    tint = np.array([1.0, 1.0, 1.0], np.float32) + rng.uniform(-0.25, 0.25, 3).astype(np.float32)
    veil = tint * _around(light, x, y) * rng.uniform(1.1, 1.8)
    cover = (soft * np.clip(0.6 + 0.3 * _cloud(mask.shape, 3, rng), 0, 1))[..., None]
    light += cover * rng.uniform(0.3, 0.8) * (veil - light)
    return np.asarray(soft > 0.25)


def _paint_cable(light: Floats, rng: np.random.Generator) -> Bools:
    """A cable or hose that lies there now: shaded, in any colour, with a shadow beside it."""
    rows, cols = light.shape[:2]
    ends = [np.array(_anywhere(light, rng), float) for _ in range(3)]
    steps = np.linspace(0, 1, 60)[:, None]
    path = (1 - steps) ** 2 * ends[0] + 2 * steps * (1 - steps) * ends[1] + steps**2 * ends[2]
    wide = int(rng.integers(3, 30))
    is_black = rng.random() < 0.5
    colour = np.full(3, rng.uniform(0.005, 0.1)) if is_black else rng.uniform(0.01, 0.5, 3)
    shadow, body, shine = (np.zeros((rows, cols), np.uint8) for _ in range(3))
    points = path.round().astype(np.int32)[:, None]
    cv2.polylines(shadow, [points + np.array([wide // 2, wide // 2 + 2])], False, 1, wide + 2)
    cv2.polylines(body, [points], False, 1, wide, cv2.LINE_AA)
    cv2.polylines(shine, [points - wide // 5], False, 1, max(1, wide // 5), cv2.LINE_AA)
    dim = cv2.GaussianBlur(shadow.astype(np.float32), (0, 0), 2)[..., None]
    light *= 1 - dim * np.float32(rng.uniform(0, 0.6))
    light[body > 0] = colour
    glow = cv2.GaussianBlur(shine.astype(np.float32), (0, 0), 1)[..., None]
    light += glow * np.float32(rng.uniform(0, 0.4))
    return np.asarray((shadow | body) > 0)


def _paint_shadow(light: Floats, rng: np.random.Generator) -> Bools:
    """The shadow of something outside the picture: sharp or soft, bluish or not."""
    rows, cols = light.shape[:2]
    mask = np.zeros((rows, cols), np.float32)
    first, last = _anywhere(light, rng), _anywhere(light, rng)
    cv2.line(mask, first, last, 1.0, int(rng.integers(6, 160)))
    soft = cv2.GaussianBlur(mask, (0, 0), float(rng.uniform(1, 12)))
    taken = np.array([1, 1 - rng.uniform(0, 0.1), 1 - rng.uniform(0, 0.3)], np.float32)
    light *= np.exp(-soft[..., None] * taken * np.float32(rng.uniform(0.3, 1.6)))
    return np.asarray(soft > 0.15)


def _paint_glare(light: Floats, rng: np.random.Generator) -> Bools:
    """Where a lamp mirrors: bright, soft, sometimes burnt out."""
    x, y = _anywhere(light, rng)
    ys, xs = np.mgrid[: light.shape[0], : light.shape[1]].astype(np.float32)
    far = np.hypot((xs - x) / rng.uniform(8, 70), (ys - y) / rng.uniform(8, 50))
    glow = np.exp(-(far**2))
    light += (glow * rng.uniform(0.1, 1.2))[..., None].astype(np.float32)
    return np.asarray(glow > 0.1)


_OTHERS = (
    _paint_streak,
    _paint_streak,
    _paint_rust,
    _paint_residue,
    _paint_cable,
    _paint_cable,
    _paint_shadow,
    _paint_shadow,
    _paint_glare,
)


def _change_light(light: Floats, rng: np.random.Generator) -> None:
    """Change exposure, white balance and a smooth field of light."""
    rows, cols = light.shape[:2]
    field = rng.normal(0, 0.25, (3, 4)).astype(np.float32)
    shade = cv2.resize(field, (cols, rows), interpolation=cv2.INTER_CUBIC)
    balance = np.exp(rng.normal(0, 0.12, 3)).astype(np.float32)
    light *= np.exp(shade + np.float32(rng.normal(0, 0.2)))[..., None] * balance


def _developed(light: Floats, rng: np.random.Generator) -> Rgb:
    """Return what the camera makes of it: blur, noise, a gamma."""
    blur = float(rng.uniform(0.2, 1.1))
    seen = np.asarray(cv2.GaussianBlur(light, (0, 0), blur))
    stored = np.clip(seen, 0, 1) ** (1 / (_GAMMA * rng.uniform(0.93, 1.07)))
    noise = rng.normal(0, rng.uniform(0.002, 0.012), light.shape).astype(np.float32)
    return np.clip((stored + noise) * 255, 0, 255).astype(np.uint8)


def _anywhere(light: Floats, rng: np.random.Generator) -> tuple[int, int]:
    return int(rng.integers(light.shape[1])), int(rng.integers(light.shape[0]))


def _around(light: Floats, x: int, y: int) -> Floats:
    """Return the brightness round a place, so that what is painted there is lit alike."""
    part = light[max(0, y - 12) : y + 13, max(0, x - 12) : x + 13]
    return np.float32(part.mean()) * np.ones(3, np.float32)


def _cloud(shape: tuple[int, ...], grain_px: float, rng: np.random.Generator) -> Floats:
    """Return noise of one grain size, mean 0, spread 1."""
    rows, cols = int(shape[0] / grain_px) + 2, int(shape[1] / grain_px) + 2
    coarse = rng.normal(0, 1, (rows, cols)).astype(np.float32)
    return np.asarray(
        cv2.resize(coarse, (shape[1], shape[0]), interpolation=cv2.INTER_CUBIC), np.float32
    )
