from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from leaktrack.analysis.tracing import MarkedSource, Suspect, candidates, job_in_force
from leaktrack.model.engine import Bolt, Joint, JointLine, LinePoint, SealKind
from leaktrack.model.identity import new_id
from leaktrack.model.sealing_job import Deviation, DeviationKind, SealingJob
from leaktrack.model.shapes import PointPx
from leaktrack.model.trace import Cause, CauseState, ClueKind

NOON = datetime(2026, 3, 21, 12, tzinfo=UTC)
PHOTO = new_id()


def suspect(name, y_px=None, has_heads=True, **fields):
    """A joint with bolts 4 to 7 every 200 px on a level line, heads 100 px above it."""
    joint = Joint(zone_id=new_id(), name=name, seal_kind=SealKind.LIQUID_GASKET)
    points = tuple(
        LinePoint(
            PointPx(200 * index, y_px or 0),
            number,
            PointPx(200 * index, (y_px or 0) - 100) if has_heads else None,
        )
        for index, number in enumerate((4, 5, 6, 7))
    )
    line = JointLine(joint_id=joint.id, photo_id=PHOTO, points=points) if y_px is not None else None
    bolts = tuple(
        Bolt(joint_id=joint.id, number=number, opens_into_oil=number == 6) for number in range(1, 9)
    )
    return Suspect(
        joint=joint,
        bolts=bolts,
        line=line,
        job=SealingJob(joint_id=joint.id, done_at=NOON),
        **fields,
    )


def source(x, y, mm_per_px=None):
    return MarkedSource(PointPx(x, y), 2000, mm_per_px)


def traced(point, *suspects):
    found, _ = candidates(suspects, point)
    return found


COVER = suspect("cover joint", 500)


def test_a_source_on_the_line_starts_at_the_joint_between_its_bolts():
    (one,) = traced(source(120, 505), COVER)

    assert one.station == pytest.approx(4.6)
    assert one.bolt is None
    assert (one.joint_at_px, one.distance_px) == (PointPx(120, 500), 5)
    assert one.clues[0].kind is ClueKind.AT_THE_JOINT


@pytest.mark.parametrize(
    ("y", "kind"),
    [
        (539, ClueKind.AT_THE_JOINT),
        (545, ClueKind.BELOW_THE_JOINT),
        (461, ClueKind.AT_THE_JOINT),
        (455, ClueKind.ABOVE_THE_JOINT),
    ],
)
def test_near_means_a_share_of_the_photo_where_it_has_no_scale(y, kind):
    (one,) = traced(source(300, y), COVER)

    assert one.clues[0].kind is kind
    assert one.clues[0].unit == "px"


@pytest.mark.parametrize(("y", "kind"), [(559, "at_the_joint"), (561, "below_the_joint")])
def test_near_means_millimetres_where_it_has_one(y, kind):
    (one,) = traced(source(300, y, mm_per_px=0.1), COVER)

    assert one.clues[0].kind.value == kind
    assert (one.clues[0].value, one.clues[0].unit) == (pytest.approx((y - 500) * 0.1), "mm")


def test_a_source_off_the_line_beside_a_bolt_starts_at_that_bolt():
    (one,) = traced(source(605, 430), COVER)

    assert one.bolt.number == 7
    assert (one.clues[0].kind, one.clues[0].value) == (ClueKind.AT_A_BOLT, 7)


def test_a_bolt_whose_hole_goes_through_to_oil_says_so():
    (one,) = traced(source(400, 440), COVER)

    assert [clue.kind for clue in one.clues] == [ClueKind.AT_A_BOLT, ClueKind.OPENS_INTO_OIL]


@pytest.mark.parametrize(
    "point",
    [source(600, 495), source(700, 430), source(600, 570), source(600, 300)],
    ids=["on the line", "between bolts", "on the far side of the line", "far above the head"],
)
def test_other_sources_near_a_bolt_do_not_start_at_it(point):
    assert traced(point, COVER)[0].bolt is None


def test_bolts_that_sit_on_the_line_catch_sources_close_to_them():
    plain = suspect("sump joint", 500, has_heads=False)

    assert traced(source(410, 505), plain)[0].bolt.number == 6
    assert traced(source(440, 505), plain)[0].bolt is None


def test_nearest_comes_first_among_joints_above_the_source():
    far, near = suspect("top cover", 100), suspect("side cover", 300)

    assert [one.joint.name for one in traced(source(300, 500), far, near)] == [
        "side cover",
        "top cover",
    ]


def test_oil_runs_down_so_a_nearer_joint_below_the_source_comes_later():
    above, below = suspect("top cover", 100), suspect("sump", 600)

    found = traced(source(300, 500), below, above)

    assert [one.joint.name for one in found] == ["top cover", "sump"]
    assert found[1].clues[0].kind is ClueKind.ABOVE_THE_JOINT


