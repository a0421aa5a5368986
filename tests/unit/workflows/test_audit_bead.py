"""A bead is measured along its joint's line, by bolt coordinates; truth is what was painted."""

from dataclasses import replace

import numpy as np
import pytest
from PIL import Image

from leaktrack.model.bead_audit import (
    BeadAudit,
    BeadDefectKind,
    BeadPoint,
    BeadVerdict,
    HoleSide,
)
from leaktrack.model.engine import Bolt, JointLine, LinePoint, SealKind
from leaktrack.model.errors import BadInput, MissingRecord
from leaktrack.model.identity import new_id
from leaktrack.model.photo import Photo
from leaktrack.model.record import Edit, added, replaced
from leaktrack.model.sealing_job import BeadPlace, DeviationKind, Material, SealingJob, SealingRule
from leaktrack.model.shapes import PointPx
from leaktrack.workflows.add_photos import add_photos
from leaktrack.workflows.audit_bead import (
    audit_bead,
    audits_of_job,
    keep_audit,
    middle_of,
    photos_to_audit,
    place_of,
    remove_audit,
    tolerance_of,
)
from leaktrack.workflows.audit_bead_file import USUAL_TOLERANCE
from leaktrack.workflows.follow_bead import follow_bead, photos_of_job
from leaktrack.workflows.gather_engine import EngineRecords
from leaktrack.workflows.pass_bolts import bolts_passed, is_against_rule, place_wanted
from leaktrack.workflows.record_sealing_job import record_job, remove_job
from leaktrack.workflows.view_sealing_job import job_view
from tests.beads import a_bead_audit
from tests.builders import a_bolt, a_job
from tests.filled_project import MARCH
from tests.paint_beads import Painting, painted

WHAT = Painting(gaps=((31.0, 34.0),), reach_mm=(64.0, 17.0), width=2.8, px_per_mm=8.0)
BOLTS_MM = (10.0, 30.0, 50.0)


@pytest.fixture(scope="module")
def picture(tmp_path_factory):
    seen = painted(WHAT)
    path = tmp_path_factory.mktemp("bead") / "bead.png"
    Image.fromarray(seen.rgb).save(path)
    return path, seen


@pytest.fixture
def job(project, filled, picture):
    """A job with the photo as evidence, and the joint's line in it through three bolts."""
    made = replace(a_job(filled.joint.id), bead_mm=2.8, done_at=MARCH)
    project.apply(record_job(project, made))
    batch = add_photos(project, [picture[0]], job_id=made.id)
    project.apply(batch.edit)
    old = project.all(Bolt, joint_id=filled.joint.id)
    for bolt in old:
        project.apply(Edit((*replaced(bolt, replace(bolt, station_mm=None)).changes,)))
    for number, station in enumerate(BOLTS_MM, start=1):
        have = [bolt for bolt in old if bolt.number == number]
        if have:
            project.apply(replaced(project.get(Bolt, have[0].id),
                                   replace(have[0], station_mm=station)))  # fmt: skip
        else:
            project.apply(added(a_bolt(filled.joint.id, number=number, station_mm=station)))
    for bolt in old:
        if bolt.number > len(BOLTS_MM):
            project.apply(replaced(project.get(Bolt, bolt.id),
                                   replace(bolt, station_mm=bolt.number * 20.0 - 10)))  # fmt: skip
    return made


def photo_of(project, picture):
    return next(p for p in project.all(Photo) if p.original_name == picture[0].name)


def drawn_line(project, joint_id, picture):
    seen = picture[1]
    places = np.arange(4.0, 60.0, 4.0)
    along = np.sort(np.append(places, BOLTS_MM))
    x, y = (np.interp(along, seen.along_mm, seen.path_px[:, i]) for i in (0, 1))
    numbers = {station: number for number, station in enumerate(BOLTS_MM, start=1)}
    points = tuple(
        LinePoint(PointPx(float(px), float(py)), numbers.get(float(place)))
        for px, py, place in zip(x, y, along, strict=True)
    )
    line = JointLine(joint_id=joint_id, photo_id=photo_of(project, picture).id, points=points)
    project.apply(added(line))
    return line


@pytest.fixture
def audit(project, filled, job, picture):
    drawn_line(project, filled.joint.id, picture)
    return audit_bead(project, job.id, photo_of(project, picture).id)


