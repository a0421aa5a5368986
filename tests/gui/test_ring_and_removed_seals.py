"""The ring and the removed seals of a sealing job, typed as a person does."""

import pytest
from PySide6.QtCore import Qt

from leaktrack.gui.pages.job_page import JobPage
from leaktrack.model.engine import SealKind, Zone
from leaktrack.model.logbook import EntryKind
from leaktrack.model.record import added
from leaktrack.model.removed_seal import RemovedSeal, SealFailure
from leaktrack.model.ring import RingFit
from leaktrack.settings import Settings
from tests.builders import a_face, a_job, a_joint, a_zone, an_engine
from tests.gui.filling_in import choose, click, press, type_in

pytestmark = pytest.mark.gui


@pytest.fixture
def session(empty_session):
    engine = an_engine()
    face = a_face(engine.id)
    zone = a_zone(face.id)
    joint = a_joint(zone.id, seal_kind=SealKind.O_RING)
    job = a_job(joint.id)
    empty_session.project.apply(added(engine, face, zone, joint, job))
    empty_session.engine_id = engine.id
    empty_session.pick(entry=(EntryKind.SEALING_JOB, job.id), joint_id=joint.id)
    return empty_session


@pytest.fixture
def page(session, qtbot):
    made = JobPage(session)
    qtbot.addWidget(made)
    made.resize(1000, 900)
    made.show()
    return made


def rings(session):
    return session.project.all(RingFit)


def test_a_standard_size_brings_its_sizes_and_the_figures_follow(page, session):
    """-214 in a gland of 2.82: 20.11 % by (CS - depth) / CS, computed."""
    box = page.job_form.ring
    choose(box.size_field, "-214  (24.99 × 3.53 mm)")
    type_in(box.form.fields["depth_mm"], "2,82")

    (fit,) = rings(session)
    assert (fit.size, fit.inner_mm, fit.section_mm, fit.depth_mm) == ("-214", 24.99, 3.53, 2.82)
    assert box.figures.text().startswith("Squeeze 20.1 % (17.8 to 22.3)")
    assert box.worries.text() == ""


def test_a_worry_is_told_and_each_answer_can_be_taken_back(page, session):
    box = page.job_form.ring
    type_in(box.form.fields["section_mm"], "3.5")
    type_in(box.form.fields["depth_mm"], "3.4")
    assert "Little squeeze" in box.worries.text()

    session.undo_stack.undo()
    session.undo_stack.undo()
    assert rings(session) == ()
    assert "worked out here" in box.figures.text()


def test_a_cord_that_somebody_measured_is_no_standard_size(page, session):
    box = page.job_form.ring
    choose(box.size_field, "-112  (12.37 × 2.62 mm)")
    type_in(box.form.fields["section_mm"], "2.55")

    assert (rings(session)[0].size, rings(session)[0].section_mm) == ("", 2.55)


def test_a_size_out_of_reason_stays_typed_with_the_limit_below(page, session):
    field = page.job_form.ring.form.fields["depth_mm"]
    type_in(field, "-2")

    assert "must lie between 0.1 mm and 100 mm" in field.complaint
    assert rings(session) == ()


def test_lengths_follow_the_units_of_the_settings(page, session):
    box = page.job_form.ring
    type_in(box.form.fields["section_mm"], "2.54")
    session.settings = Settings(theme="light", units="imperial")
    page.reload()

    assert box.form.fields["section_mm"].line.text() == "0.1"
    type_in(box.form.fields["depth_mm"], "0.08")
    assert rings(session)[0].depth_mm == pytest.approx(2.032)
    assert "0.020 in of the cord" in box.figures.text()


def test_a_bead_has_no_ring(page, session):
    joint = a_joint(session.project.all(Zone)[0].id, name="Cover")
    job = a_job(joint.id)
    session.project.apply(added(joint, job))
    session.pick(entry=(EntryKind.SEALING_JOB, job.id), joint_id=joint.id)

    assert not page.job_form.ring.isVisible()


def test_a_removed_seal_is_examined(page, session):
    box = page.job_form.ring
    type_in(box.form.fields["section_mm"], "3.53")
    type_in(box.form.fields["depth_mm"], "2.65")
    click(page.removed_seals.rows.add_button)
    fields = page.removed_seals.rows.rows[0]
    choose(fields["failure"], "compression set: flat on both sides where it was squeezed")
    type_in(fields["recovered_mm"], "3.31")

    (seal,) = session.project.all(RemovedSeal)
    assert (seal.new_mm, seal.squeezed_mm) == (3.53, 2.65)  # from the ring
    assert seal.failure is SealFailure.COMPRESSION_SET
    said = "\n".join(page.removed_seals.sentences)
    assert "heat, age" in said
    assert "set 25.0 % (20.5 to 29.5) of its squeeze" in said
    press(page.removed_seals.rows.remove_buttons[0], Qt.Key.Key_Space)
    assert session.project.all(RemovedSeal) == ()
    session.undo_stack.undo()
    assert session.project.all(RemovedSeal) == (seal,)
