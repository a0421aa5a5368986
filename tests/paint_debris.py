"""Paint paper with debris whose sizes are known, in light of any colour and from any side."""

from dataclasses import dataclass, field

import cv2
import numpy as np

PX_PER_MM = 10.0
_FINER = 4
_SIZE_MM = (150.0, 110.0)
_TARGET_MM = 30.0
_REACH_PX = 75  # of the largest particle, from its middle

LOOKS = {
    "dark_clump": (24, 22, 21),
    "sealant_crumb": (190, 96, 28),
    "grey_crumb": (112, 116, 122),
    "fibre": (70, 90, 150),
    "metal": (120, 120, 118),
}


@dataclass
class Painted:
    """One particle as painted: its kind, middle in px, and its calipers in mm."""

    kind: str
    at: tuple[float, float]
    length_mm: float
    width_mm: float


@dataclass
class Scene:
    rgb: np.ndarray
    particles: list[Painted] = field(default_factory=list)


def painted(seed, *, light=(1.0, 0.97, 0.9), shade=0.25, has_target=True, noise=4.0):
    """Return paper with folds, oil stains, a target and about twenty particles.

    Args:
        seed: For all that is random.
        light: What the light does to red, green and blue.
        shade: How much darker the far side is.
    """
    rng = np.random.default_rng(seed)
    cols, rows = (round(side * PX_PER_MM) for side in _SIZE_MM)
    y, x = np.mgrid[0:rows, 0:cols].astype(np.float32)
    paper = np.full((rows, cols, 3), 225.0, np.float32)
    for _ in range(14):  # folds
        angle, offset = rng.uniform(0, np.pi), rng.uniform(-600, 1400)
        away = np.abs(x * np.cos(angle) + y * np.sin(angle) - offset)
        paper -= (rng.uniform(4, 12) * np.exp(-((away / 4) ** 2)))[..., None]
    for _ in range(4):  # oil
        middle, radius = rng.uniform((200, 200), (cols - 200, rows - 200)), rng.uniform(60, 190)
        far = np.hypot(x - middle[0], y - middle[1]) / radius
        depth = 1 / (1 + np.exp((far - 1) * 18))
        paper -= depth[..., None] * np.array([14, 30, 55], np.float32)
    found = []
    places = _places(rng, cols, rows)
    if has_target:
        _target(paper)
    kinds = ["dark_clump"] * 10 + ["sealant_crumb"] * 4 + ["grey_crumb"] * 2
    kinds += ["fibre"] * 2 + ["metal"] * 2
    for kind, at in zip(kinds, places, strict=False):
        found.append(_particle(rng, paper, kind, at))
    rgb = paper * (np.array(light) * (1 - shade * x / cols)[..., None])
    rgb = cv2.GaussianBlur(rgb, (0, 0), 0.8) + rng.normal(0, noise, rgb.shape)
    return Scene(np.clip(rgb, 0, 255).astype(np.uint8), found)


def _places(rng, cols, rows):
    """Places that keep off each other, the rim and the target's corner."""
    found = []
    while len(found) < 20:
        at = rng.uniform((90, 90), (cols - 90, rows - 90))
        is_free = all(np.hypot(*(at - other)) > 95 for other in found)
        if is_free and not (at[0] < 640 and at[1] < 640):
            found.append(at)
    return found


def _target(paper):
    marker = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_4X4_50)
    side = round(_TARGET_MM * PX_PER_MM)
    black = cv2.aruco.generateImageMarker(marker, 17, side).astype(np.float32)
    margin = side // 5
    card = np.full((side + 2 * margin,) * 2, 235.0, np.float32)
    card[margin:-margin, margin:-margin] = np.clip(black, 25, 235)
    paper[100 : 100 + len(card), 100 : 100 + len(card)] = card[..., None]


def _particle(rng, paper, kind, at):
    length = rng.uniform(1.0, 5.0) if kind != "metal" else rng.uniform(1.0, 1.6)
    if kind == "fibre":
        outline = _fibre(rng, rng.uniform(6, 12))
    else:
        outline = _lump(rng, length, rng.uniform(0.5, 0.9))
    first = np.floor(at - _REACH_PX).astype(int)
    side = 2 * _REACH_PX + 1
    corners = (outline * PX_PER_MM + at - first + 0.5) * _FINER - 0.5
    mask = np.zeros((side * _FINER,) * 2, np.float32)
    cv2.fillPoly(mask, [np.rint(corners).astype(np.int32)], 1)
    patch = paper[first[1] : first[1] + side, first[0] : first[0] + side]
    _cover(patch, mask, np.array(LOOKS[kind]) + rng.normal(0, 6, patch.shape))
    if kind == "metal":  # one side of it mirrors the lamp
        mask[:, : int((at[0] - first[0]) * _FINER)] = 0
        _cover(patch, mask, np.full(patch.shape, 262.0))
    hull = cv2.convexHull(outline.astype(np.float32)).reshape(-1, 2)
    turns = np.linspace(0, np.pi, 721)
    spans = np.ptp(hull @ np.stack([np.cos(turns), np.sin(turns)]), axis=0)
    name = "sealant_crumb" if kind == "grey_crumb" else kind
    return Painted(name, tuple(at), float(spans.max()), float(spans.min()))


def _cover(patch, mask, colour):
    """Paint a colour over a patch, as far as each pixel is covered by a finer mask."""
    share = cv2.resize(mask, patch.shape[1::-1], interpolation=cv2.INTER_AREA)[..., None]
    patch += share * (colour - patch)


def _lump(rng, length, slim):
    turns = np.sort(rng.uniform(0, 2 * np.pi, 22))
    radii = rng.uniform(0.75, 1.0, 22)
    lump = np.stack([radii * np.cos(turns), slim * radii * np.sin(turns)], axis=1)
    angle = rng.uniform(0, np.pi)
    turn = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])
    return lump @ turn.T * length / 2


def _fibre(rng, length):
    along = np.linspace(-0.5, 0.5, 40)
    middle = np.stack([along, rng.uniform(0.05, 0.15) * np.sin(along * 5)], axis=1) * length
    across = np.gradient(middle, axis=0)[:, ::-1] * [-1, 1]
    across /= np.linalg.norm(across, axis=1)[:, None]
    return np.concatenate([middle + 0.3 * across, (middle - 0.3 * across)[::-1]])
