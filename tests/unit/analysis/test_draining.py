"""Two drains held against each other, and the colours of crumbs."""

from dataclasses import replace
from math import inf, nan

import pytest
from scipy.stats import binomtest

from leaktrack.analysis.colouring import crumb_sources, families_named, family_of
from leaktrack.analysis.draining import compared_drains, rate_ratio
from leaktrack.model.debris import DebrisCount, DrainChange, Particle, ParticleKind
from leaktrack.model.errors import BadInput
from leaktrack.model.shapes import PointPx


def particle(kind=ParticleKind.DARK_CLUMP, length=1.5, lightness=20.0, colour=(0.0, 0.0)):
    return Particle(
        at=PointPx(0, 0),
        outline=(),
        length=length,
        width=length / 2,
        area=length,
        kind=kind,
        lightness=lightness,
        colour=colour,
    )


def drain(*particles, least=0.4):
    return DebrisCount(particles=particles, unit="mm", mm_per_px=0.1, least=least)


@pytest.mark.parametrize(("before", "after"), [(3, 12), (20, 5), (7, 0), (0, 4), (9, 9)])
def test_the_ratio_s_interval_is_that_of_scipy_s_exact_binomial(before, after):
    """By their sum, one of two Poisson counts is binomial; Clopper and Pearson's interval."""
    found = rate_ratio(before, after)
    bounds = binomtest(after, before + after).proportion_ci(method="exact")

    assert found.low == pytest.approx(bounds.low / (1 - bounds.low))
    if before:
        assert found.high == pytest.approx(bounds.high / (1 - bounds.high))
        assert found.value == after / before
    else:
        assert found.high == found.value == inf


def test_twice_the_hours_make_the_same_count_half_as_many():
    found = rate_ratio(10, 10, hours=0.5)

    assert found.value == 0.5
    assert found.low < 0.5 < found.high


def test_many_more_are_more_and_a_few_more_may_be_chance():
    few, many = [particle()] * 4, [particle()] * 30
    rows = {(row.kind, row.size): row for row in compared_drains(drain(*few), drain(*many)).rows}

    assert rows[None, ""].change is DrainChange.MORE
    assert rows[ParticleKind.DARK_CLUMP, "to 2 mm"].after == 30
    close = compared_drains(drain(*few), drain(*few, particle()))
    assert close.rows[0].change is DrainChange.CANNOT_SAY
    assert compared_drains(drain(*many), drain(*few)).rows[0].change is DrainChange.FEWER


def test_particles_that_one_photo_could_not_show_do_not_count():
    found = compared_drains(drain(particle(length=0.6)), drain(particle(length=2.0), least=1.0))

    assert (found.least_mm, found.rows[0].before, found.rows[0].after) == (1.0, 0, 1)


def test_areas_are_added_up():
    found = compared_drains(drain(particle(length=2.0), particle(length=3.0)), drain())

    assert (found.rows[0].before_mm2, found.rows[0].after_mm2) == (5.0, 0)


def test_a_drain_without_scale_is_refused():
    with pytest.raises(BadInput, match="no scale"):
        compared_drains(drain(), replace(drain(), unit="px"))


@pytest.mark.parametrize("hours", [-1.0, 0.0, nan])
def test_hours_out_of_reason_are_refused(hours):
    with pytest.raises(BadInput, match=r"must lie between 0\.01 and 100000 h"):
        compared_drains(drain(), drain(), hours, 5.0)


@pytest.mark.parametrize(
    ("lightness", "colour", "family"),
    [
        (20, (1, -2), "black"),
        (55, (0, -3), "grey"),
        (90, (0, 3), "white"),
        (45, (50, 20), "red"),
        (60, (30, 50), "orange"),
        (80, (0, 60), "yellow"),
        (50, (-40, 20), "green"),
        (40, (5, -45), "blue"),
        (50, (40, -25), "red"),
    ],
)
def test_plain_colours_are_called_by_their_names(lightness, colour, family):
    assert family_of(particle(lightness=lightness, colour=colour)) == family


def test_crumbs_lead_to_the_joints_sealed_in_their_colour():
    crumb = ParticleKind.SEALANT_CRUMB
    particles = [
        particle(crumb, lightness=60, colour=(30, 50)),
        particle(crumb, lightness=60, colour=(30, 50)),
        particle(crumb, lightness=40, colour=(5, -45)),
        particle(),
    ]
    sealants = [("Cover (A)", "amber"), ("Sump (B)", "dark grey"), ("Pump (C)", "")]

    found = {one.colour: one for one in crumb_sources(particles, sealants)}

    assert (found["orange"].crumbs, found["orange"].joints) == (2, ("Cover (A)",))
    assert (found["blue"].crumbs, found["blue"].joints) == (1, ())


def test_words_for_colours_are_found_among_others():
    assert families_named("Sealant, dark-grey") == {"grey"}
    assert families_named("greyhound") == frozenset()
