"""The debris of a drain on the page of its check."""

import numpy as np
import pytest
from PIL import Image

from leaktrack.gui.pages.check_page import CheckPage
from leaktrack.model.debris import DrainCount
from leaktrack.model.inspection import Check, CheckKind
from leaktrack.model.logbook import EntryKind
from leaktrack.model.record import added
from leaktrack.workflows.add_photos import add_photos
from tests.builders import an_engine
from tests.gui.filling_in import choose, click

pytestmark = pytest.mark.gui


@pytest.fixture
def page(empty_session, tmp_path, qtbot):
    engine = an_engine()
    check = Check(engine_id=engine.id, name="Strainer", kind=CheckKind.DEBRIS)
    project = empty_session.project
    project.apply(added(engine, check))
    paper = np.clip(215 + np.random.default_rng(0).normal(0, 3, (300, 400, 3)), 0, 255)
    paper[100:112, 100:108] = paper[200:210, 250:262] = 20
    Image.fromarray(paper.astype(np.uint8)).save(tmp_path / "paper.png")
    project.apply(add_photos(project, (tmp_path / "paper.png",), check_id=check.id).edit)
    empty_session.engine_id = engine.id
    empty_session.pick(entry=(EntryKind.CHECK, check.id))
    made = CheckPage(empty_session)
    qtbot.addWidget(made)
    made.resize(900, 1000)
    made.show()
    return made


def test_particles_are_counted_then_kept_and_the_count_can_be_taken_back(page, qtbot):
    session, box = page.session, page.drain
    click(box.count_button)
    qtbot.waitUntil(lambda: box.keep_button.isVisible(), timeout=20_000)
    assert box.counted.text().startswith("2 particles of 4 px and more.")
    assert session.project.all(DrainCount) == ()

    click(box.keep_button)
    assert len(session.project.all(DrainCount)[0].particles) == 2
    assert box.state.text() == "Kept with the check."
    session.undo_stack.undo()
    assert session.project.all(DrainCount) == ()


def test_a_count_that_was_stopped_can_be_started_again(page, qtbot):
    box, jobs = page.drain, []
    page.session.background.job_started.connect(jobs.append)
    click(box.count_button)
    assert box.state.text() == "Counting…"

    jobs[0].cancel()

    qtbot.waitUntil(box.count_button.isEnabled, timeout=20_000)
    assert box.state.text() == "Not counted yet."


def test_only_a_check_of_debris_has_it(page):
    assert page.drain.isVisible()
    choose(page.form.fields["kind"], "pressure test")

    assert not page.drain.isVisible()
