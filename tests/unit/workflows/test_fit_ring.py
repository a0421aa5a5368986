"""A ring recorded with its job, and standard sizes."""

from math import nan

import pytest

from leaktrack.model.errors import BadInput, LeakTrackError, MissingRecord
from leaktrack.model.identity import new_id
from leaktrack.model.record import added
from leaktrack.model.ring import RingFit
from leaktrack.places import resource
from leaktrack.workflows.fit_ring import (
    figures_of,
    ring_fit_of,
    ring_sizes,
    set_ring_fit,
    size_named,
    with_size,
)
from leaktrack.workflows.record_sealing_job import remove_job
from tests.builders import a_face, a_job, a_joint, a_zone, an_engine

# Read in a public code table of AS568 and in a second, independent one.
PUBLISHED = {
    "-010": (6.07, 1.78), "-012": (9.25, 1.78), "-014": (12.42, 1.78), "-018": (18.77, 1.78),
    "-110": (9.19, 2.62), "-112": (12.37, 2.62), "-116": (18.72, 2.62), "-210": (18.64, 3.53),
    "-214": (24.99, 3.53), "-218": (31.34, 3.53), "-225": (47.22, 3.53),
}  # fmt: skip


@pytest.fixture
def job(project):
    engine = an_engine()
    face = a_face(engine.id)
    zone = a_zone(face.id)
    joint = a_joint(zone.id)
    made = a_job(joint.id)
    project.apply(added(engine, face, zone, joint, made))
    return made


def test_the_table_holds_the_published_sizes():
    sizes = ring_sizes(resource())

    found = {name: (sizes[name].inner_mm, sizes[name].section_mm) for name in PUBLISHED}
    assert found == PUBLISHED


def test_each_series_has_one_cord_and_grows_step_by_step():
    sizes = list(ring_sizes(resource()).values())
    for series in "0123":
        own = [one for one in sizes if one.name[1] == series]
        inner = [one.inner_mm for one in own]

        assert len({one.section_mm for one in own}) == 1
        assert inner == sorted(set(inner))


@pytest.mark.parametrize("typed", ["214", "-214", " -214 "])
def test_a_size_is_found_with_and_without_its_dash(typed):
    assert size_named(resource(), typed).name == "-214"


def test_a_size_that_is_not_there_is_refused_with_what_there_is():
    with pytest.raises(BadInput, match=r"no ring size '999'.*Type inner diameter and cord"):
        size_named(resource(), "999")


def test_a_damaged_table_is_told_instead_of_breaking_down(tmp_path):
    (tmp_path / "ring_sizes.csv").write_text("size,inner_in\n-001,many\n")

    with pytest.raises(LeakTrackError, match="cannot be read"):
        ring_sizes(tmp_path)


def test_a_ring_is_recorded_changed_and_taken_back(project, job):
    fit = with_size(RingFit(sealing_job_id=job.id, depth_mm=2.82), size_named(resource(), "214"))
    undo = project.apply(set_ring_fit(project, job.id, fit))

    assert ring_fit_of(project, job.id) == fit
    assert figures_of(fit).squeeze.value == pytest.approx(20.11, abs=0.01)
    project.apply(undo)
    assert ring_fit_of(project, job.id) is None
    assert set_ring_fit(project, job.id, None).is_empty


def test_a_ring_out_of_reason_is_refused(project, job):
    with pytest.raises(BadInput, match="cord of the ring"):
        set_ring_fit(project, job.id, RingFit(sealing_job_id=job.id, section_mm=nan))
    loose = RingFit(sealing_job_id=job.id, depth_mm=1.0, depth_tolerance_mm=1.0)
    with pytest.raises(BadInput, match="as large as the size"):
        set_ring_fit(project, job.id, loose)


def test_a_ring_of_no_job_is_refused(project):
    with pytest.raises(MissingRecord):
        set_ring_fit(project, new_id(), RingFit(sealing_job_id=new_id()))


def test_a_ring_goes_with_its_job(project, job):
    project.apply(set_ring_fit(project, job.id, RingFit(sealing_job_id=job.id, section_mm=3.53)))
    undo = project.apply(remove_job(project, job.id))

    assert project.all(RingFit) == ()
    project.apply(undo)
    assert len(project.all(RingFit)) == 1
