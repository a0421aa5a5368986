"""Pages are tested on a project of their own, which starts empty."""

import pytest

from tests.gui.inspected_engine import inspect_engine


@pytest.fixture
def session(empty_session):
    return empty_session


@pytest.fixture
def project(session):
    return session.project


@pytest.fixture
def inspected(project, tmp_path):
    """An engine that was looked at a few times."""
    return inspect_engine(project, tmp_path)
