"""A photo file that was damaged later is called by its name wherever the window tells of it."""

import pytest

from leaktrack.model.errors import UnreadablePhoto
from leaktrack.model.record import added
from tests.builders import a_photo


@pytest.fixture
def photo(empty_session):
    photo = a_photo(sha256="5e" * 32, original_name="IMG_0012.jpg")
    empty_session.project.apply(added(photo))
    return photo


def test_what_fails_in_the_background_calls_the_photo_by_its_name(qtbot, empty_session, photo):
    def work():
        raise UnreadablePhoto(f"{photo.sha256}.jpg is damaged or cut off (end of file).")

    told = []
    empty_session.background.run(work, then=told.append, failed=told.append, owner=empty_session)

    qtbot.waitUntil(lambda: bool(told))
    assert str(told[0]).startswith("IMG_0012.jpg is damaged")


def test_what_is_reported_calls_the_photo_by_its_name(empty_session, photo):
    told = []
    empty_session.failed.connect(told.append)

    empty_session.report(UnreadablePhoto(f"{photo.sha256}.jpg is empty."))

    assert str(told[0]).startswith("IMG_0012.jpg is empty")
