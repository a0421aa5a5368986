import pytest

from leaktrack.places import demo_source
from leaktrack.workflows.add_photos import add_photos
from leaktrack.workflows.align_photos import alignment_of
from leaktrack.workflows.assign_photos import assign_photos
from leaktrack.workflows.find_features import has_features
from leaktrack.workflows.index_photos import index_photo, photos_to_index
from tests.pictures import casting, relit, write_photo

PHOTOS = demo_source() / "photos"


@pytest.fixture
def two_photos(project, filled):
    # The filled project's own photos have no files.
    project.apply(assign_photos(project, [filled.reference.id, filled.later.id], None, None))
    paths = [PHOTOS / "bank1_cover_i0.jpg", PHOTOS / "bank1_cover_i1.jpg"]
    added = add_photos(project, paths, filled.zone.id)
    project.apply(added.edit)
    return added.added


def test_a_photo_is_indexed_once_and_the_newest_comes_first(project, two_photos):
    older, newer = two_photos
    assert photos_to_index(project) == (newer.id, older.id)

    index_photo(project, newer.id)

    assert has_features(project, newer)
    assert photos_to_index(project) == (older.id,)


@pytest.mark.thorough
@pytest.mark.usefixtures("shared_features")
def test_photos_laid_over_each_other_once_are_not_laid_over_again(project, tmp_path):
    small = casting(400, 300)
    paths = [
        write_photo(tmp_path / name, rgb)
        for name, rgb in (("one.jpg", small), ("other.jpg", relit(small)))
    ]
    added = add_photos(project, paths)
    project.apply(added.edit)
    one, other = added.added

    first = alignment_of(project, one.id, other.id)

    assert alignment_of(project, one.id, other.id) is first
    assert alignment_of(project, other.id, one.id) is not first
