import pytest

from leaktrack.model.errors import BadInput, UnreadablePhoto
from leaktrack.model.photo import Photo
from leaktrack.workflows.add_photos import add_photos
from leaktrack.workflows.show_photo import full
from leaktrack.workflows.tell_by_name import told_by_name
from tests.pictures import casting, write_photo


@pytest.fixture
def photo(project, filled, tmp_path) -> Photo:
    path = write_photo(tmp_path / "IMG_0012.jpg", casting(64, 48, 3))
    added = add_photos(project, [path], zone_id=filled.zone.id, inspection_id=filled.inspection.id)
    project.apply(added.edit)
    return added.added[0]


def test_a_damaged_photo_is_called_by_its_name_zone_and_day(project, filled, photo):
    path = project.photo_path(photo)
    path.write_bytes(path.read_bytes()[:300])

    with pytest.raises(UnreadablePhoto) as raised:
        full(project, photo.id)
    told = str(told_by_name(project, raised.value))

    day = f"{filled.inspection.looked_at.astimezone():%Y-%m-%d}"
    assert told.startswith(f"IMG_0012.jpg ({filled.zone.name}, {day}) is damaged")
    assert f"Copy {path.relative_to(project.folder).as_posix()} back from a backup" in told
    assert told.count(photo.sha256) == 1  # only where it lies


def test_a_missing_photo_is_called_by_its_name_zone_and_day(project, filled, photo):
    project.photo_path(photo).unlink()

    with pytest.raises(UnreadablePhoto) as raised:
        full(project, photo.id)
    told = told_by_name(project, raised.value)

    assert told is raised.value
    assert f"IMG_0012.jpg ({filled.zone.name}" in str(told)


def test_what_names_no_photo_stays_as_it_is(project):
    for error in (BadInput("No."), UnreadablePhoto(f"{'a' * 64}.jpg is damaged.")):
        assert told_by_name(project, error) is error
