"""Learn how likely it is that a frame shows what was asked for, and write the weights."""

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import minimize

import leaktrack.imaging.footage
from leaktrack.imaging.footage.asking import grown, wanted
from leaktrack.imaging.footage.believing import CLUES, clues
from leaktrack.imaging.footage.verifying import evidence, glance
from leaktrack.imaging.matching.learned_matching import LearnedMatcher
from leaktrack.imaging.reading import read_upright, upright_size
from leaktrack.model.shapes import BoxPx
from leaktrack.places import resource
from tests.accuracy.footage_cases import LEARNT_ON, Scene, boxes, picture, scenes
from tests.accuracy.footage_film import bent, share_in_sight, still

WEIGHTS = Path(leaktrack.imaging.footage.__file__).with_name("footage_weights.py")
SEED = 9100
_LOOKS_AT_SAME, _LOOKS_AT_MIRRORED, _LOOKS_AT_LIKE, _LOOKS_AT_OTHERS = 7, 8, 6, 1
_BENT = 0.5  # of the frames: else pixels would agree in all that are right, as they never do
_DECAY = 1.0
_IN_SIGHT = 0.3  # of the box; with less it is no good answer
_IN_SIGHT_OF_ALL = 0.05


def report(folder: Path) -> None:
    """Learn from frames of photos, print how well it goes, and write the weights."""
    chosen = [scene for scene in scenes(folder) if scene.name in LEARNT_ON]
    found = list(samples(chosen, np.random.default_rng(SEED)))
    rows = np.array([row for row, _ in found if row is not None])
    right = np.array([is_right for row, is_right in found if row is not None], float)
    mute = [is_right for row, is_right in found if row is None]
    print(
        f"{len(found)} frames; without any agreement {len(mute)}, {sum(mute)} of them wrongly so."
    )
    weights, bias = learnt(rows, right)
    chances = 1 / (1 + np.exp(-(rows @ weights + bias)))
    told = (chances > 0.5) == (right > 0.5)
    print(f"Of {len(rows)} others {int(right.sum())} show it; told right: {told.mean():.3f}.")
    WEIGHTS.write_text(written(weights, bias, len(rows)), encoding="utf-8")
    print(f"{WEIGHTS.name} is written.")


def samples(
    chosen: list[Scene], rng: np.random.Generator
) -> Iterator[tuple[NDArray[np.float64] | None, bool]]:
    """Give out clues, None where nothing agrees, and whether the frame shows what was asked."""
    matcher = LearnedMatcher(resource("models"))
    for scene in chosen:
        for query in scene.photos:
            size = upright_size(query)
            whole = wanted(matcher, read_upright(query, 1600), size)
            others = [other for other in chosen if other is not scene]
            filmed = [(scene, one) for one in scene.photos for _ in range(_LOOKS_AT_SAME)]
            filmed += [(None, query)] * _LOOKS_AT_MIRRORED  # as if it were the other bank
            filmed += [
                (other, other.photos[rng.integers(len(other.photos))])
                for other in others
                for _ in range(_LOOKS_AT_LIKE if _alike(scene, other) else _LOOKS_AT_OTHERS)
            ]
            for (of, photo), box in zip(filmed, boxes(size, rng), strict=False):
                shown = picture(photo)
                frame, way = still(shown if of else np.ascontiguousarray(shown[:, ::-1]), rng)
                if rng.random() < _BENT:
                    frame = bent(frame, rng)
                share = 0.0
                if of is scene:
                    share = share_in_sight(way, scene.between(query, photo), box)
                least = _IN_SIGHT_OF_ALL if box[0] < 0 else _IN_SIGHT
                if 0 < share < least:
                    continue
                part = BoxPx(*box)
                asked = replace(whole, box=part, around=grown(part, size))
                found = evidence(matcher, asked, glance(matcher, asked, frame))
                yield (clues(found) if found.inside else None), share > 0


def learnt(
    rows: NDArray[np.float64], right: NDArray[np.float64]
) -> tuple[NDArray[np.float64], float]:
    """Return weights and bias of a logistic model; none counts against the sense of its clue."""
    spread = rows.std(axis=0) + 1e-6
    level = np.c_[(rows - rows.mean(axis=0)) / spread, np.ones(len(rows))]

    def loss(weights: NDArray[np.float64]) -> tuple[float, NDArray[np.float64]]:
        logit = level @ weights
        chance = 1 / (1 + np.exp(-logit))
        wrong = np.logaddexp(0, logit) - right * logit
        decay = _DECAY * np.r_[weights[:-1], 0]
        return float(wrong.sum() + decay @ weights / 2), level.T @ (chance - right) + decay

    bounds = [(0, None)] * rows.shape[1] + [(None, None)]
    best = minimize(loss, np.zeros(level.shape[1]), jac=True, bounds=bounds).x
    weights = best[:-1] / spread
    return weights, float(best[-1] - weights @ rows.mean(axis=0))


def written(weights: NDArray[np.float64], bias: float, frames: int) -> str:
    """Return the module that holds the weights."""
    lines = "".join(
        f"    {weight:.3f},  # {name}\n" for weight, name in zip(weights, CLUES, strict=True)
    )
    return _TEMPLATE.format(frames=frames, lines=lines, bias=bias)


def _alike(one: Scene, other: Scene) -> bool:
    return one.name.split("_")[0] == other.name.split("_")[0]


_TEMPLATE = '''\
"""Weights learnt from known truth: from what agrees to the chance that a picture shows it.

Made by ``python -m tests.accuracy learn-footage``, from {frames} frames of rendered photos.
"""

WEIGHTS = (
{lines})
BIAS = {bias:.3f}
'''
