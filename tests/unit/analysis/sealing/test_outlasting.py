"""How long seals stay dry, on published interval-censored data and against other routes."""

from math import inf, nan

import numpy as np
import pytest
from scipy.optimize import minimize
from scipy.stats import weibull_min

from leaktrack.analysis.sealing.outlasting import (
    dry_share,
    dry_shares,
    hazard_ratio,
    life_curve,
    step_curve,
)
from leaktrack.model.errors import BadInput
from leaktrack.model.seal_life import DryTime
from tests.unit.analysis.cosmesis import RCT, RT

# Computed; equal to the table in Fay and Shaw, J. Stat. Softw. 36 (2010), from memory.
TURNBULL = {
    "RT": (
        RT,
        {(4, 5): 0.0463, (6, 7): 0.0334, (7, 8): 0.0887, (11, 12): 0.0708, (24, 25): 0.0926,
         (33, 34): 0.0818, (38, 40): 0.1209, (46, 48): 0.4656},
        -58.0600,
    ),
    "RCT": (
        RCT,
        {(4, 5): 0.0433, (5, 8): 0.0433, (11, 12): 0.0692, (16, 17): 0.1454, (18, 19): 0.1411,
         (19, 20): 0.1157, (24, 25): 0.0999, (30, 31): 0.0709, (35, 36): 0.1608, (44, 48): 0.0552,
         (48, 60): 0.0552},
        -65.6370,
    ),
}  # fmt: skip
# Computed: shape, scale, median, log-likelihood.
WEIBULL = {
    "RT": (RT, 1.12161, 57.513, 41.48, -64.7315),
    "RCT": (RCT, 2.03024, 28.043, 23.41, -75.7151),
    "both": ([*RT, *RCT], 1.5000, 37.385, 29.28, -148.7924),
}


@pytest.mark.parametrize("name", TURNBULL)
def test_turnbull_s_masses_are_the_published_ones(name):
    times, masses, likelihood = TURNBULL[name]
    found = step_curve(times)

    assert dict(zip(found.spans_h, found.masses, strict=True)) == {
        span: pytest.approx(mass, abs=0.00006) for span, mass in masses.items()
    }
    assert sum(found.masses) == pytest.approx(1)
    assert found.log_likelihood == pytest.approx(likelihood, abs=0.00006)


def test_that_all_leak_by_the_last_look_is_never_said():
    """The last mass of RT is shared by 25 that never leaked: an artefact, not a finding."""
    found = step_curve(RT)

    assert found.known_until_h == 46
    assert dry_share(found, 40) == pytest.approx(0.4656, abs=0.0001)
    assert dry_share(found, 48) is None


@pytest.mark.parametrize("name", WEIBULL)
def test_the_weibull_fits_are_those_computed_before(name):
    times, shape, scale, median, likelihood = WEIBULL[name]
    found = life_curve(times)

    assert found.shape.value == pytest.approx(shape, abs=0.0005)
    assert found.scale_h.value == pytest.approx(scale, abs=0.01)
    assert found.median_h.value == pytest.approx(median, abs=0.01)
    assert found.log_likelihood == pytest.approx(likelihood, abs=0.0001)
    assert found.median_h.low < median < found.median_h.high


def test_the_hazard_ratio_of_the_two_treatments():
    """Weibull with one shape: 2.500, log-likelihood -143.3208; computed."""
    ratio, likelihood = hazard_ratio(RT, RCT)

    assert ratio.value == pytest.approx(2.500, abs=0.001)
    assert likelihood == pytest.approx(-143.3208, abs=0.0001)
    assert 1 < ratio.low < ratio.high


def test_the_fit_is_the_best_that_scipy_finds_by_its_own_weibull_law():
    """Likelihood from scipy.stats.weibull_min, optimised by another method."""
    left = np.array([one.dry_h for one in RCT])
    right = np.array([one.wet_h for one in RCT])

    def loss(at):
        law = weibull_min(np.exp(at[0]), scale=np.exp(at[1]))
        return -np.log(law.sf(left) - law.sf(right)).sum()

    best = minimize(loss, [0.0, 3.0], method="Powell", options={"xtol": 1e-6, "ftol": 1e-9})
    found = life_curve(RCT)
    assert np.exp(best.x) == pytest.approx([found.shape.value, found.scale_h.value], rel=1e-4)


