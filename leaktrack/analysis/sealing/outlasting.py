"""How long do seals stay dry? Onset is only known to lie between two looks.

Turnbull's estimate (J. R. Stat. Soc. B 38, 1976) makes no law; the Weibull fit makes one. Both take
spans (last dry, first wet], the right end infinite where a seal never leaked.
"""

from collections.abc import Callable, Sequence
from itertools import pairwise
from math import exp, inf, log

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import minimize
from scipy.special import ndtri

from leaktrack.model.errors import BadInput
from leaktrack.model.figure import Figure
from leaktrack.model.seal_life import DryTime, LifeCurve, StepCurve

LEAST_LEAKS_FOR_A_LAW = 5
"""With fewer leaks, a law of two numbers says nothing; own judgement."""

_ROUNDS, _CLOSE = 20_000, 1e-9
_DRAWINGS, _SEED = 200, 1
_LEAST_HELD = 1e-300  # a seal that was not drawn may have no mass left
_Z = float(ndtri(0.975))
_SMALL = 1e-12  # of hours: a leak seen at the very first look began after the engine first ran

Floats = NDArray[np.float64]


def checked(times: Sequence[DryTime]) -> tuple[Floats, Floats]:
    """Return the ends of the spans as arrays.

    Raises:
        BadInput: There are none, one is negative or not a number, or ends before it begins.
    """
    if not times:
        raise BadInput(
            "No seal has been looked at yet, so nothing can be said of how long they last."
        )
    left = np.array([one.dry_h for one in times], np.float64)
    right = np.array([one.wet_h for one in times], np.float64)
    if not np.isfinite(left).all() or np.isnan(right).any() or left.min() < 0:
        raise BadInput("Hours until a seal was seen dry or wet must be numbers of 0 and more.")
    if (right <= left).any():
        raise BadInput("A seal cannot be seen wet before, or just when, it was last seen dry.")
    return left, right


def step_curve(times: Sequence[DryTime]) -> StepCurve:
    """Return Turnbull's estimate: the most likely masses on the innermost spans.

    Raises:
        BadInput: See ``checked``.
    """
    left, right = checked(times)
    spans = _innermost(left, right)
    covers = _covers(left, right, spans)
    all_masses, likelihoods = _most_likely(covers, np.ones((1, len(left))))
    masses = all_masses[0]
    kept = masses > 1e-6
    masses = masses[kept] / masses[kept].sum()
    last_start = float(spans[kept][-1, 0])
    still_dry = ~np.isfinite(right) & (left <= last_start)
    return StepCurve(
        tuple((float(a), float(b)) for a, b in spans[kept]),
        tuple(float(one) for one in masses),
        float(likelihoods[0]),
        known_until_h=last_start if still_dry.any() else inf,
    )


def dry_share(curve: StepCurve, hours: float) -> float | None:
    """Return the share still dry after some hours; None where nothing is known of that late.

    Within a span the estimate says nothing of where it falls; it counts as falling at its end.
    """
    if hours > curve.known_until_h:
        return None
    spans = zip(curve.spans_h, curve.masses, strict=True)
    fallen = sum(mass for (_, end), mass in spans if end <= hours)
    return max(0.0, 1 - fallen)


def dry_shares(times: Sequence[DryTime], hours: Sequence[float]) -> tuple[Figure | None, ...]:
    """Return the share still dry after each of some hours, with 95 % intervals.

    The intervals come from drawing the seals again, 200 times with a fixed seed. They are rough
    where few leaked. Where none leaked, or all did, the one-sided bound takes their place: of n
    seals, up to 1 - 0.05 ** (1 / n) may do what none of them did (95 %).

    Raises:
        BadInput: See ``checked``.
    """
    left, right = checked(times)
    spans = _innermost(left, right)
    covers = _covers(left, right, spans)
    whole = step_curve(times)
    latest = max(float(left.max()), float(right[np.isfinite(right)].max(initial=0.0)))
    drawn = np.random.default_rng(_SEED).multinomial(
        len(left), np.full(len(left), 1 / len(left)), size=_DRAWINGS
    )
    curves, _ = _most_likely(covers, drawn.astype(float), close=1e-5)
    found: list[Figure | None] = []
    for at in hours:
        share = dry_share(whole, at)
        if share is None or at > latest:
            found.append(None)
            continue
        again = 1 - curves[:, spans[:, 1] <= at].sum(axis=1)
        low, high = np.percentile(again, [2.5, 97.5])
        # Drawing again cannot show what happened to none, or to all, of the seals.
        watched = int(((left >= at) | (right <= at)).sum())
        bound = 0.05 ** (1 / watched) if watched else 0.0
        if not np.isfinite(right).any() or share > 1 - 1e-9:
            low = min(low, bound)
        elif share < 1e-9:
            high = max(high, 1 - bound)
        found.append(Figure(share, max(0.0, float(low)), min(1.0, float(high))))
    return tuple(found)


def life_curve(times: Sequence[DryTime]) -> LifeCurve:
    """Return the most likely Weibull law, with 95 % intervals from its curvature (log scale).

    Raises:
        BadInput: See ``checked``; or fewer than two seals leaked.
    """
    left, right = checked(times)
    if np.isfinite(right).sum() < 2:
        raise BadInput("A law of how long seals last needs at least two that leaked.")
    at, curvature, likelihood = _fit(left, right, np.zeros((len(left), 0)))
    log_shape, log_scale = float(at[0]), float(at[1])
    covariance = np.linalg.pinv(curvature)
    # log median = log scale + log(log 2) / shape; its slope by log shape is -log(log 2) / shape.
    slope = np.array([-log(log(2)) / exp(log_shape), 1.0])
    return LifeCurve(
        _around(log_shape, covariance[0, 0]),
        _around(log_scale, covariance[1, 1]),
        _around(
            log_scale + log(log(2)) / exp(log_shape), float(slope @ covariance[:2, :2] @ slope)
        ),
        likelihood,
    )


