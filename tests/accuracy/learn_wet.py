"""Learn what oil looks like, and write ``leaktrack/imaging/spotting/wet_weights.py``."""

from collections.abc import Sequence
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

import leaktrack.imaging.spotting
from tests.accuracy import measure_wet
from tests.accuracy.small_network import Logistic, Network
from tests.accuracy.truth import TrueZone
from tests.accuracy.wet_lessons import lesson_of
from tests.accuracy.wet_samples import networks_for

WEIGHTS = Path(leaktrack.imaging.spotting.__file__).with_name("wet_weights.py")


def report(zones: Sequence[TrueZone], every: int) -> None:
    """Learn from all zones, print how well it goes without each, and write the weights."""
    lesson = lesson_of(zones, every)
    measure_wet.print_lesson(lesson)
    networks = networks_for([rows for of_zone in lesson.rows.values() for rows in of_zone])
    text = written(networks, lesson.judge(), lesson.sharpened(), len(zones))
    WEIGHTS.write_text(text, encoding="utf-8")
    print(f"{WEIGHTS.name} is written.")


def written(
    networks: Sequence[Network], judge: Logistic, sharpened: tuple[float, float], zones: int
) -> str:
    """Return the module that holds the weights.

    Args:
        networks: Tell pixels; the mean of what they say counts.
        judge: Tells regions.
        sharpened: Factor and summand that make the judge's log odds those of being oil.
        zones: How many zones it was learnt from.
    """
    count = len(judge.mean)
    factor, summand = sharpened
    weights = factor * judge.weights
    region = np.c_[judge.mean, judge.spread, weights[:count], weights[count:-1]]
    return _TEMPLATE.format(
        zones=zones,
        networks="".join(_network(network) for network in networks),
        region=_rows(region, "8.3f"),
        region_bias=float(weights[-1] + summand),
    )


def _network(network: Network) -> str:
    (first, first_bias), (second, second_bias), (last, last_bias) = network.layers
    return _NETWORK.format(
        ranges=_rows(np.c_[network.mean, network.spread], "8.4f"),
        first=_rows(first),
        first_bias=_rows(first_bias),
        second=_rows(second),
        second_bias=_rows(second_bias),
        last=_rows(last[:, 0]),
        last_bias=float(last_bias[0]),
    )


def _rows(table: NDArray[np.floating], shape: str = "5.2f") -> str:
    return "\n".join(
        " ".join(format(float(value), shape) for value in row) for row in np.atleast_2d(table)
    )


_TEMPLATE = '''"""Weights learnt from known truth: from what a place shows to a chance of oil.

Learnt as ``python -m tests.accuracy learn-wet`` does, from rendered photos of {zones} zones.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float32]

_CLUE_MOST = 4.0
"""Clues beyond so many spreads tell no more."""


@dataclass(frozen=True, slots=True, eq=False)
class _Network:
    """A small network of two hidden layers; a row of a matrix for each input, of a bias one.

    Attributes:
        ranges: Mean and spread of each clue of ``contrasting.CLUES``, one in a row.
    """

    ranges: Floats
    first: Floats
    first_bias: Floats
    second: Floats
    second_bias: Floats
    last: Floats
    last_bias: float

    def logit(self, clues: Floats) -> Floats:
        mean, spread = self.ranges.T[..., None]
        level = np.clip((clues - mean) / spread, -_CLUE_MOST, _CLUE_MOST)
        first = np.maximum(self.first.T @ level + self.first_bias.T, 0)
        second = np.maximum(self.second.T @ first + self.second_bias.T, 0)
        logit: Floats = self.last[0] @ second + np.float32(self.last_bias)
        return logit


def _table(text: str) -> Floats:
    return np.array([line.split() for line in text.split("\\n") if line], np.float32)


# Learnt one by one; the mean of what they say counts: it is calmer than each of them.
_NETWORKS = ({networks}
)

# Mean, spread, weight and weight of the square of each clue of ``ranking.REGION_CLUES``.
_REGION = _table("""
{region}
""")
_REGION_BIAS = np.float32({region_bias:.3f})


def oil_logit(clues: Floats) -> Floats:
    """Return (N,) log odds that pixels are oil that was not there, from (len(CLUES), N) clues."""
    logits = [network.logit(clues) for network in _NETWORKS]
    return np.asarray(np.mean(logits, axis=0), np.float32)


def region_chance(clues: Floats) -> float:
    """Return how likely a region is oil that was not there, 0 to 1, from its clues."""
    mean, spread, weight, of_square = _REGION.T
    level = np.clip((clues - mean) / spread, -_CLUE_MOST, _CLUE_MOST)
    logit = float(level @ weight + level**2 @ of_square + _REGION_BIAS)
    return float(1 / (1 + np.exp(-logit)))
'''

_NETWORK = '''
    _Network(
        ranges=_table("""
{ranges}
"""),
        first=_table("""
{first}
"""),
        first_bias=_table("""
{first_bias}
"""),
        second=_table("""
{second}
"""),
        second_bias=_table("""
{second_bias}
"""),
        last=_table("""
{last}
"""),
        last_bias={last_bias:.3f},
    ),'''
