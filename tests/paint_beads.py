"""Paint photos of beads of sealant whose widths and gaps are known, seen through a known map.

The flange is a plane: a place on it is (x, y) in mm, y down, and a (3, 3) homography takes it to
the photo. The bead follows a wavy line along x, stands up like half an ellipse, throws a shadow and
shines; light falls off and may dazzle; the photo is blurred, noisy and toned like a phone's.
"""

from dataclasses import dataclass, field

import cv2
import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

# Reflectances in linear light.
COLOURS = {
    "blue": (0.03, 0.10, 0.32),
    "red": (0.42, 0.04, 0.03),
    "amber": (0.50, 0.16, 0.03),
    "grey": (0.20, 0.21, 0.22),
    "black": (0.025, 0.025, 0.027),
    "clear": None,
}
GROUNDS = {
    "machined": (0.46, 0.46, 0.45),
    "cast": (0.26, 0.25, 0.235),
    "painted": (0.10, 0.17, 0.22),
}


@dataclass(frozen=True)
class Painting:
    """What to paint; lengths in mm.

    Attributes:
        gaps: (start, end) of each, along the bead.
        necks: (middle, length, share of the width left) of each; shares above 1 are blobs.
        reach_mm: How much of the flange the photo shows, along and across.
        dazzle: (x, y, radius, strength) of a bright spot; strength 1 saturates.
        cover: (x from, x to) of a hand across the flange.
        holes: (x, away, radius) of bolt holes, beside the bead's middle line at x.
    """

    colour: str = "blue"
    ground: str = "machined"
    width: float = 3.0
    gaps: tuple[tuple[float, float], ...] = ()
    necks: tuple[tuple[float, float, float], ...] = ()
    px_per_mm: float = 9.0
    reach_mm: tuple[float, float] = (150.0, 44.0)
    wander: float = 0.08
    waves: float = 2.5
    tilt: tuple[float, float] = (12.0, 8.0)
    blur_px: float = 0.8
    noise: float = 0.012
    exposure: float = 1.0
    light: tuple[float, float] = (0.5, -0.6)
    dazzle: tuple[float, float, float, float] | None = None
    cover: tuple[float, float] | None = None
    holes: tuple[tuple[float, float, float], ...] = ()
    gloss: float = 0.5
    is_toned: bool = True
    seed: int = 1


@dataclass(frozen=True)
class Painted:
    """A painted photo and what is true of it.

    Attributes:
        rgb: (rows, cols, 3).
        to_px: (3, 3), from mm on the flange to px.
        along_mm: (N,), of places on the bead's middle line.
        path_px: (N, 2), where they are seen.
        width_mm: (N,), of the bead there; 0 in a gap.
    """

    rgb: NDArray[np.uint8]
    to_px: Floats
    along_mm: Floats
    path_px: Floats
    width_mm: Floats
    what: Painting = field(default_factory=Painting)


def painted(what: Painting) -> Painted:
    """Return a painted photo."""
    draw = np.random.default_rng(what.seed)
    long, high = what.reach_mm
    size = (round(long * what.px_per_mm), round(high * what.px_per_mm))
    to_px = looking(what.tilt, what.px_per_mm, size)
    line = _Line(what, draw)
    twice = np.diag([2.0, 2.0, 1.0])
    twice[:2, 2] = 0.5  # the centre of the first pixel stays where it is
    flange = _flange(what, draw)
    wide, tall = size[0] * 2, size[1] * 2
    cols, rows = np.meshgrid(np.arange(wide, dtype=np.float64), np.arange(tall, dtype=np.float64))
    back = np.linalg.inv(twice @ to_px)
    depth = back[2, 0] * cols + back[2, 1] * rows + back[2, 2]
    x = (back[0, 0] * cols + back[0, 1] * rows + back[0, 2]) / depth
    y = (back[1, 0] * cols + back[1, 1] * rows + back[1, 2]) / depth
    light = _lit(what, line, flange, x, y, draw)
    light = cv2.resize(light.astype(np.float32), size, interpolation=cv2.INTER_AREA)
    rgb = _developed(light, what, draw)
    at = np.arange(line.x0 + 2, line.x1 - 2, 0.5)
    along = line.along(at)
    places = np.column_stack([at, line.middle(at)])
    return Painted(rgb, to_px, along, _through(to_px, places), line.width(along), what)


