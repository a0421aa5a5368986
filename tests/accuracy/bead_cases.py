"""Beads whose truth is known: photographed ones from a truth folder, and painted ones.

A photographed bead's truth file lies beside its photo and has ``bead_mask``, ``file``, ``colour``,
``nominal_width_mm``, ``joint`` (``arclength_mm``, ``px_on_face``, ``visible``, ``local_width_mm``)
and ``defects`` (``type``, ``arclength_start_mm``, ``arclength_end_mm``).
"""

import json
from collections.abc import Collection, Iterator
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.reading import read_upright
from tests.paint_beads import COLOURS, GROUNDS, Painting, painted

Floats = NDArray[np.float64]
CLICK_EVERY_MM, CLICK_ERROR_MM = 8.0, 0.25


@dataclass(frozen=True)
class BeadCase:
    """One bead in one photo, with a path along it.

    Attributes:
        path_px: (N, 2), the path that is given.
        path_mm: (N,), how far along each of its points lies.
        along_mm: (K,), places whose width is known.
        width_mm: (K,), 0 in a gap.
        gaps: (start, end) of each that lies wholly on the path.
        others: Necks and blobs: kind, start, end.
    """

    name: str
    rgb: NDArray[np.uint8]
    nominal: float
    path_px: Floats
    path_mm: Floats
    along_mm: Floats
    width_mm: Floats
    gaps: tuple[tuple[float, float], ...]
    others: tuple[tuple[str, float, float], ...]

    def clicked(self, seed: int) -> "BeadCase":
        """Return the case with the path that a person would click."""
        draw = np.random.default_rng(seed)
        kept = [0]
        for index, place in enumerate(self.path_mm):
            if place - self.path_mm[kept[-1]] >= CLICK_EVERY_MM * draw.uniform(0.8, 1.2):
                kept.append(index)
        if kept[-1] != len(self.path_mm) - 1:
            kept.append(len(self.path_mm) - 1)
        steps = np.linalg.norm(np.gradient(self.path_px, axis=0), axis=1)
        px_per_mm = float(np.median(steps / np.gradient(self.path_mm)))
        off = draw.normal(0, CLICK_ERROR_MM * px_per_mm, (len(kept), 2))
        return replace(
            self,
            name=f"{self.name} clicks {seed}",
            path_px=self.path_px[kept] + off,
            path_mm=self.path_mm[kept],
        )


def photographed(folder: Path) -> Iterator[BeadCase]:
    """Yield every photographed bead below a folder."""
    for path in sorted(folder.rglob("*.json")):
        truth = json.loads(path.read_text(encoding="utf-8"))
        if not isinstance(truth, dict) or "bead_mask" not in truth:
            continue
        joint = truth["joint"]
        is_seen = np.array(joint["visible"]) > 0
        along = np.array(joint["arclength_mm"], float)[is_seen]
        photo = path.parent / truth["file"]
        name = path.parent.name if path.stem == "truth" else path.stem
        faults = [
            (fault["type"], fault["arclength_start_mm"], fault["arclength_end_mm"])
            for fault in truth["defects"]
            if along[0] < fault["arclength_start_mm"] and fault["arclength_end_mm"] < along[-1]
        ]
        yield BeadCase(
            f"{name} {truth['colour']}",
            read_upright(photo),
            truth["nominal_width_mm"],
            np.array(joint["px_on_face"], float)[is_seen],
            along,
            along,
            np.array(joint["local_width_mm"], float)[is_seen],
            tuple((start, end) for kind, start, end in faults if kind == "gap"),
            tuple(fault for fault in faults if fault[0] != "gap"),
        )


def drawn(seed: int, colours: Collection[str] = tuple(COLOURS)) -> Iterator[BeadCase]:
    """Yield a painted bead for every colour on every ground, seen and lit at random."""
    for number, (ground, colour) in enumerate((g, c) for g in GROUNDS for c in COLOURS):
        if colour not in colours:
            continue
        draw = np.random.default_rng(1000 * seed + number)
        width = draw.uniform(2.0, 4.0)
        starts = draw.uniform([12, 78], [55, 120])
        gaps = tuple((start, start + draw.uniform(2.0, 5.5)) for start in starts)
        if draw.random() < 0.35:
            gaps = ()
        neck = (draw.uniform(64, 70), draw.uniform(6, 10), draw.uniform(0.35, 0.6))
        necks = (neck,) if draw.random() < 0.5 else ()
        what = Painting(
            colour=colour,
            ground=ground,
            width=width,
            gaps=gaps,
            necks=necks,
            px_per_mm=draw.uniform(6, 12),
            reach_mm=(140.0, 36.0),
            wander=draw.uniform(0.02, 0.06),
            waves=draw.uniform(0, 5),
            tilt=tuple(draw.uniform(-20, 20, 2)),
            blur_px=draw.uniform(0.5, 1.4),
            noise=draw.uniform(0.004, 0.02),
            exposure=draw.uniform(0.5, 1.3),
            light=tuple(draw.uniform(-0.8, 0.8, 2)),
            gloss=draw.uniform(0.1, 0.7),
            seed=1000 * seed + number,
        )
        yield _of_painting(what)


