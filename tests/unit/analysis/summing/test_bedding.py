from math import inf, nan

import pytest
from scipy.integrate import quad

from leaktrack.analysis.summing.bedding import (
    HALF_ROUND,
    bead_for_mm,
    bead_range,
    film_mm,
    film_range,
    ml_per_metre,
    tolerance_as_volume,
    volume_range,
    volume_share,
)
from leaktrack.model.errors import BadInput


@pytest.mark.parametrize(
    ("bead", "gap", "width"),
    [(2, 0.1, 31.42), (3, 0.25, 28.27), (3, 0.5, 14.14), (1.75, 0.1, 24.05)],
)
def test_worked_films(bead, gap, width):
    """Computed from pi d^2 / (4 g), rounded to two decimals."""
    assert film_mm(bead, gap) == pytest.approx(width, abs=0.005)
    assert film_mm(bead, gap, HALF_ROUND) == pytest.approx(width / 2, abs=0.005)


@pytest.mark.parametrize(("width", "gap", "bead"), [(8, 0.1, 1.009), (6, 0.25, 1.382)])
def test_worked_beads(width, gap, bead):
    """Computed from sqrt(4 g w / pi), rounded to three decimals."""
    assert bead_for_mm(width, gap) == pytest.approx(bead, abs=0.0005)


def test_a_metre_of_a_round_3_mm_bead():
    """Computed: 7.069 mL."""
    assert ml_per_metre(3.0) == pytest.approx(7.069, abs=0.0005)


def test_a_round_bead_is_a_circle():
    """scipy.integrate.quad over the circle's chords, an independent reference."""
    area, _ = quad(lambda x: 2 * (1.5**2 - x**2) ** 0.5, -1.5, 1.5)

    assert ml_per_metre(3.0) == pytest.approx(area, rel=1e-9)


def test_a_tolerance_of_width_is_twice_that_of_volume():
    """Computed for the bead that a car maker asks for: 2.0 +-0.5 mm, and 1.75 +-0.5 mm."""
    two, less = tolerance_as_volume(2.0, 0.5), tolerance_as_volume(1.75, 0.5)

    assert (two.least, two.most) == (0.5625, 1.5625)
    assert (less.least, less.most) == pytest.approx((0.51, 1.65), abs=0.005)


@pytest.mark.parametrize("bead", [0.5, 1.0, 2.7, 12.0])
@pytest.mark.parametrize("gap", [0.01, 0.1, 2.0])
@pytest.mark.parametrize("share", [1.0, HALF_ROUND])
def test_the_bead_of_a_film_is_the_one_it_came_from(bead, gap, share):
    width = film_mm(bead, gap, share)

    if width <= 500:
        assert bead_for_mm(width, gap, share) == pytest.approx(bead, rel=1e-12)
    assert width * gap == pytest.approx(ml_per_metre(bead, share))  # mm2, and mL per metre


def test_doubling_a_bead_is_exactly_four_times_the_sealant():
    assert volume_share(1.3, 2.6) == 4
    assert film_mm(2.6, 0.1) == pytest.approx(4 * film_mm(1.3, 0.1))


def test_ranges_run_from_half_round_to_round():
    film = film_range(3.0, 0.5)
    assert (film.least, film.most) == (film_mm(3.0, 0.5, HALF_ROUND), film_mm(3.0, 0.5))

    bead = bead_range(8.0, 0.1)
    assert (bead.least, bead.most) == (bead_for_mm(8, 0.1), bead_for_mm(8, 0.1, HALF_ROUND))

    assert volume_range(3.0, 1930.0).most == pytest.approx(7.0686 * 1.93, abs=0.001)


@pytest.mark.parametrize("bad", [-2.0, 0.0, nan, inf, 51.0])
def test_a_bead_that_cannot_be_is_refused(bad):
    for work in (
        lambda: film_mm(bad, 0.1),
        lambda: ml_per_metre(bad),
        lambda: volume_share(bad, 1.0),
        lambda: tolerance_as_volume(bad, 0.1),
        lambda: volume_range(bad),
    ):
        with pytest.raises(BadInput, match=r"The bead is .*between 0.1 mm and 50 mm"):
            work()


@pytest.mark.parametrize("bad", [-0.1, 0.0, nan, 11.0])
def test_a_gap_that_cannot_be_is_refused(bad):
    for work in (lambda: film_mm(2.0, bad), lambda: bead_for_mm(8.0, bad)):
        with pytest.raises(BadInput, match=r"The gap is .*between 0.001 mm and 10 mm"):
            work()


def test_widths_and_tolerances_that_cannot_be_are_refused():
    with pytest.raises(BadInput, match="above 0 and at most 500 mm"):
        bead_for_mm(0.0, 0.1)
    with pytest.raises(BadInput, match="between 0 mm and 2 mm"):
        tolerance_as_volume(2.0, 2.5)
    with pytest.raises(BadInput, match="The length of the joint is not a number"):
        volume_range(2.0, nan)
