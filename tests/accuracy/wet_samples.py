"""Pixels to learn from what oil looks like, of true and of painted photos.

What is painted besides oil (dry streaks, rust, residue, cables, shadows, glare), what was there
before and is gone, and pairs with nothing new teach what is not oil.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import cv2
import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.spotting.contrasting import clues, look
from leaktrack.imaging.spotting.wet_weights import oil_logit
from tests.accuracy.paint_photos import painted, relit
from tests.accuracy.small_network import Network, learnt_network
from tests.accuracy.wet_cases import Case, Target

Bools = NDArray[np.bool_]

PAINTED_SHARE = 0.6
"""Of the cases are painted on."""

_NETWORKS = 2
_HIDDEN = (16, 8)
_EPOCHS = 10
_OF_ONE = 2500  # pixels taken from one case
_HARDEST_SHARE = 25
_VISIBLE = 55  # of 255: what is painted on black would not be seen
_RIM_PX = 3
_ANY_PX, _MISTAKEN_PX = 120_000, 4_000


@dataclass(frozen=True)
class Rows:
    """Pixels to learn from.

    Attributes:
        clues: (N, clues).
        truth: (N,) whether newly oil.
        weight: (N,).
    """

    clues: NDArray[np.float16]
    truth: Bools
    weight: NDArray[np.float32]


def sampled(cases: Sequence[Case], seed: int = 5) -> dict[str, list[Rows]]:
    """Return pixels of the pairs to learn from, by zone."""
    rng = np.random.default_rng(seed)
    found: dict[str, list[Rows]] = {}
    for case in cases:
        if len(case.before) == 1:
            rows = found.setdefault(case.zone, [])
            rows += [_sample(one, rng) for one in _variants(case, rng)]
    return found


def networks_for(rows: Sequence[Rows]) -> tuple[Network, ...]:
    """Return the networks that these pixels teach; they begin and go through them differently."""
    return tuple(_network_for(rows, seed) for seed in range(_NETWORKS))


def _network_for(rows: Sequence[Rows], seed: int) -> Network:
    clue = np.concatenate([one.clues for one in rows]).astype(np.float32)
    truth = np.concatenate([one.truth for one in rows])
    weight = np.sqrt(np.concatenate([one.weight for one in rows]))
    # Oil is rare: all of it together counts half as much as all that is dry.
    weight[~truth] *= 2 * truth.sum() / weight[~truth].sum()
    weight[truth] = 1
    return learnt_network(clue, truth.astype(np.float32), weight, _HIDDEN, _EPOCHS, seed)


def painted_case(case: Case, rng: np.random.Generator) -> tuple[Case, Bools]:
    """Return the case with more oil, and where other things are painted, on the later photo."""
    (one,) = case.earlier
    bright = cv2.blur(case.rgb.max(axis=2), (9, 9)) > _VISIBLE
    more = painted(case.rgb, bright & one.is_placed & (case.wet == 0), rng)
    earlier = replace(one, rgb=relit(one.rgb, rng)) if rng.random() < 0.5 else one
    count, labels = cv2.connectedComponents(more.oil.astype(np.uint8))
    targets = list(case.targets)
    for label in range(1, count):
        mask = labels == label
        targets.append(Target(100 + label, mask, mask, float(mask.sum()), None, False, True))
    wet = np.where(more.oil, 100, case.wet).astype(np.uint8)
    case = replace(case, rgb=more.rgb, earlier=(earlier,), wet=wet, targets=tuple(targets))
    return case, more.other


def _variants(case: Case, rng: np.random.Generator) -> Iterator[tuple[Case, Bools]]:
    """Yield the case, painted ones, and what is hard in each: where something else was painted."""
    nothing = np.zeros(case.wet.shape, bool)
    yield case, nothing
    (one,) = case.earlier
    if rng.random() < PAINTED_SHARE:
        yield painted_case(case, rng)
    if rng.random() < PAINTED_SHARE:
        # Oil and other things that were there before and are gone: nothing newly wet.
        gone = painted(one.rgb, np.ones(case.wet.shape, bool), rng)
        hard = (gone.oil | gone.other) & (case.wet == 0)
        yield replace(case, earlier=(replace(one, rgb=gone.rgb),)), hard


def _sample(variant: tuple[Case, Bools], rng: np.random.Generator) -> Rows:
    case, hard = variant
    (one,) = case.earlier
    before = look(np.where(one.is_placed[..., None], one.rgb, case.rgb))
    told = np.stack(list(clues(look(case.rgb), before, one.doubt_px)))
    told = told.reshape(len(told), -1)
    is_new = np.any([target.new for target in case.targets], axis=0) & np.ones_like(hard)
    wet = case.wet > 0
    kernel = np.ones((_RIM_PX, _RIM_PX), np.uint8)
    eight = wet.astype(np.uint8)
    is_rim = cv2.dilate(eight, kernel) != cv2.erode(eight, kernel)
    is_told = (one.is_placed & ~is_rim & ~(wet & ~is_new)).ravel()
    positive = np.flatnonzero(is_new.ravel() & is_told)
    negative = np.flatnonzero(~wet.ravel() & is_told)
    darkest = negative[np.argsort(-told[0][negative])[: max(1, len(negative) // _HARDEST_SHARE)]]
    painted_on = np.flatnonzero(hard.ravel() & is_told & ~wet.ravel())
    chosen, weights = [], []
    for group in (negative, darkest, _mistaken(told, negative, rng), painted_on):
        some = rng.choice(group, min(_OF_ONE // 2, len(group)), replace=False)
        chosen.append(some)
        weights.append(np.full(len(some), len(group) / max(1, len(some)), np.float32))
    some = rng.choice(positive, min(_OF_ONE, len(positive)), replace=False)
    index = np.concatenate([some, *chosen])
    weight = np.concatenate([np.ones(len(some), np.float32), *weights])
    truth = np.arange(len(index)) < len(some)
    return Rows(told[:, index].T.astype(np.float16), truth, weight)


def _mistaken(
    told: NDArray[np.float32], dry: NDArray[np.int64], rng: np.random.Generator
) -> NDArray[np.int64]:
    """Return dry pixels that the weights of the program take for oil more than others."""
    some = rng.choice(dry, min(_ANY_PX, len(dry)), replace=False)
    return some[np.argsort(-oil_logit(told[:, some]))[:_MISTAKEN_PX]]