def test_joints_without_a_line_in_the_photo_come_after_with_the_own_zone_first():
    elsewhere = replace(suspect("rear seal"), is_in_zone=False)
    own = suspect("plug")

    found = traced(source(300, 900), elsewhere, own, COVER)

    assert [one.joint.name for one in found] == ["cover joint", "plug", "rear seal"]
    assert found[1].clues[0].kind is ClueKind.LINE_NOT_DRAWN
    assert (found[1].station, found[1].distance_px, found[1].joint_at_px) == (None, None, None)


def test_a_leak_without_a_source_leaves_all_joints_undecided():
    (one,) = traced(None, COVER)

    assert one.clues[0].kind is ClueKind.LINE_NOT_DRAWN


def test_known_departures_and_earlier_leaks_settle_a_tie_and_are_said():
    late = Deviation(DeviationKind.CLOSED_TOO_LATE, new_id(), "closed_at", 16, 10, "min")
    missing = Deviation(DeviationKind.NOT_RECORDED, new_id(), "evidence")
    plain = suspect("plain", deviations=(missing,))
    leaked = suspect("leaked", has_leaked_before=True)
    departing = suspect("departing", deviations=(late,))

    found = traced(None, plain, leaked, departing)

    assert [one.joint.name for one in found] == ["departing", "leaked", "plain"]
    assert [clue.deviation for clue in found[0].clues] == [None, late]
    assert found[1].clues[1].kind is ClueKind.LEAKED_BEFORE


def test_of_two_jobs_on_a_joint_the_one_fitted_before_the_leak_comes_first():
    late = Deviation(DeviationKind.CLOSED_TOO_LATE, new_id(), "closed_at", 16, 10, "min")
    redo = replace(
        COVER,
        job=replace(COVER.job, id=new_id()),
        was_fitted_later=True,
        deviations=(late,),
    )

    found = traced(source(120, 505), redo, COVER)

    assert [one.job for one in found] == [COVER.job, redo.job]
    assert ClueKind.FITTED_LATER in {clue.kind for clue in found[1].clues}


def test_what_a_person_ruled_out_comes_last():
    ruled_out = Cause(
        leak_id=new_id(),
        sealing_job_id=COVER.job.id,
        state=CauseState.RULED_OUT,
        reason="dry under powder",
        decided_at=NOON,
    )
    at_the_joint = replace(COVER, verdict=ruled_out)
    far = suspect("top cover", 100)

    found = traced(source(120, 505), at_the_joint, far)

    assert [one.joint.name for one in found] == ["top cover", "cover joint"]
    assert found[1].verdict == ruled_out


def test_a_joint_without_a_job_is_named_rather_than_forgotten():
    unrecorded = replace(COVER, job=None)

    found, without_job = candidates((unrecorded, suspect("plug")), source(120, 505))

    assert [one.joint.name for one in found] == ["plug"]
    assert without_job == (unrecorded.joint,)


def test_a_job_fitted_after_the_run_cannot_have_caused_its_leaks():
    joint = new_id()
    morning = SealingJob(joint_id=joint, done_at=NOON - timedelta(days=9))
    redone = SealingJob(joint_id=joint, done_at=NOON - timedelta(days=2), supersedes_id=morning.id)
    evening = SealingJob(joint_id=joint, done_at=NOON + timedelta(hours=6), supersedes_id=redone.id)

    assert job_in_force((evening, morning, redone), NOON) == redone
    assert job_in_force((evening,), NOON) is None


# The demo engine's first cover photo: a seep between bolts 4 and 5, and one at the washer of bolt 7
# (source places and bolt places as rendered).
DEMO_LINE = tuple(
    LinePoint(PointPx(*at), number, PointPx(*head))
    for number, at, head in [
        (4, (568, 830), (574, 715)),
        (5, (792, 826), (792, 712)),
        (6, (1032, 821), (1025, 708)),
        (7, (1243, 817), (1231, 705)),
        (8, (1470, 813), (1452, 701)),
    ]
)


@pytest.mark.parametrize(
    ("x", "y", "station", "bolt"), [(689.1, 826.7, 4.54, None), (1238.7, 750.0, 7.0, 7)]
)
def test_the_demo_engines_two_cover_leaks_are_told_apart(x, y, station, bolt):
    demo = replace(COVER, line=replace(COVER.line, points=DEMO_LINE))

    (one,) = traced(source(x, y), demo)

    assert one.station == pytest.approx(station, abs=0.05)
    assert (one.bolt.number if one.bolt else None) == bolt
