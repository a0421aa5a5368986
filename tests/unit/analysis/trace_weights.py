"""The weights that the program ships, for tests that trace."""

import tomllib
from pathlib import Path

from leaktrack.analysis.weighing import Weights, weights_of

FILE = Path(__file__).parents[3] / "resources" / "trace_weights.toml"


def told():
    return tomllib.loads(FILE.read_text(encoding="utf-8"))


def shipped() -> Weights:
    return weights_of(told(), {}, ("shipped", "own"))


WEIGHTS = shipped()
