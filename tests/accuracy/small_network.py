"""Learn small models in NumPy: a network of two hidden layers, and a logistic one with squares."""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float32]
Doubles = NDArray[np.float64]

_MOST = 4.0  # as ``imaging.spotting.wet_weights`` cuts clues off
_BATCH = 4096
_RATE = 3e-3
_DECAY = 1e-4


@dataclass(frozen=True)
class Network:
    """From clues to log odds.

    Attributes:
        mean: (clues,) of what was learnt from.
        spread: (clues,) of the same.
        layers: A matrix and a bias for each layer.
    """

    mean: Floats
    spread: Floats
    layers: tuple[tuple[Floats, Floats], ...]

    def logit(self, clues: Floats) -> Floats:
        """Return (N,) log odds from (N, clues)."""
        level = _level(clues, self.mean, self.spread)
        for matrix, bias in self.layers[:-1]:
            level = np.maximum(level @ matrix + bias, 0)
        matrix, bias = self.layers[-1]
        return (level @ matrix + bias)[:, 0]


@dataclass(frozen=True)
class Logistic:
    """From clues and their squares to a chance.

    Attributes:
        weights: One for each clue, one for each square, and the bias.
    """

    mean: Doubles
    spread: Doubles
    weights: Doubles

    def chance(self, clues: Doubles) -> Doubles:
        """Return (N,) chances from (N, clues)."""
        return 1 / (1 + np.exp(-_terms(clues, self.mean, self.spread) @ self.weights))


def learnt_network(
    clues: Floats,
    truth: Floats,
    weight: Floats,
    hidden: tuple[int, ...],
    epochs: int,
    seed: int = 0,
) -> Network:
    """Return a network that tells (N,) truth from (N, clues), by Adam.

    Source:
        D. Kingma, J. Ba, "Adam: A Method for Stochastic Optimization", ICLR 2015.
    """
    rng = np.random.default_rng(seed)
    mean, spread = clues.mean(axis=0), clues.std(axis=0) + 1e-4
    level, weight = _level(clues, mean, spread), weight / weight.mean()
    sizes = (clues.shape[1], *hidden, 1)
    values: list[Floats] = []
    for here, there in pairwise(sizes):
        values += [rng.normal(0, np.sqrt(2 / here), (here, there)), np.zeros(there)]
    values = [value.astype(np.float32) for value in values]
    first, second = ([np.zeros_like(value) for value in values] for _ in range(2))
    total = epochs * -(-len(level) // _BATCH)
    step = 0
    for _ in range(epochs):
        order = rng.permutation(len(level))
        for start in range(0, len(level), _BATCH):
            step += 1
            chosen = order[start : start + _BATCH]
            slopes = _slopes(values, level[chosen], truth[chosen], weight[chosen])
            rate = _RATE * 0.5 * (1 + np.cos(np.pi * step / total))
            for number, slope in enumerate(slopes):
                first[number] = 0.9 * first[number] + 0.1 * slope
                second[number] = 0.999 * second[number] + 0.001 * slope**2
                move = first[number] / (1 - 0.9**step)
                size = np.sqrt(second[number] / (1 - 0.999**step)) + 1e-8
                values[number] -= (rate * move / size).astype(np.float32)
    layers = tuple(zip(values[::2], values[1::2], strict=True))
    return Network(mean.astype(np.float32), spread.astype(np.float32), layers)


def learnt_logistic(clues: Doubles, truth: Doubles, weight: Doubles, ridge: float) -> Logistic:
    """Return a logistic model of (N,) truth, 0 to 1, by Newton's method with a ridge."""
    mean, spread = clues.mean(axis=0), clues.std(axis=0) + 1e-4
    terms = _terms(clues, mean, spread)
    weights = np.zeros(terms.shape[1])
    rigid = ridge * np.r_[np.ones(terms.shape[1] - 1), 1e-6]
    for _ in range(30):
        chance = 1 / (1 + np.exp(-terms @ weights))
        gradient = terms.T @ (weight * (chance - truth)) + rigid * weights
        curvature = (terms * (weight * chance * (1 - chance))[:, None]).T @ terms
        weights -= np.linalg.solve(curvature + np.diag(rigid + 1e-6), gradient)
    return Logistic(mean, spread, weights)


def _level(clues: Floats, mean: Floats, spread: Floats) -> Floats:
    return np.clip((clues - mean) / spread, -_MOST, _MOST).astype(np.float32)


def _terms(clues: Doubles, mean: Doubles, spread: Doubles) -> Doubles:
    level = np.clip((clues - mean) / spread, -_MOST, _MOST)
    return np.c_[level, level**2, np.ones(len(level))]


def _slopes(values: list[Floats], level: Floats, truth: Floats, weight: Floats) -> list[Floats]:
    """Return how the cross entropy, with decay, changes with each matrix and bias."""
    levels = [level]
    for matrix, bias in zip(values[:-2:2], values[1:-2:2], strict=True):
        levels.append(np.maximum(levels[-1] @ matrix + bias, 0))
    logit = (levels[-1] @ values[-2] + values[-1])[:, 0]
    chance = 1 / (1 + np.exp(-np.clip(logit, -30, 30)))
    back = ((chance - truth) * weight)[:, None] / len(level)
    slopes: list[Floats] = []
    for number in range(len(levels) - 1, -1, -1):
        matrix = values[2 * number]
        slopes = [levels[number].T @ back + _DECAY * matrix, back.sum(axis=0), *slopes]
        if number:
            back = (back @ matrix.T) * (levels[number] > 0)
    return slopes
