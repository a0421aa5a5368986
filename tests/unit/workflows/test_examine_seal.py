"""Exams of seals that came out of a joint."""

from dataclasses import replace

import pytest

from leaktrack.model.errors import BadInput, MissingRecord
from leaktrack.model.identity import new_id
from leaktrack.model.record import added
from leaktrack.model.removed_seal import RemovedSeal, SealFailure
from leaktrack.model.ring import RingFit
from leaktrack.model.ring_words import CAUSES, LOOKS
from leaktrack.workflows.examine_seal import (
    removed_seals_of,
    set_figures,
    set_removed_seals,
    with_sizes_of,
)
from leaktrack.workflows.record_sealing_job import remove_job
from tests.builders import A_MOMENT, a_face, a_job, a_joint, a_zone, an_engine


@pytest.fixture
def job(project):
    engine = an_engine()
    face = a_face(engine.id)
    zone = a_zone(face.id)
    joint = a_joint(zone.id)
    made = a_job(joint.id)
    project.apply(added(engine, face, zone, joint, made))
    return made


@pytest.fixture
def seal(job):
    return RemovedSeal(
        sealing_job_id=job.id,
        examined_at=A_MOMENT,
        failure=SealFailure.COMPRESSION_SET,
        new_mm=3.53,
        squeezed_mm=2.65,
        recovered_mm=3.31,
    )


def test_every_failure_has_a_look_and_a_cause():
    assert set(LOOKS) == set(CAUSES) == set(SealFailure)


def test_an_exam_is_recorded_and_taken_back(project, job, seal):
    undo = project.apply(set_removed_seals(project, job.id, [seal]))

    assert removed_seals_of(project, job.id) == (seal,)
    project.apply(undo)
    assert removed_seals_of(project, job.id) == ()


def test_its_set_is_that_of_method_b(seal):
    """25.0 %: computed from the formula of ISO 815."""
    assert set_figures(seal).of_squeeze.value == pytest.approx(25.0, abs=0.05)
    assert set_figures(replace(seal, recovered_mm=None)) is None


def test_a_fresh_exam_knows_the_ring_s_sizes(seal, job):
    fit = RingFit(sealing_job_id=job.id, section_mm=2.62, depth_mm=2.0)

    fresh = with_sizes_of(seal, fit)
    assert (fresh.new_mm, fresh.squeezed_mm) == (2.62, 2.0)
    assert with_sizes_of(seal, None) == seal


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"new_mm": -1.0}, "thickness when new cannot be -1 mm"),
        ({"hardness_shore_a": 120.0}, "must lie between 0 and 100"),
        ({"squeezed_mm": 3.53}, "no squeeze"),
        ({"failure": None, "second_failure": SealFailure.HEAT}, "main failure first"),
        ({"examined_at": A_MOMENT.replace(tzinfo=None)}, "no time zone"),
    ],
)
def test_what_cannot_be_is_refused(project, job, seal, changes, sentence):
    with pytest.raises(BadInput, match=sentence):
        set_removed_seals(project, job.id, [replace(seal, **changes)])


def test_a_photo_that_is_not_there_is_refused(project, job, seal):
    with pytest.raises(MissingRecord):
        set_removed_seals(project, job.id, [replace(seal, photo_id=new_id())])


def test_an_exam_keeps_its_job(project, job, seal):
    """What was seen on the bench cannot be seen again, so it does not go by the way."""
    project.apply(set_removed_seals(project, job.id, [seal]))

    with pytest.raises(BadInput, match="1 removed seal"):
        remove_job(project, job.id)
