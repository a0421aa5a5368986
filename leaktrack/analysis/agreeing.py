"""How well do two people agree beyond chance? Weighted kappa with its interval."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import ndtri

from leaktrack.model.agreement import Agreement, Kappa
from leaktrack.model.errors import BadInput
from leaktrack.model.figure import Figure
from leaktrack.model.leak import SeepageGrade, wetness

GRADES = 6
"""Seepage grades 0 to 5."""

_CONFIDENCE = 0.95

Floats = NDArray[np.float64]


def disagreement(categories: int, power: int) -> Floats:
    """Return how much each pair of categories disagrees: |i - j| to a power, 0 on the diagonal.

    Args:
        categories: How many, in order.
        power: 0 counts any difference alike, 1 linear weights, 2 quadratic ones.
    """
    steps = np.abs(np.subtract.outer(np.arange(categories), np.arange(categories)))
    return np.asarray(np.where(steps == 0, 0.0, steps.astype(float) ** power), np.float64)


def weighted_kappa(table: ArrayLike, weights: ArrayLike) -> Kappa:
    """Return weighted kappa, 1 - sum(v p) / sum(v e), with its 95 % interval.

    The interval is that of Fleiss, Cohen and Everitt, Psychological Bulletin 72 (1969): normal for
    many pairs, too narrow for few. It is cut off at -1 and 1.

    Args:
        table: (k, k) counts or shares; rows the first person's category, columns the second's.
        weights: (k, k) disagreement v of each cell; need not be symmetric.

    Raises:
        BadInput: The table is empty, not square, or holds what is no count.
    """
    counts, v = _checked(table, weights)
    n = float(counts.sum())
    p = counts / n
    rows, columns = p.sum(axis=1), p.sum(axis=0)
    expected = float((v * np.outer(rows, columns)).sum())
    if expected == 0:  # both only ever said one thing: 0 / 0
        return Kappa(figure=None)
    kappa = 1 - float((v * p).sum()) / expected
    if n <= 1 + 1e-9:  # shares, not counts: nobody can say how many there were
        return Kappa(figure=Figure(kappa, kappa, kappa))
    reach = float(ndtri(0.5 + _CONFIDENCE / 2)) * _standard_error(p, v, expected, n)
    return Kappa(figure=Figure(kappa, max(-1.0, kappa - reach), min(1.0, kappa + reach)))


def _checked(table: ArrayLike, weights: ArrayLike) -> tuple[Floats, Floats]:
    counts, v = np.asarray(table, np.float64), np.asarray(weights, np.float64)
    is_square = counts.ndim == 2 and counts.shape[0] == counts.shape[1]
    if not is_square or counts.shape != v.shape:
        raise BadInput("Two people's grades need a square table with a weight for each cell.")
    if not (np.isfinite(counts).all() and np.isfinite(v).all()) or min(counts.min(), v.min()) < 0:
        raise BadInput("Counts and weights of an agreement must be numbers of 0 and more.")
    if counts.sum() == 0:
        raise BadInput("No place was graded by both people. Grade some photos a second time first.")
    return counts, v


def _standard_error(p: Floats, v: Floats, expected: float, n: float) -> float:
    """Return the large-sample standard error of weighted kappa where it is not zero."""
    most = v.max()
    w = 1 - v / most  # as weights of agreement, which the published formula is written in
    rows, columns = p.sum(axis=1), p.sum(axis=0)
    by_row, by_column = w @ columns, rows @ w
    observed, chance = float((w * p).sum()), 1 - expected / most
    inner = w * (1 - chance) - np.add.outer(by_row, by_column) * (1 - observed)
    variance = (p * inner**2).sum() - (observed * chance - 2 * chance + observed) ** 2
    return float(np.sqrt(max(0.0, variance) / n) / (1 - chance) ** 2)


def many_kappa(counts: ArrayLike) -> float | None:
    """Return Fleiss' kappa of several people: how many put each thing into each category.

    Args:
        counts: (things, categories); every row adds up to the same number of people.

    Raises:
        BadInput: Rows do not add up to the same number of at least two people.
    """
    table = np.asarray(counts, np.float64)
    if table.ndim != 2 or not np.isfinite(table).all() or (table < 0).any():
        raise BadInput("Counts of an agreement must be numbers of 0 and more.")
    people = table.sum(axis=1)
    if len(people) == 0 or (people != people[0]).any() or people[0] < 2:
        raise BadInput("Every place must be graded by the same number of people, at least two.")
    share = table.sum(axis=0) / table.sum()
    same = ((table**2).sum(axis=1) - people) / (people * (people - 1))
    chance = float((share**2).sum())
    return None if chance == 1 else (float(same.mean()) - chance) / (1 - chance)


def agreement(
    first: str, second: str, pairs: Sequence[tuple[SeepageGrade, SeepageGrade]]
) -> Agreement | None:
    """Return how two people's grades of the same places compare; None where no pair counts."""
    seen = [(wetness(one), wetness(other)) for one, other in pairs]
    both = [(a, b) for a, b in seen if a is not None and b is not None]
    if not both:
        return None
    table = np.zeros((GRADES, GRADES), int)
    for a, b in both:
        table[a, b] += 1
    apart = [abs(a - b) for a, b in both]
    kappas = [weighted_kappa(table, disagreement(GRADES, power)) for power in (0, 1, 2)]
    return Agreement(
        first=first,
        second=second,
        count=len(both),
        same=apart.count(0),
        near=apart.count(1),
        unseen=len(pairs) - len(both),
        higher=sum(b > a for a, b in both),
        lower=sum(b < a for a, b in both),
        plain=kappas[0],
        linear=kappas[1],
        quadratic=kappas[2],
        table=tuple(tuple(int(one) for one in row) for row in table),
    )