def looking(tilt: tuple[float, float], px_per_mm: float, size: tuple[int, int]) -> Floats:
    """Return the (3, 3) map from a plane in mm to the photo of a pin-hole camera.

    Args:
        tilt: By how many degrees the plane leans about the photo's x and y axis.
        px_per_mm: In the middle of the photo.
        size: Width and height in px.
    """
    focal = 0.98 * size[0]
    a, b = np.radians(tilt)
    about_x = np.array([[1, 0, 0], [0, np.cos(a), -np.sin(a)], [0, np.sin(a), np.cos(a)]])
    about_y = np.array([[np.cos(b), 0, np.sin(b)], [0, 1, 0], [-np.sin(b), 0, np.cos(b)]])
    turn = about_x @ about_y
    away = np.array([0.0, 0.0, focal / px_per_mm])
    camera = np.array([[focal, 0, (size[0] - 1) / 2], [0, focal, (size[1] - 1) / 2], [0, 0, 1]])
    return camera @ np.column_stack([turn[:, 0], turn[:, 1], away])


class _Line:
    """The bead's middle line y(x), and its width along it."""

    def __init__(self, what: Painting, draw: np.random.Generator) -> None:
        self.what = what
        long = what.reach_mm[0]
        self.x0, self.x1 = -0.75 * long, 0.75 * long  # longer than the photo
        self._x = np.arange(self.x0, self.x1, 0.1)
        phase, length = draw.uniform(0, 6.28, 2), draw.uniform([70, 25], [140, 45])
        self._y = what.waves * np.sin(6.28 * self._x / length[0] + phase[0])
        self._y = self._y + 0.08 * what.waves * np.sin(6.28 * self._x / length[1] + phase[1])
        self._s = np.append(0.0, np.cumsum(np.hypot(np.diff(self._x), np.diff(self._y))))
        self._s -= np.interp(-long / 2, self._x, self._s)  # 0 where the photo begins
        rough = np.convolve(draw.normal(size=len(self._x)), np.hanning(120), "same")
        self._wander = what.wander * rough / rough.std()

    def middle(self, x: Floats) -> Floats:
        return np.interp(x, self._x, self._y)

    def slope(self, x: Floats) -> Floats:
        return np.interp(x, self._x, np.gradient(self._y, self._x))

    def along(self, x: Floats) -> Floats:
        return np.interp(x, self._x, self._s)

    def width(self, along: Floats) -> Floats:
        width = self.what.width * (1 + np.interp(along, self._s, self._wander))
        for middle, length, share in self.what.necks:
            inside = np.clip(1 - (2 * (along - middle) / length) ** 2, 0, 1) ** 0.6
            width = width * (1 + (share - 1) * inside)
        for start, end in self.what.gaps:
            radius = 0.4 * self.what.width
            off = np.maximum(start - along, along - end)  # above 0 outside of the gap
            cap = np.sqrt(np.clip(1 - (1 - np.clip(off / radius, 0, 1)) ** 2, 0, 1))
            width = width * np.where(off <= 0, 0.0, cap)
        return width


def _flange(what: Painting, draw: np.random.Generator) -> Floats:
    """Return the bare flange's brightness in places 0.1 mm apart, about 1."""
    shape = (round(what.reach_mm[1] * 20), round(what.reach_mm[0] * 20))
    fine = draw.normal(size=shape)
    blotches = cv2.GaussianBlur(draw.normal(size=shape), (0, 0), 40)
    blotches /= blotches.std()
    if what.ground == "machined":
        lines = cv2.GaussianBlur(fine, (0, 0), sigmaX=25, sigmaY=1.0)
        turn = cv2.getRotationMatrix2D((shape[1] / 2, shape[0] / 2), draw.uniform(-35, 35), 1.3)
        lines = cv2.warpAffine(lines, turn, shape[::-1], borderMode=cv2.BORDER_REFLECT)
        return np.exp(0.09 * lines / lines.std() + 0.05 * blotches)
    if what.ground == "cast":
        grain = cv2.GaussianBlur(fine, (0, 0), 2.5)
        stains = np.minimum(blotches, 0.0)
        return np.exp(0.16 * grain / grain.std() + 0.28 * stains)
    skin = cv2.GaussianBlur(fine, (0, 0), 5)
    return np.exp(0.05 * skin / skin.std() + 0.04 * blotches)


