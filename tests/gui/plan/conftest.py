"""The plan is tested on a project of its own, which starts empty."""

import pytest
from PySide6.QtTest import QTest

from leaktrack.gui.pages.redo_page import RedoPage
from leaktrack.workflows.plan_redo import new_access_step, new_task
from tests.leaking_engine import tell


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


@pytest.fixture
def session(empty_session):
    return empty_session


@pytest.fixture
def project(session):
    return session.project


@pytest.fixture
def bench(qtbot, session, project):
    story = tell(project)
    session.engine_id = story.engine.id
    page = RedoPage(session)
    qtbot.addWidget(page)
    page.resize(1000, 800)
    return Bench(page, project, session, story)