def drawn_hard(seed: int) -> Iterator[BeadCase]:
    """Yield painted beads that are hard to see: blurred, noisy, dazzled, small, of like colours."""
    pairs = (
        ("machined", "grey"), ("machined", "clear"), ("cast", "black"), ("cast", "grey"),
        ("cast", "clear"), ("painted", "black"), ("painted", "clear"), ("machined", "blue"),
    )  # fmt: skip
    for number, (ground, colour) in enumerate(pairs):
        draw = np.random.default_rng(77_000 + 100 * seed + number)
        width = draw.uniform(2.0, 4.0)
        gaps = tuple((s, s + draw.uniform(0.8, 6.0)) for s in draw.uniform([12, 62], [48, 90]))
        share = draw.uniform(0.35, 0.9) if draw.random() < 0.5 else draw.uniform(1.15, 1.8)
        what = Painting(
            colour=colour,
            ground=ground,
            width=width,
            gaps=gaps if draw.random() < 0.6 else (),
            necks=((draw.uniform(50, 58), draw.uniform(3, 8), share),),
            px_per_mm=draw.uniform(4, 7.5),
            reach_mm=(110.0, 32.0),
            wander=draw.uniform(0.03, 0.1),
            waves=draw.uniform(0, 5),
            tilt=tuple(draw.uniform(-25, 25, 2)),
            blur_px=draw.uniform(0.8, 3.0),
            noise=draw.uniform(0.01, 0.05),
            exposure=draw.uniform(0.25, 1.6),
            light=tuple(draw.uniform(-1.2, 1.2, 2)),
            dazzle=(draw.uniform(-30, 30), draw.uniform(-6, 6), draw.uniform(2, 8), 1.5)
            if draw.random() < 0.5
            else None,
            gloss=draw.uniform(0.1, 0.9),
            seed=77_000 + 100 * seed + number,
        )
        yield _of_painting(what)


def drawn_faulty(seed: int) -> Iterator[BeadCase]:
    """Yield short painted beads with places about as thin or thick as allowed, and bolt holes."""
    for number, (ground, colour) in enumerate((g, c) for g in GROUNDS for c in COLOURS):
        draw = np.random.default_rng(88_000 + 100 * seed + number)
        width = draw.uniform(2.0, 4.0)
        shares = [
            draw.uniform(0.4, 0.95) if draw.random() < 0.4 else draw.uniform(1.05, 1.8)
            for _ in range(2)
        ]
        what = Painting(
            colour=colour,
            ground=ground,
            width=width,
            gaps=((54.0, 54 + draw.uniform(0.8, 4.0)),) if draw.random() < 0.5 else (),
            necks=tuple(
                (middle, draw.uniform(3, 9), share)
                for middle, share in zip((18.0, 38.0), shares, strict=True)
            ),
            px_per_mm=draw.uniform(5, 9),
            reach_mm=(70.0, 30.0),
            wander=draw.uniform(0.02, 0.09),
            waves=draw.uniform(0, 4),
            tilt=tuple(draw.uniform(-20, 20, 2)),
            blur_px=draw.uniform(0.5, 2.0),
            noise=draw.uniform(0.005, 0.03),
            exposure=draw.uniform(0.4, 1.4),
            light=tuple(draw.uniform(-0.9, 0.9, 2)),
            holes=tuple(
                (x, draw.choice([-1, 1]) * (width / 2 + 3 + draw.uniform(0.2, 2.5)), 3.0)
                for x in (-26.0, -7.0, 10.0)
            ),
            gloss=draw.uniform(0.1, 0.7),
            seed=88_000 + 100 * seed + number,
        )
        yield _of_painting(what)


def _of_painting(what: Painting) -> BeadCase:
    seen = painted(what)
    last = np.array(seen.rgb.shape[1::-1]) - 1
    is_inside = ((seen.path_px > 3) & (seen.path_px < last - 3)).all(axis=1)
    necks = tuple(
        ("neck" if share < 1 else "blob", middle - length / 2, middle + length / 2)
        for middle, length, share in what.necks
    )
    return BeadCase(
        f"{what.ground} {what.colour} {what.width:.1f}",
        seen.rgb,
        what.width,
        seen.path_px[is_inside],
        seen.along_mm[is_inside],
        seen.along_mm,
        seen.width_mm,
        what.gaps,
        necks,
    )