def law_share(law: LifeCurve, hours: float) -> float:
    """Return the share still dry after some hours by a Weibull law."""
    return exp(-((hours / law.scale_h.value) ** law.shape.value))


def hazard_ratio(times: Sequence[DryTime], others: Sequence[DryTime]) -> tuple[Figure, float]:
    """Return how many times as fast the others begin to leak, and the log-likelihood.

    Both follow Weibull laws of one shape; the 95 % interval is from the curvature (log scale).

    Raises:
        BadInput: See ``checked``; or fewer than two seals of either kind leaked.
    """
    groups = [checked(times), checked(others)]
    if any(np.isfinite(right).sum() < 2 for _, right in groups):
        raise BadInput("Comparing two kinds of work needs at least two leaks of each.")
    left = np.concatenate([one for one, _ in groups])
    right = np.concatenate([one for _, one in groups])
    is_other = np.repeat([0.0, 1.0], [len(one) for one, _ in groups])[:, None]
    at, curvature, likelihood = _fit(left, right, is_other)
    return _around(float(at[2]), np.linalg.pinv(curvature)[2, 2]), likelihood


def _around(log_value: float, variance: float) -> Figure:
    reach = _Z * float(np.sqrt(max(0.0, variance)))
    bounds = [exp(min(50.0, max(-50.0, log_value + side * reach))) for side in (-1, 0, 1)]
    return Figure(bounds[1], bounds[0], bounds[2])


def _fit(left: Floats, right: Floats, covariates: Floats) -> tuple[Floats, Floats, float]:
    """Return (log shape, log scale, effects), the curvature there, and the log-likelihood."""
    known = np.where(np.isfinite(right), right, np.maximum(left, _SMALL))
    middle = float(np.median(np.maximum((left + known) / 2, _SMALL)))

    def loss(at: Floats) -> float:
        return -_weibull_likelihood(at, left, right, covariates)

    start = np.array([0.0, log(max(middle, _SMALL)), *np.zeros(covariates.shape[1])])
    rough = minimize(loss, start, method="Nelder-Mead", options={"maxiter": 4000, "xatol": 1e-6})
    best = minimize(loss, rough.x, method="BFGS", options={"gtol": 1e-8})
    at = np.asarray(best.x if best.fun <= rough.fun else rough.x, np.float64)
    return at, _curvature(loss, at), -float(loss(at))


def _weibull_likelihood(at: Floats, left: Floats, right: Floats, covariates: Floats) -> float:
    shape, scale = np.exp(np.clip(at[:2], -30, 30))
    faster = np.exp(np.clip(covariates @ at[2:], -30, 30))
    with np.errstate(over="ignore", invalid="ignore"):
        begun = faster * np.minimum((left / scale) ** shape, 1e6)
        ended = np.where(
            np.isfinite(right),
            faster * np.minimum((np.where(np.isfinite(right), right, 1) / scale) ** shape, 1e6),
            inf,
        )
        # log(S(left) - S(right)) = -begun + log(1 - exp(-(ended - begun)))
        terms = -begun + np.log(np.maximum(-np.expm1(-(ended - begun)), 1e-300))
    return float(terms.sum())


def _curvature(loss: Callable[[Floats], float], at: Floats, step: float = 1e-4) -> Floats:
    size = len(at)
    found = np.zeros((size, size))
    shifts = np.eye(size) * step
    for i in range(size):
        for j in range(size):
            found[i, j] = (
                loss(at + shifts[i] + shifts[j])
                - loss(at + shifts[i] - shifts[j])
                - loss(at - shifts[i] + shifts[j])
                + loss(at - shifts[i] - shifts[j])
            ) / (4 * step**2)
    return found


def _innermost(left: Floats, right: Floats) -> Floats:
    """Return the spans (l, r] that hold mass: from a left end to the next end, if that is a right.

    At the same hour a right end comes first: the spans are open at the left, closed at the right.
    """
    ends = sorted(
        [(float(one), 1) for one in set(left.tolist())]
        + [(float(one), 0) for one in set(right.tolist())]
    )
    spans = [
        (here[0], after[0]) for here, after in pairwise(ends) if here[1] == 1 and after[1] == 0
    ]
    return np.array(spans, np.float64)


def _covers(left: Floats, right: Floats, spans: Floats) -> Floats:
    inside = (left[:, None] <= spans[:, 0]) & (spans[:, 1] <= right[:, None])
    return np.asarray(inside, np.float64)


def _most_likely(covers: Floats, weights: Floats, close: float = _CLOSE) -> tuple[Floats, Floats]:
    """Return the masses that make the data likeliest, by self-consistency, and log-likelihoods.

    Args:
        covers: (seals, spans) 1 where a seal's span holds an innermost one.
        weights: (drawings, seals) how often each seal counts.
        close: Done once no mass moves by more.

    Returns:
        (drawings, spans) and (drawings,).
    """
    masses = np.full((len(weights), covers.shape[1]), 1 / covers.shape[1])
    total = weights.sum(axis=1, keepdims=True)
    for _ in range(_ROUNDS):
        held = np.maximum(masses @ covers.T, _LEAST_HELD)
        better = masses * ((weights / held) @ covers) / total
        moved = float(np.abs(better - masses).max())
        masses = better
        if moved < close:
            break
    held = np.maximum(masses @ covers.T, _LEAST_HELD)
    return masses, np.asarray((weights * np.log(held)).sum(axis=1), np.float64)
