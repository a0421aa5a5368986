"""The plan is tested on a project of its own, which starts empty."""

from types import SimpleNamespace

import pytest
from PySide6.QtTest import QTest

from leaktrack.gui.pages.redo_page import RedoPage
from leaktrack.model.record import added
from leaktrack.model.redo_plan import AccessStep, RedoTask
from leaktrack.workflows.plan_redo import new_access_step, new_task
from tests.builders import a_face, a_joint, a_zone, an_engine


class Bench:
    """A redo page with what it stands on."""

    def __init__(self, page, project, session, story):
        self.page, self.project, self.session, self.story = page, project, session, story
        self.desk = page.desk

    def step(self, name, **told):
        """Write an access step; return its key."""
        step, edit = new_access_step(self.project, self.story.engine.id, name, 1.0, **told)
        self.project.apply(edit)
        return step.id

    def task(self, name, **told):
        """Write a task; return its key."""
        task, edit = new_task(self.project, self.story.engine.id, name, 1.0, **told)
        self.project.apply(edit)
        return task.id

    def show(self):
        """Show the page and wait for the whole answer."""
        self.page.show()
        self.settle()

    def settle(self):
        """Wait until the plan is worked out."""
        for _ in range(4000):
            if self.page.is_read and not self.desk.solver.is_busy:
                return
            QTest.qWait(5)
        raise TimeoutError

    @property
    def chosen(self):
        """Names of what is redone."""
        return [one.task.name for one in self.desk.weighed.chosen]


def _told(project):
    """Put an engine with one dry joint, one step and one task into a project."""
    engine = an_engine()
    face = a_face(engine.id)
    zone = a_zone(face.id)
    joint = a_joint(zone.id)
    intake = AccessStep(engine_id=engine.id, name="Take off the intake", hours=1, refit_hours=0.5)
    cover_task = RedoTask(
        engine_id=engine.id,
        name="Seal the cover again",
        joint_id=joint.id,
        hours=2.0,
        cure_h=24,
        needs=(intake.id,),
    )
    project.apply(added(engine, face, zone, joint, intake, cover_task))
    return SimpleNamespace(engine=engine, intake=intake, cover_task=cover_task)


@pytest.fixture
def session(empty_session):
    return empty_session


@pytest.fixture
def project(session):
    return session.project


@pytest.fixture
def bench(qtbot, session, project):
    story = _told(project)
    session.engine_id = story.engine.id
    page = RedoPage(session)
    qtbot.addWidget(page)
    page.resize(1000, 800)
    return Bench(page, project, session, story)