def test_exact_onsets_give_the_steps_of_the_empirical_distribution():
    """Spans so narrow that they are points: Turnbull's estimate must be the counted shares."""
    times = [DryTime(hour - 1e-9, hour) for hour in (1.0, 2.0, 2.0, 5.0)]
    found = step_curve(times)

    assert [end for _, end in found.spans_h] == [1.0, 2.0, 5.0]
    assert found.masses == pytest.approx((0.25, 0.5, 0.25), abs=1e-6)


@pytest.mark.thorough
def test_the_intervals_of_a_law_hold_the_truth_about_as_often_as_they_say():
    """Onsets drawn by SciPy from a known law, seen every 5 h until 50 h; 95 of 100 should hold."""
    held = 0
    for seed in range(20):
        onsets = weibull_min(2.0, scale=30).rvs(100, random_state=np.random.default_rng(seed))
        ends = np.minimum(np.ceil(onsets / 5) * 5, 50)
        found = life_curve([DryTime(end - 5, end if end <= 45 else inf) for end in ends])
        held += found.shape.low < 2.0 < found.shape.high
        held += found.scale_h.low < 30 < found.scale_h.high

    assert held >= 34  # fewer happens once in some thousand times


def test_shares_have_intervals_that_hold_them():
    for one in dry_shares(RCT, [10, 20, 30]):
        assert 0 <= one.low <= one.value <= one.high <= 1
        assert one.high - one.low > 0.1
    assert dry_shares(RT, [47.0]) == (None,)


def test_that_all_leaked_still_has_an_upper_bound():
    """Exact one-sided 95 % bound of a binomial share, the other way round."""
    (found,) = dry_shares([DryTime(0, 1)] * 3, [1])

    assert found is not None
    assert (found.value, found.low) == (0, 0)
    assert found.high == pytest.approx(1 - 0.05 ** (1 / 3))


def test_no_leak_at_all_still_has_a_lower_bound():
    """Exact one-sided 95 % bound of a binomial share: 0.05 ** (1 / n)."""
    (share,) = dry_shares([DryTime(8.0)] * 10, [8.0])

    assert share.value == 1
    assert share.low == pytest.approx(0.05**0.1)


@pytest.mark.parametrize(
    ("times", "sentence"),
    [
        ([], "No seal has been looked at"),
        ([DryTime(-1.0, 4.0)], "must be numbers of 0 and more"),
        ([DryTime(nan, 4.0)], "must be numbers of 0 and more"),
        ([DryTime(0.0, nan)], "must be numbers of 0 and more"),
        ([DryTime(5.0, 5.0)], "cannot be seen wet before"),
    ],
)
def test_what_cannot_be_is_refused(times, sentence):
    with pytest.raises(BadInput, match=sentence):
        step_curve(times)


def test_a_law_of_one_leak_is_refused():
    with pytest.raises(BadInput, match="at least two that leaked"):
        life_curve([DryTime(0.0, 4.0), DryTime(9.0)])
    with pytest.raises(BadInput, match="at least two leaks of each"):
        hazard_ratio(RT, [DryTime(9.0)])


@pytest.mark.thorough
@pytest.mark.filterwarnings("ignore")
def test_both_estimates_are_those_of_lifelines():
    """An independent library for censored data; it pulls in much, so it is only asked on demand."""
    lifelines = pytest.importorskip("lifelines")
    left, right = [one.dry_h for one in RT], [one.wet_h for one in RT]
    fitter = lifelines.WeibullFitter().fit_interval_censoring(left, right)
    found = life_curve(RT)
    steps = step_curve(RT)
    # There, spans hold their left end too; here they do not.
    after = [one + 1e-6 for one in left]
    shares = lifelines.KaplanMeierFitter().fit_interval_censoring(after, right, tol=1e-9)

    assert found.shape.value == pytest.approx(fitter.rho_, rel=1e-3)
    assert found.scale_h.value == pytest.approx(fitter.lambda_, rel=1e-3)
    at = shares.survival_function_.iloc[:, 0]
    for hours in (10.0, 30.0, 42.0):
        assert dry_share(steps, hours) == pytest.approx(
            float(at[at.index <= hours].iloc[-1]), abs=0.003
        )
