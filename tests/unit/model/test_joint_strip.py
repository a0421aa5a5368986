from dataclasses import replace
from datetime import UTC, datetime

import pytest

from leaktrack.model.engine import Joint, SealKind
from leaktrack.model.identity import new_id
from leaktrack.model.joint_strip import JointStrip, StripMark, StripRow, StripSight
from leaktrack.model.leak import SeepageGrade
from leaktrack.model.shapes import PointPx
from leaktrack.model.strip_words import cure_words, doubt_words, fault_words, tolerance_words
from leaktrack.workflows.gather_beads import strip_bead
from tests.beads import a_bead_audit

OPEN = JointStrip(
    Joint(zone_id=new_id(), name="Cover", seal_kind=SealKind.GASKET), (), 1.0, 11.0, ()
)
RING = replace(OPEN, joint=replace(OPEN.joint, is_closed=True), last=5.0)
MARK = StripMark(
    new_id(), 7, new_id(), new_id(), 4.6, 4.0, 5.5, SeepageGrade.SEEP, PointPx(300, 200)
)
SIGHT = StripSight(
    new_id(), ((3.0, PointPx(0, 0)), (4.0, PointPx(100, 0)), (6.0, PointPx(100, 50)))
)


@pytest.mark.parametrize(
    ("strip", "stretch", "pieces"),
    [
        (OPEN, (0.5, 3.0), ((1.0, 3.0),)),
        (OPEN, (11.5, 12.0), ()),
        (RING, (0.8, 1.3), ((1.0, 1.3), (4.8, 5.0))),
        (RING, (5.5, 6.0), ((1.5, 2.0),)),
        (RING, (2.0, 7.0), ((1.0, 5.0),)),
    ],
)
def test_a_stretch_lies_on_the_chart_in_pieces(strip, stretch, pieces):
    assert strip.pieces(*stretch) == tuple(pytest.approx(piece) for piece in pieces)


def test_a_stretch_over_the_first_bolt_of_a_ring_holds_both_sides_of_it():
    assert RING.holds(0.8, 1.3, 4.9)
    assert RING.holds(0.8, 1.3, 1.2)
    assert not RING.holds(0.8, 1.3, 2.0)
    assert RING.holds(0.8, 1.3, 1.4, slack=0.2)


@pytest.mark.parametrize(
    ("station", "at"), [(3.5, PointPx(50, 0)), (5.0, PointPx(100, 25)), (6.0, PointPx(100, 50))]
)
def test_a_photo_tells_where_it_shows_a_station(station, at):
    assert SIGHT.at(station) == at


def test_a_station_that_a_photo_does_not_show_has_no_place():
    assert SIGHT.at(2.9) is None
    assert StripSight(new_id(), ()).at(1.0) is None


def test_the_seal_in_force_is_the_last_one_before():
    at = datetime(2026, 3, 7, tzinfo=UTC)
    look, job = StripRow(at, None, None), StripRow(at, None, object())
    strip = replace(OPEN, rows=(look, job, look, look, job, look))

    assert [strip.job_row_above(row) for row in range(6)] == [None, 1, 1, 1, 4, 4]


def test_faults_are_told_with_their_figures():
    audit = a_bead_audit(gaps=((10, 15),), thins=((50, 61.5),), thicks=((80, 84),))

    told = [fault_words(fault, "mm") for fault in strip_bead(audit, None).faults]

    assert told == [
        "gap, 5.0 mm long",
        "thin, down to 1.2 mm, 11.5 mm long",
        "thick, up to 5.4 mm, 4.0 mm long",
    ]


@pytest.mark.parametrize(
    ("narrowest", "widest", "words"),
    [
        (2.0, 4.5, "2 to 4.5 mm"),
        (2.0, None, "at least 2 mm"),
        (None, 4.0, "at most 4 mm"),
        (None, None, ""),
    ],
)
def test_allowed_widths_are_told_as_far_as_somebody_said_them(narrowest, widest, words):
    audit = a_bead_audit(narrowest=narrowest, widest=widest)

    assert tolerance_words(strip_bead(audit, None)) == words


@pytest.mark.parametrize(
    ("sigma", "sigma_mm", "words"),
    [(0.05, 1.6, "± 3 mm"), (0.08, None, "± 0.2"), (None, None, ""), (0.01, 0.1, "± 1 mm")],
)
def test_a_doubt_is_two_standard_deviations_in_mm_where_they_are_known(sigma, sigma_mm, words):
    assert doubt_words(replace(MARK, sigma=sigma, sigma_mm=sigma_mm)) == words


def test_a_short_cure_is_told_too():
    assert cure_words(0.4) == "ran within 1 h"


def test_a_bead_is_told_against_the_width_asked_for_else_its_own():
    asked = strip_bead(a_bead_audit(), None)
    not_asked = strip_bead(a_bead_audit(nominal=None), None)

    assert asked.usual == 3.0
    assert not_asked.usual == pytest.approx(3.0, abs=0.2)
