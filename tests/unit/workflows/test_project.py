from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace

import pytest

from leaktrack.model.engine import Engine, Face
from leaktrack.model.errors import ChangedMeanwhile, MissingRecord, ReadOnlyProject
from leaktrack.model.identity import new_id
from leaktrack.model.photo import Clip
from leaktrack.model.record import added, replaced
from leaktrack.workflows.project import open_project
from tests.builders import a_face, a_photo, an_engine

ENGINE = an_engine(description="0")
EDITS_EACH = 25


def test_applying_an_edit_hands_back_the_edit_that_undoes_it(project):
    edit = added(ENGINE, a_face(ENGINE.id))

    inverse = project.apply(edit)
    again = project.apply(inverse)

    assert project.all(Engine) == ()
    assert again == edit


def test_an_edit_happens_as_a_whole_or_not_at_all(project):
    with pytest.raises(MissingRecord):
        project.apply(added(ENGINE, a_face(new_id())))

    assert project.all(Engine) == ()


def test_records_are_asked_for_one_by_one_or_by_value(project):
    project.apply(added(ENGINE))

    assert project.get(Engine, ENGINE.id) == ENGINE
    assert project.find(Engine, new_id()) is None
    assert project.all(Engine, name="W") == (ENGINE,)


def test_several_questions_get_answers_of_one_moment(project):
    project.apply(added(ENGINE))

    with project.read() as records:
        engines = records.all(Engine)
        project.apply(added(a_face(ENGINE.id)))
        faces = records.all(Face)

    assert (engines, faces) == ((ENGINE,), ())


def test_a_second_opening_is_for_looking_only_and_names_the_holder(project, tmp_path):
    project.apply(added(ENGINE))

    with open_project(project.folder, tmp_path, tmp_path) as second:
        with pytest.raises(ReadOnlyProject):
            second.apply(added(an_engine()))
        engines, holder = second.all(Engine), second.holder

    assert engines == (ENGINE,)
    assert "since" in holder


def test_files_lie_in_the_project_and_are_named_by_their_content(project):
    photo = a_photo(sha256="ab" * 32, file_type="png")

    assert project.photo_path(photo) == project.folder / "photos" / "ab" / f"{'ab' * 32}.png"


@pytest.mark.parametrize(
    ("path", "found"), [("clips/a.mp4", "bench/clips/a.mp4"), ("/films/a.mp4", "/films/a.mp4")]
)
def test_clips_lie_in_the_project_or_elsewhere(project, tmp_path, path, found):
    clip = Clip(
        name="a", path=path, sha256="", size_bytes=1, duration_ms=1, width_px=1, height_px=1
    )

    assert project.clip_path(clip) == tmp_path / found


def _count_up(project, _round: int) -> bool:
    """Add one to the number in the engine's description; False if another was quicker."""
    engine = project.get(Engine, ENGINE.id)
    more = replace(engine, description=str(int(engine.description) + 1))
    try:
        project.apply(replaced(engine, more))
    except ChangedMeanwhile:
        return False
    return True


def test_edits_from_several_threads_never_overwrite_each_other(project):
    project.apply(added(ENGINE))

    with ThreadPoolExecutor(4) as threads:
        made = list(threads.map(lambda each: _count_up(project, each), range(4 * EDITS_EACH)))

    assert project.get(Engine, ENGINE.id).description == str(sum(made))
    assert sum(made) >= EDITS_EACH  # in each round, at least one gets through


def test_readers_are_not_kept_waiting_by_a_writer(project):
    project.apply(added(ENGINE))

    with project._opened.transaction() as records, ThreadPoolExecutor(1) as threads:
        records.apply(added(an_engine()))
        seen = threads.submit(project.all, Engine).result(timeout=2)

    assert seen == (ENGINE,)


def test_threads_that_compare_photos_at_once_share_one_pair_of_networks(project):
    with ThreadPoolExecutor(8) as pool:
        matchers = list(pool.map(lambda _: project.matcher, range(8)))

    assert len({id(matcher) for matcher in matchers}) == 1