def _lit(
    what: Painting, line: _Line, flange: Floats, x: Floats, y: Floats, draw: np.random.Generator
) -> Floats:
    """Return (rows, cols, 3), the light that comes from each place."""
    slope = line.slope(x)
    across = (y - line.middle(x)) / np.hypot(1, slope)
    along = line.along(x + across * slope / np.hypot(1, slope))
    width = line.width(along)
    share = np.where(width > 0.05, 2 * across / np.maximum(width, 0.05), 9.0)
    is_bead = np.abs(share) < 1
    height = 0.55 * np.sqrt(np.clip(1 - share**2, 1e-4, 1))
    lean = np.where(is_bead, -share * 0.55 / np.maximum(height / 0.55, 0.12) * 1.1, 0.0)
    size = np.sqrt(1 + lean**2)
    light = np.array([*what.light, 1.0]) / np.linalg.norm([*what.light, 1.0])
    # The bead leans across; its line is nearly along x, so "across" is y.
    lit = np.clip((-lean * light[1] + light[2]) / size, 0, 1) / light[2]
    half = np.array([0, light[1], light[2] + 1.0])
    half /= np.linalg.norm(half)
    shine = np.clip((-lean * half[1] + half[2]) / size, 0, 1) ** 60
    at = [
        (places + reach * 0.5 * 2) * 10
        for places, reach in ((x, what.reach_mm[0]), (y, what.reach_mm[1]))
    ]
    rough = cv2.remap(
        flange.astype(np.float32), at[0].astype(np.float32), at[1].astype(np.float32),
        cv2.INTER_LINEAR, borderMode=cv2.BORDER_REFLECT,
    )  # fmt: skip
    ground = np.array(GROUNDS[what.ground])[None, None] * rough[..., None]
    beyond = np.abs(across) - width / 2
    away = np.sign(across) * np.sign(-light[1])  # where the bead hides the light
    shadow = np.exp(-np.clip(beyond, 0, None) / (0.12 * what.width)) * np.where(away > 0, 0.6, 0.25)
    shadow = np.where((width > 0.05) & ~is_bead, shadow, 0.0)
    ground = ground * (1 - shadow)[..., None]
    colour = COLOURS[what.colour]
    if colour is None:  # what lies under it shines through, a little darker towards its edges
        body = ground * (0.86 - 0.25 * np.clip(np.abs(share), 0, 1) ** 4)[..., None]
        body = body * (0.75 + 0.25 * lit)[..., None]
    else:
        body = np.array(colour)[None, None] * (0.3 + 0.7 * lit)[..., None] * np.ones_like(ground)
    body = body + (what.gloss * shine)[..., None]
    seen = np.where(is_bead[..., None], body, ground)
    fall = np.exp(0.35 * x / what.reach_mm[0] * draw.choice([-1, 1]) + 0.2 * y / what.reach_mm[1])
    seen = seen * fall[..., None] * 1.6
    if what.dazzle is not None:
        dx, dy, radius, strength = what.dazzle
        spot = strength * np.exp(-((x - dx) ** 2 + (y - dy) ** 2) / radius**2 / 2)
        seen = seen + (spot * (2.0 if what.ground == "machined" else 1.2))[..., None]
    for at_x, off, radius in what.holes:
        place = np.array([at_x])
        from_middle = np.hypot(x - at_x, y - line.middle(place)[0] - off)
        rim = np.exp(-(((from_middle - radius) / 0.25) ** 2))
        dark = ground * 0.04 + (0.4 * rim)[..., None] * ground
        seen = np.where(((from_middle < radius) & ~is_bead)[..., None], dark, seen)
    if what.cover is not None:
        hand = (x > what.cover[0]) & (x < what.cover[1])
        skin = np.array([0.45, 0.27, 0.19])[None, None] * (0.8 + 0.2 * np.cos(x / 3)[..., None])
        seen = np.where(hand[..., None], skin, seen)
    return seen * what.exposure


def _developed(
    light: NDArray[np.float32], what: Painting, draw: np.random.Generator
) -> NDArray[np.uint8]:
    if what.blur_px > 0:
        light = cv2.GaussianBlur(light, (0, 0), what.blur_px)
    light = light + draw.normal(size=light.shape) * what.noise * np.sqrt(
        np.maximum(light, 0) + 0.05
    )
    if what.is_toned:
        light = np.clip(light, 0, None)
        light = np.where(light > 0.7, 0.7 + 0.3 * (1 - np.exp(-(light - 0.7) / 0.3)), light)
        value = np.clip(light, 0, 1) ** (1 / 2.2)
    else:
        value = np.clip(light, 0, 1)
    rgb = np.clip(np.round(255 * value), 0, 255).astype(np.uint8)
    _, packed = cv2.imencode(".jpg", rgb[..., ::-1], [cv2.IMWRITE_JPEG_QUALITY, 88])
    return np.ascontiguousarray(cv2.imdecode(packed, cv2.IMREAD_COLOR)[..., ::-1])


def _through(homography: Floats, places: Floats) -> Floats:
    there = np.column_stack([places, np.ones(len(places))]) @ homography.T
    return there[:, :2] / there[:, 2:]
