"""How well are particles on paper found, measured and told apart?"""

import json
import tempfile
from pathlib import Path

import numpy as np
from PIL import Image

from leaktrack.model.debris import Particle
from leaktrack.workflows.count_debris import count_debris
from tests.paint_debris import painted

_KINDS = {
    "graphite": "dark_clump",
    "sealant_amber": "sealant_crumb",
    "sealant_grey": "sealant_crumb",
    "metal_flake": "metal",
}
_LEAST_MM = 1.0
_NEAR_PX = 15.0
_PAINTED = (
    {"light": (1.0, 0.97, 0.9)},
    {"light": (0.8, 0.9, 1.0)},
    {"light": (0.9, 0.75, 0.55)},
    {"noise": 8.0},
    {"shade": 0.45},
)

True_ = tuple[str, float, float, float, float]
"""Kind, x, y in px, length and width in mm."""


def report(folder: Path) -> None:
    """Measure the rendered strainer photo, and painted ones in other light."""
    print(f"{'':24} {'found':>9} {'false':>5} {'size right':>10} {'kind right':>10}   off, median")
    for truth in sorted(folder.rglob("truth_strainer.json")):
        told = json.loads(truth.read_text(encoding="utf-8"))
        particles = [
            (_KINDS[one["cls"]], *one["centre_px"], one["length_mm"], one["width_mm"])
            for one in told["particles"]
        ]
        _print("rendered", truth.parent / told["file"], particles)
    with tempfile.TemporaryDirectory() as made:
        for number, style in enumerate(_PAINTED):
            scene = painted(900 + number, **style)
            path = Path(made) / f"{number}.png"
            Image.fromarray(scene.rgb).save(path)
            name = "painted, " + ", ".join(style)
            _print(
                f"{name} {number}",
                path,
                [(one.kind, *one.at, one.length_mm, one.width_mm) for one in scene.particles],
            )


def _print(name: str, photo: Path, truth: list[True_]) -> None:
    found = list(count_debris(photo).particles)
    pairs = [(one, _nearest(one, found)) for one in truth]
    large = [(one, seen) for one, seen in pairs if one[3] >= _LEAST_MM]
    seen = [(one, each) for one, each in large if each is not None]
    claimed = {id(each) for _, each in pairs if each is not None}
    sizes = [_is_near(each.length, one[3]) and _is_near(each.width, one[4]) for one, each in seen]
    off = [abs(each.length - one[3]) for one, each in seen]
    kinds = [each.kind.value == one[0] for one, each in pairs if each is not None]
    false = sum(id(each) not in claimed for each in found)
    print(
        f"{name:24} {len(seen):3} of {len(large):2} {false:5} {np.mean(sizes):10.0%} "
        f"{np.mean(kinds):10.0%}   {np.median(off):.2f} mm"
    )


def _nearest(one: True_, found: list[Particle]) -> Particle | None:
    away = [np.hypot(each.at.x - one[1], each.at.y - one[2]) for each in found]
    return found[int(np.argmin(away))] if away and min(away) < _NEAR_PX else None


def _is_near(told: float, true: float) -> bool:
    return abs(told - true) <= max(0.2, 0.1 * true)
