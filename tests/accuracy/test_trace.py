"""The simulator still runs, and tracing is far better than a guess; the figures come by hand."""

import tomllib

import numpy as np
import pytest

from leaktrack.analysis.weighing import weights_of
from tests.accuracy import measure_trace


@pytest.fixture(scope="module")
def answers():
    weights = weights_of(
        tomllib.loads(measure_trace.FILE.read_text("utf-8")), {}, ("shipped", "own")
    )
    return [measure_trace._answer(np.random.default_rng([7, n]), weights) for n in range(40)]


def test_most_recorded_causes_are_named_first(answers):
    """One of five suspects would be right by chance; nine of ten are over thousands of engines."""
    known = [one for one in answers if one.case.is_recorded]

    assert np.mean([one.first[1] for one in known]) > 0.7


def test_at_most_one_origin_is_the_true_one_and_chances_add_up(answers):
    for one in answers:
        assert sum(chance for chance, _ in one.chances) == pytest.approx(1)
        assert sum(is_true for _, is_true in one.chances) <= 1
