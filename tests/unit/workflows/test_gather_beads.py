from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest

from leaktrack.analysis.stationing import ruled_line
from leaktrack.model.bead_audit import BeadAudit, BeadDefectKind
from leaktrack.model.engine import Bolt, JointLine, LinePoint
from leaktrack.model.identity import new_id
from leaktrack.model.shapes import PointPx
from leaktrack.workflows.gather_beads import bead_audits, strip_bead
from tests.beads import a_bead_audit


class Kept:
    """A reader that keeps audits."""

    def __init__(self, *audits: BeadAudit) -> None:
        self.audits = audits

    def all(self, kind: Any, sealing_job_id: Any) -> tuple[BeadAudit, ...]:
        assert kind is BeadAudit
        return tuple(one for one in self.audits if one.sealing_job_id in sealing_job_id)


def test_the_latest_audit_of_each_photo_counts():
    job_id = new_id()
    first = a_bead_audit(job_id)
    again = replace(first, id=new_id(), made_at=first.made_at + timedelta(days=1))
    other = a_bead_audit(job_id)

    found = bead_audits(Kept(again, other, first, a_bead_audit()), [job_id])

    assert {one.id for one in found} == {again.id, other.id}


def test_a_gap_lies_at_the_stations_of_the_bead_around_it():
    bead = strip_bead(a_bead_audit(gaps=((100.0, 105.0),)), None)

    (gap,) = bead.faults
    assert (gap.kind, gap.length) == (BeadDefectKind.GAP, 5.0)
    assert (gap.start, gap.end) == pytest.approx((3.5, 3.625))
    assert bead.width_at(3.55).width == 0


def test_glare_is_unread_and_no_gap():
    bead = strip_bead(a_bead_audit(glares=((40.0, 60.0),)), None)

    assert bead.faults == ()
    assert (bead.unread[0].start, bead.unread[0].end) == pytest.approx((2.0, 2.5))
    assert not bead.width_at(2.2).is_read


def test_a_path_followed_backwards_still_runs_from_low_to_high_stations():
    bead = strip_bead(a_bead_audit(stations=(11.0, 1.0), gaps=((100.0, 105.0),)), None)

    assert list(bead.stations) == sorted(bead.stations)
    assert (bead.faults[0].start, bead.faults[0].end) == pytest.approx((8.375, 8.5))


def line(*points, is_closed=False, count=11):
    joint_id = new_id()
    drawn = JointLine(
        joint_id=joint_id,
        photo_id=new_id(),
        points=tuple(LinePoint(PointPx(x, y), number) for x, y, number in points),
    )
    bolts = [Bolt(joint_id=joint_id, number=number) for number in range(1, count + 1)]
    return ruled_line(drawn, bolts, is_closed=is_closed)


def test_an_audit_without_stations_takes_those_of_the_line_in_its_photo():
    audit = a_bead_audit(stations=None, gaps=((100.0, 105.0),))  # 100 mm are 500 px on from x = 100

    bead = strip_bead(audit, line((100, 500, 2), (1100, 500, 4), (2100, 500, 6)))

    assert (bead.faults[0].start, bead.faults[0].end) == pytest.approx((3.0, 3.05))


def test_an_audit_without_any_stations_is_the_whole_joint():
    bead = strip_bead(a_bead_audit(stations=None), None)

    assert (bead.stations[0], bead.stations[-1]) == (0, 1)


def test_a_bead_over_the_last_bolt_of_a_loop_does_not_jump():
    audit = a_bead_audit(gaps=((290.0, 300.0),))
    wrapped = [3 + point.along / 100 for point in audit.points]
    points = tuple(
        replace(point, station=(station - 1) % 4 + 1)
        for point, station in zip(audit.points, wrapped, strict=True)
    )
    ring = line((0, 0, 1), (100, 0, 2), (100, 100, 3), (0, 100, 4), is_closed=True, count=4)

    bead = strip_bead(replace(audit, points=points), ring)

    assert list(bead.stations) == pytest.approx(wrapped)
    assert (bead.faults[0].start, bead.faults[0].end) == pytest.approx((5.9, 6.0))


def test_an_audit_that_read_nothing_has_nothing_to_draw():
    bead = strip_bead(replace(a_bead_audit(gaps=((5.0, 8.0),)), points=()), None)

    assert (bead.widths, bead.faults, bead.width_at(2.0)) == ((), (), None)


def test_of_very_many_widths_the_narrowest_are_kept():
    audit = a_bead_audit(step_mm=0.1, gaps=((100.0, 100.4),), glares=((200.0, 201.0),))

    bead = strip_bead(audit, None)

    assert len(bead.widths) <= 1001 < len(audit.points)
    assert (bead.stations[0], bead.stations[-1]) == (1.0, 11.0)
    assert min(each.width for each in bead.widths) == 0
    assert not bead.width_at(6.012).is_read