def test_a_gap_lies_at_its_bolt_coordinate(audit):
    (gap,) = [each for each in audit.defects if each.kind is BeadDefectKind.GAP]

    assert (audit.unit, audit.verdict) == ("mm", BeadVerdict.DEFECTIVE)
    assert middle_of(gap) == pytest.approx(32.5, abs=1)
    assert gap.end - gap.start == pytest.approx(3, abs=1)
    # Bolts lie 20 mm apart: 1 mm beyond bolt 2 is 2.05.
    assert gap.start_station == pytest.approx(2.05, abs=0.06)
    assert gap.end_station == pytest.approx(2.2, abs=0.06)


def test_every_place_of_it_has_its_place_in_the_photo(audit, picture):
    place = place_of(audit, 40.0)

    truth = [np.interp(40, picture[1].along_mm, picture[1].path_px[:, i]) for i in (0, 1)]
    assert (place.x, place.y) == pytest.approx(truth, abs=4)


def test_without_a_line_it_says_what_to_do(project, job, picture):
    with pytest.raises(BadInput, match="Draw the line along the bead"):
        audit_bead(project, job.id, photo_of(project, picture).id)


def test_only_photos_with_the_joints_line_can_be_measured(project, filled, job, picture):
    assert photos_to_audit(project, job.id) == ()

    drawn_line(project, filled.joint.id, picture)

    assert photos_to_audit(project, job.id) == (photo_of(project, picture),)


def test_nothing_is_recorded_until_somebody_keeps_it(project, audit, job):
    assert audits_of_job(project, job.id) == ()

    edit = keep_audit(project, audit)
    project.apply(edit)
    (kept,) = audits_of_job(project, job.id)
    assert kept == audit

    project.apply(edit.inverse)
    assert audits_of_job(project, job.id) == ()


def test_a_new_measurement_takes_the_place_of_the_old_one(project, audit, job):
    project.apply(keep_audit(project, audit))
    again = replace(audit, id=new_id())
    project.apply(keep_audit(project, again))

    assert [each.id for each in audits_of_job(project, job.id)] == [again.id]


def test_it_can_be_removed_and_goes_with_its_job(project, audit, job):
    project.apply(keep_audit(project, audit))
    gone = remove_audit(project, audit.id)
    project.apply(gone)
    assert project.all(BeadAudit) == ()
    project.apply(gone.inverse)

    project.apply(remove_job(project, job.id))

    assert project.all(BeadAudit) == ()


def test_a_job_that_is_gone_keeps_no_measurement(project, audit):
    with pytest.raises(MissingRecord):
        keep_audit(project, replace(audit, sealing_job_id=new_id()))


def test_the_materials_rule_goes_before_the_usual_tolerance(filled):
    job = replace(a_job(filled.joint.id), bead_mm=2.0)
    rule = SealingRule(
        material_id=new_id(), bead_min_mm=1.5, bead_max_mm=2.5, source="text on the tube"
    )

    by_rule, usual = tolerance_of(job, rule), tolerance_of(job, None)

    assert (by_rule.narrowest_mm, by_rule.widest_mm) == (1.5, 2.5)
    assert by_rule.source == "text on the tube"
    assert (usual.narrowest_mm, usual.source) == (None, USUAL_TOLERANCE)


def clicks_on(picture, *places):
    seen = picture[1]
    return tuple(
        PointPx(*(float(np.interp(place, seen.along_mm, seen.path_px[:, i])) for i in (0, 1)))
        for place in places
    )


def test_a_bead_is_followed_from_two_clicks_and_measured_without_a_line(project, job, picture):
    photo = photo_of(project, picture)
    assert photos_of_job(project, job.id) == (photo,)

    path = follow_bead(project, photo.id, clicks_on(picture, 6.0, 58.0))
    found = audit_bead(project, job.id, photo.id, followed=path)

    (gap,) = [each for each in found.defects if each.kind is BeadDefectKind.GAP]
    assert (found.unit, gap.station) == ("px", None)  # nothing tells the scale
    (middle,) = clicks_on(picture, 32.5)
    assert place_of(found, middle_of(gap)).distance_px(middle) < 8  # 1 mm


