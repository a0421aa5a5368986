"""Photo views are tested on a project of their own, which starts empty."""

import pytest


@pytest.fixture
def session(empty_session):
    return empty_session


@pytest.fixture
def project(session):
    return session.project
