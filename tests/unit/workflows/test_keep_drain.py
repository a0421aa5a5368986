"""Counts of drains that somebody kept."""

from datetime import timedelta

import numpy as np
import pytest
from PIL import Image

from leaktrack.model.debris import DrainCount, Particle, ParticleKind
from leaktrack.model.engine import SealKind
from leaktrack.model.errors import BadInput
from leaktrack.model.inspection import Check, CheckKind, CheckResult, TestRun
from leaktrack.model.record import added
from leaktrack.model.sealing_job import Material
from leaktrack.model.shapes import PointPx
from leaktrack.workflows.add_photos import add_photos
from leaktrack.workflows.keep_drain import (
    compare_drains,
    count_in_photo,
    crumbs_from,
    drain_of_photo,
    drains,
    keep_drain,
    remove_drain,
)
from tests.builders import A_MOMENT, a_face, a_job, a_joint, a_photo, a_zone, an_engine

DAY = timedelta(days=1)


def crumb(lightness, colour):
    return Particle(
        at=PointPx(1.0, 2.0),
        outline=(),
        length=1.5,
        width=1.0,
        area=1.0,
        kind=ParticleKind.SEALANT_CRUMB,
        lightness=lightness,
        colour=colour,
    )


ORANGE = crumb(60.0, (30.0, 50.0))


@pytest.fixture
def engine(project):
    made = an_engine()
    face = a_face(made.id)
    zone = a_zone(face.id)
    joint = a_joint(zone.id, name="Cover joint")
    amber = Material(name="Number 5", seal_kind=SealKind.LIQUID_GASKET, colour="amber")
    project.apply(added(made, face, zone, joint, amber, a_job(joint.id, material_id=amber.id)))
    return made


def looked_into(project, engine, day, *particles):
    check = Check(
        engine_id=engine.id,
        name=f"Drain {day}",
        kind=CheckKind.DEBRIS,
        done_at=A_MOMENT + day * DAY,
        result=CheckResult.FAILED,
    )
    photo = a_photo(check_id=check.id, sha256=f"{day:064x}")
    count = DrainCount(
        photo_id=photo.id, counted_at=A_MOMENT, particles=particles, unit="mm", least=0.4
    )
    project.apply(added(check, photo))
    project.apply(keep_drain(project, count))
    return count


def test_a_photo_of_the_project_is_counted_and_kept(project, engine, tmp_path):
    check = Check(engine_id=engine.id, name="Strainer", kind=CheckKind.DEBRIS)
    project.apply(added(check))
    paper = np.clip(215 + np.random.default_rng(0).normal(0, 3, (300, 400, 3)), 0, 255)
    paper[100:112, 100:108] = paper[200:210, 250:262] = 20
    Image.fromarray(paper.astype(np.uint8)).save(tmp_path / "paper.png")
    photos = add_photos(project, (tmp_path / "paper.png",), check_id=check.id)
    project.apply(photos.edit)
    count, found = count_in_photo(project, photos.added[0].id, A_MOMENT)
    undo = project.apply(keep_drain(project, count))

    kept = drain_of_photo(project, photos.added[0].id)
    assert len(kept.particles) == len(found.particles) == 2
    assert not kept.is_paper_doubtful
    project.apply(undo)
    assert drain_of_photo(project, photos.added[0].id) is None


def test_a_new_count_replaces_the_one_of_the_same_photo(project, engine):
    first = looked_into(project, engine, 1, ORANGE)
    again = DrainCount(
        photo_id=first.photo_id, counted_at=A_MOMENT, particles=(), unit="mm", least=0.5
    )
    project.apply(keep_drain(project, again))

    assert [one.particles for one in project.all(DrainCount)] == [()]
    project.apply(remove_drain(project, first.id))
    assert project.all(DrainCount) == ()


def test_a_photo_of_no_check_is_refused(project, engine):
    photo = a_photo()
    project.apply(added(photo))
    count = DrainCount(photo_id=photo.id, counted_at=A_MOMENT, particles=(), unit="mm", least=0.5)

    with pytest.raises(BadInput, match="belongs to no check"):
        keep_drain(project, count)


def test_drains_stand_by_date_with_the_hours_between_them(project, engine):
    looked_into(project, engine, 9, ORANGE, ORANGE)
    looked_into(project, engine, 3, ORANGE)
    looked_into(project, engine, 20)
    for day, minutes in ((1, 60.0), (5, 90.0), (6, 30.0)):
        at = A_MOMENT + day * DAY
        project.apply(added(TestRun(engine_id=engine.id, started_at=at, minutes=minutes)))
    found = drains(project, engine.id)

    assert [one.check.name for one in found] == ["Drain 3", "Drain 9", "Drain 20"]
    assert [one.hours for one in found] == [None, 2.0, None]
    compared = compare_drains(found[0], found[1])
    assert (compared.rows[0].before, compared.rows[0].after) == (1, 2)
    assert "by drain, not by hour" in compared.assumes


def test_crumbs_lead_to_the_joint_sealed_in_their_colour(project, engine):
    blue = crumb(40.0, (5.0, -45.0))
    found = {one.colour: one for one in crumbs_from(project, engine.id, (ORANGE, blue))}

    assert found["orange"].joints == ("Cover joint (Number 5)",)
    assert found["blue"].joints == ()
