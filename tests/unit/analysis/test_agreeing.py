"""Weighted kappa against published examples and scikit-learn."""

from math import nan

import numpy as np
import pytest
from sklearn.metrics import cohen_kappa_score

from leaktrack.analysis.agreeing import agreement, disagreement, many_kappa, weighted_kappa
from leaktrack.model.errors import BadInput
from leaktrack.model.leak import SeepageGrade

GRADES = list(SeepageGrade)[:6]

# Fleiss, Cohen and Everitt 1969.
FLEISS_1969 = [[106, 10, 4], [22, 28, 10], [2, 12, 6]]
SIX = [
    [5, 8, 1, 2, 4, 2],
    [3, 5, 3, 5, 5, 0],
    [1, 2, 6, 11, 2, 1],
    [0, 1, 5, 4, 3, 3],
    [0, 0, 1, 2, 5, 2],
    [0, 0, 1, 2, 1, 4],
]


def table_of(first, second, size):
    table = np.zeros((size, size))
    for a, b in zip(first, second, strict=True):
        table[a, b] += 1
    return table


@pytest.mark.parametrize(
    ("weights", "published"),
    [
        ([[0, 1, 3], [1, 0, 6], [3, 6, 0]], 0.348),
        ([[0, 1, 4], [1, 0, 6], [2, 2, 0]], 0.353),
        (1 - np.eye(3), 0.492),
    ],
)
def test_cohen_s_table_of_1968(weights, published):
    """Reported by Cohen, read in the examples of a psychometrics package."""
    shares = [[0.44, 0.07, 0.09], [0.05, 0.20, 0.05], [0.01, 0.03, 0.06]]

    assert weighted_kappa(shares, weights).figure.value == pytest.approx(published, abs=0.0005)


@pytest.mark.parametrize(
    ("table", "power", "expected"),
    [
        (FLEISS_1969, 0, 0.428571),
        (FLEISS_1969, 1, 0.492308),
        (FLEISS_1969, 2, 0.566667),
        (SIX, 0, 0.151022),
        (SIX, 1, 0.315668),
        (SIX, 2, 0.413495),
    ],
)
def test_tables_of_counts(table, power, expected):
    """Tables read; kappas computed a second time from the definition."""
    found = weighted_kappa(table, disagreement(len(table), power)).figure

    assert found.value == pytest.approx(expected, abs=5e-7)
    assert found.low < found.value < found.high


@pytest.mark.parametrize(
    ("first", "second", "size", "expected"),
    [
        ((1, 2, 1), (1, 2, 2), 4, 0.4),
        ((1, 2, 3, 1, 2, 3), (1, 2, 3, 1, 3, 2), 4, 0.75),
        ((1, 3, 5), (2, 4, 6), 7, 0.842105),
        ((1, 3, 3, 5), (2, 4, 5, 6), 7, 0.695652),
    ],
)
def test_quadratic_kappas_of_short_lists(first, second, size, expected):
    """Values of a published metric's own tests."""
    table = table_of(first, second, size)

    found = weighted_kappa(table, disagreement(size, 2)).figure.value
    assert found == pytest.approx(expected, abs=5e-7)


@pytest.mark.parametrize(("power", "name"), [(0, None), (1, "linear"), (2, "quadratic")])
def test_kappa_is_that_of_scikit_learn(power, name):
    drawn = np.random.default_rng(6)
    for _ in range(6):
        first = drawn.integers(0, 6, 40)
        second = np.clip(first + drawn.integers(-2, 3, 40), 0, 5)
        found = weighted_kappa(table_of(first, second, 6), disagreement(6, power)).figure

        expected = cohen_kappa_score(first, second, weights=name, labels=list(range(6)))
        assert found.value == pytest.approx(expected, abs=1e-12)


def test_the_interval_is_as_wide_as_drawing_again_says():
    """An independent way to the same uncertainty: resampling the pairs."""
    table = np.array(FLEISS_1969)
    weights = disagreement(3, 2)
    found = weighted_kappa(table, weights).figure
    drawn = np.random.default_rng(7).multinomial(table.sum(), table.ravel() / table.sum(), 600)
    again = [weighted_kappa(one.reshape(3, 3), weights).figure.value for one in drawn]

    low, high = np.percentile(again, [2.5, 97.5])
    assert (found.low, found.high) == pytest.approx((low, high), abs=0.03)


def test_fleiss_many_people():
    """The table of fourteen people and ten things; from memory, 0.210 published."""
    table = [
        [0, 0, 0, 0, 14], [0, 2, 6, 4, 2], [0, 0, 3, 5, 6], [0, 3, 9, 2, 0], [2, 2, 8, 1, 1],
        [7, 7, 0, 0, 0], [3, 2, 6, 3, 0], [2, 5, 3, 2, 2], [6, 5, 2, 1, 0], [0, 2, 2, 3, 7],
    ]  # fmt: skip

    assert many_kappa(table) == pytest.approx(0.209930, abs=1e-6)


def test_two_people_who_only_ever_say_one_thing_have_no_kappa():
    assert weighted_kappa([[9, 0], [0, 0]], disagreement(2, 2)).figure is None
    assert many_kappa([[3, 0], [3, 0]]) is None


def test_full_agreement_is_one_and_its_bounds_too():
    found = weighted_kappa([[5, 0], [0, 7]], disagreement(2, 2)).figure

    assert (found.value, found.low, found.high) == (1, 1, 1)


@pytest.mark.parametrize(
    "table", [[[1, -1], [0, 1]], [[nan, 1], [0, 1]], [[1, 2]], [[0, 0], [0, 0]]]
)
def test_what_is_no_table_of_counts_is_refused(table):
    with pytest.raises(BadInput):
        weighted_kappa(table, disagreement(2, 1))


def test_rows_of_different_numbers_of_people_are_refused():
    with pytest.raises(BadInput, match="same number of people"):
        many_kappa([[2, 1], [1, 1]])


def test_grades_that_one_could_not_see_count_nowhere_else():
    stain, seep, unseen = GRADES[1], GRADES[2], SeepageGrade.NOT_SEEN
    found = agreement(
        "Anna", "Ben", [(stain, seep), (seep, seep), (unseen, stain), (stain, unseen)]
    )

    assert (found.count, found.same, found.near, found.unseen, found.higher) == (2, 1, 1, 2, 1)
    assert sum(map(sum, found.table)) == 2
    assert agreement("Anna", "Ben", [(unseen, stain)]) is None