def test_a_bead_is_not_followed_from_one_click_or_outside_the_photo(project, job, picture):
    photo = photo_of(project, picture)

    with pytest.raises(BadInput, match="where it ends"):
        follow_bead(project, photo.id, clicks_on(picture, 6.0))
    with pytest.raises(BadInput, match="inside the photo"):
        follow_bead(project, photo.id, (PointPx(-5, 10), PointPx(20, 10)))


def test_a_followed_path_is_placed_by_the_bolts_of_the_joints_line(project, filled, job, picture):
    drawn_line(project, filled.joint.id, picture)
    photo = photo_of(project, picture)

    found = audit_bead(project, job.id, photo.id, followed=clicks_on(picture, *range(8, 57, 6)))

    (gap,) = [each for each in found.defects if each.kind is BeadDefectKind.GAP]
    assert found.unit == "mm"
    assert middle_of(gap) == pytest.approx(32.5, abs=1)


def test_a_bead_beside_bolt_heads_is_held_against_the_rule(project, filled, job, picture):
    line = drawn_line(project, filled.joint.id, picture)
    headed = tuple(
        replace(point, head=PointPx(point.at.x, point.at.y - 60)) if point.bolt_number else point
        for point in line.points
    )
    project.apply(replaced(line, replace(line, points=headed)))
    found = audit_bead(project, job.id, photo_of(project, picture).id)

    passed = bolts_passed(project, found)

    assert [each.name for each in passed] == ["1", "2", "3"]
    # The path hardly bends, so no side is the inner one; bolt 2 sits by the gap.
    assert [each.side for each in passed] == [HoleSide.RIGHT, None, HoleSide.RIGHT]
    assert not is_against_rule(passed[0], BeadPlace.INSIDE_BOLTS)
    outside = replace(passed[0], side=HoleSide.OUTSIDE)
    assert is_against_rule(outside, BeadPlace.INSIDE_BOLTS)
    assert not is_against_rule(outside, None)
    assert is_against_rule(replace(outside, side=HoleSide.INSIDE), BeadPlace.AROUND_BOLTS)
    assert place_wanted(project, found) is None


def test_a_bolt_that_the_bead_leaves_in_the_oil_departs_from_the_rule(
    project, filled, job, picture
):
    """A round bead of 30 mm radius; bolt 1 stands outside of it, bolt 2 inside, by 8 mm each."""
    photo = photo_of(project, picture)
    turns = np.linspace(0, 2 * np.pi, 181)
    places = [PointPx(400 + 240 * float(np.cos(t)), 300 + 240 * float(np.sin(t))) for t in turns]
    ring = replace(
        a_bead_audit(job.id, stations=None),
        photo_id=photo.id,
        points=tuple(
            BeadPoint(30.0 * float(t), 2.8, 0.0, True, at)
            for t, at in zip(turns, places, strict=True)
        ),
    )
    heads = (PointPx(400 + 304, 300), PointPx(400, 300 + 176))
    bolts = tuple(LinePoint(head, number, head) for number, head in enumerate(heads, start=1))
    project.apply(added(JointLine(joint_id=filled.joint.id, photo_id=photo.id, points=bolts)))
    project.apply(keep_audit(project, ring))
    material = Material(name="grey sealant", seal_kind=SealKind.LIQUID_GASKET)
    project.apply(added(material))
    stored = project.get(SealingJob, job.id)
    project.apply(replaced(stored, replace(stored, material_id=material.id)))

    def wrong_bolts():
        found = job_view(project, job.id).deviations
        return [one.subject for one in found if one.kind is DeviationKind.BEAD_AT_BOLT]

    assert wrong_bolts() == []  # no rule says where it belongs

    rule = SealingRule(material_id=material.id, bead_place=BeadPlace.INSIDE_BOLTS)
    project.apply(added(rule))
    assert wrong_bolts() == ["bolt 2"]
    with project.read() as reader:
        records = EngineRecords(reader, filled.engine.id)
        assert records.deviations[job.id] == job_view(project, job.id).deviations
        assert records.misplaced(project.get(SealingJob, job.id))[0].at_px == heads[1]

    around = replace(rule, bead_place=BeadPlace.AROUND_BOLTS)
    project.apply(replaced(rule, around))
    assert wrong_bolts() == ["bolt 1", "bolt 2"]
