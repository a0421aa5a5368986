"""Footage is indexed once, goes on where it was stopped, and is found by what a photo shows.

The films show drawn castings; which one when is in the code.
"""

from dataclasses import replace
from uuid import uuid4

import numpy as np
import pytest

from leaktrack.imaging.footage.asking import wanted
from leaktrack.imaging.footage.believing import chance
from leaktrack.imaging.footage.linking import LEAST_LINKED
from leaktrack.imaging.footage.verifying import evidence, glance
from leaktrack.imaging.matching.learned_matching import LearnedMatcher
from leaktrack.imaging.sampling import VideoReader
from leaktrack.model.errors import BadInput, Cancelled, UnreadableVideo
from leaktrack.model.footage import FootageQuery, Searched
from leaktrack.model.shapes import BoxPx, PointPx
from leaktrack.places import resource
from leaktrack.workflows import look_at_once
from leaktrack.workflows.clips import add_clip
from leaktrack.workflows.find_footage import find_in_clips, find_in_videos
from leaktrack.workflows.index_footage import index_video, indexed_so_far
from leaktrack.workflows.keep_footage import kept_footprint, sha256_of_video
from leaktrack.workflows.look_closer import FIRST_GLANCED_AT, SURE
from tests.pictures import casting, relit, write_photo
from tests.videos import panned, write_video

SHOWN_MS = (1200, 2400)  # when the film shows the casting that is asked for


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    folder = tmp_path_factory.mktemp("footage")
    engine, bench, other = casting(960, 720, 1), casting(960, 720, 8)[::-1], casting(960, 720, 5)
    pictures = [*panned(bench, 1.2), *panned(engine, 1.2, 1200), *panned(bench, 1.2, 2400)]
    write_video(folder / "film.mp4", pictures, key_every=4)
    write_photo(folder / "engine.jpg", relit(engine, gain=0.9))
    write_photo(folder / "absent.jpg", np.ascontiguousarray(other[:, ::-1]))
    whole = (folder / "film.mp4").read_bytes()
    (folder / "broken.mp4").write_bytes(whole[: len(whole) // 3])
    return folder


@pytest.fixture(scope="module")
def cache(tmp_path_factory):
    """One cache for all: the film is indexed once."""
    return tmp_path_factory.mktemp("cache")


@pytest.fixture(scope="module")
def answer(folder, cache):
    """What is found of the engine in the film."""
    query = FootageQuery(photo=folder / "engine.jpg")
    return find_in_videos(query, [folder / "film.mp4"], cache_folder=cache)


def stop_after(calls):
    def progress(done, total, what):
        nonlocal calls
        calls -= 1
        if calls < 0:
            raise Cancelled("Stopped.")

    return progress


def test_the_moment_is_found_with_its_span_and_place(answer):
    best = answer.spans[0]
    assert best.score > 0.5
    assert SHOWN_MS[0] <= best.best_ms < SHOWN_MS[1]
    assert SHOWN_MS[0] - 500 <= best.start_ms <= best.best_ms <= best.end_ms < SHOWN_MS[1] + 500
    # The window of the film begins 20 px down; 480 px are seen of 960, none of them left of 240.
    assert best.place is not None
    assert best.place.y == pytest.approx(360 - 20, abs=6)
    assert all(one.score <= 0.5 for one in answer.spans[1:])


def test_what_one_picture_surely_shows_is_not_looked_at_again_beside_it(tmp_path, monkeypatch):
    # One take of 14 s, in which more pictures are worth a glance than are glanced at first.
    engine = casting(960, 720, 1)
    write_video(tmp_path / "long.mp4", panned(engine, 14, step_ms=500), key_every=2)
    write_photo(tmp_path / "engine.jpg", relit(engine, gain=0.9))
    glanced = []
    monkeypatch.setattr(
        look_at_once, "glance", lambda *given: (glanced.append(given), glance(*given))[1]
    )

    found = find_in_videos(
        FootageQuery(photo=tmp_path / "engine.jpg"),
        [tmp_path / "long.mp4"],
        cache_folder=tmp_path / "cache",
    )

    assert found.spans[0].score >= SURE
    assert found.spans[0].end_ms - found.spans[0].start_ms > 10_000
    assert 1 <= len(glanced) <= FIRST_GLANCED_AT


def test_the_index_tells_where_the_film_was_cut(folder, cache):
    indexed = index_video(folder / "film.mp4", cache_folder=cache)
    kept = kept_footprint(cache, indexed.sha256)
    cuts = kept.at_ms[kept.linked < LEAST_LINKED]

    assert len(cuts) == 3
    assert cuts[0] < SHOWN_MS[0] <= cuts[1] < SHOWN_MS[1] <= cuts[2]


def test_what_was_not_filmed_is_not_found(folder, cache):
    found = find_in_videos(
        FootageQuery(photo=folder / "absent.jpg"), [folder / "film.mp4"], cache_folder=cache
    )

    assert [one for one in found.spans if one.score > 0.5] == []


def test_a_place_that_the_film_never_shows_is_not_found_by_what_lies_around_it(folder, cache):
    # The film shows the upper 380 px of the photo only.
    query = FootageQuery(photo=folder / "engine.jpg", place=PointPx(300, 600))
    found = find_in_videos(query, [folder / "film.mp4"], cache_folder=cache)

    assert [one for one in found.spans if one.score > 0.5] == []


def test_no_frame_of_the_film_would_have_been_a_better_answer(folder, answer):
    # Outside check: matching a frame of every 1.2 s of the film closely, without any index.
    matcher = LearnedMatcher(resource("models"))
    photo = relit(casting(960, 720, 1), gain=0.9)
    query = wanted(matcher, photo, (960, 720))
    with VideoReader(folder / "film.mp4") as video:
        scores = {
            ms: chance(evidence(matcher, query, glance(matcher, query, video.frame_at(ms).rgb)))
            for ms in range(300, 3600, 1200)
        }

    showing = {ms for ms, score in scores.items() if score > 0.5}
    assert showing
    assert showing <= set(range(*SHOWN_MS))
    assert answer.spans[0].score >= max(scores.values()) - 0.1


def test_a_broken_and_a_missing_video_become_notes_and_the_others_answer(folder, cache):
    videos = [folder / "broken.mp4", folder / "gone.mp4", folder / "film.mp4"]
    found = find_in_videos(FootageQuery(photo=folder / "engine.jpg"), videos, cache_folder=cache)

    assert [note.split()[0] for note in found.notes] == ["broken.mp4", "gone.mp4"]
    assert found.searched is Searched.PART
    assert {one.video.name for one in found.spans} == {"film.mp4"}


@pytest.mark.parametrize("names", [(), ("gone.mp4",), ("broken.mp4", "gone.mp4")])
def test_where_no_video_can_be_read_each_is_told_and_nothing_is_found(folder, cache, names):
    videos = [folder / name for name in names]

    found = find_in_videos(FootageQuery(photo=folder / "engine.jpg"), videos, cache_folder=cache)

    assert found.spans == ()
    assert [note.split()[0] for note in found.notes] == list(names)
    assert found.searched is (Searched.NOTHING if names else Searched.ALL)


@pytest.mark.parametrize("box", [BoxPx(0, 0, 0, 10), BoxPx(2000, 0, 10, 10)])
def test_a_box_that_is_not_on_the_photo_is_refused(folder, cache, box):
    with pytest.raises(BadInput, match="does not lie on"):
        find_in_videos(FootageQuery(photo=folder / "engine.jpg", box=box), [], cache_folder=cache)


def test_indexing_goes_on_where_it_was_stopped_and_ends_with_the_same_index(folder, tmp_path):
    film = folder / "film.mp4"
    whole = index_video(film, cache_folder=tmp_path / "at once")
    with pytest.raises(Cancelled):
        index_video(film, stop_after(6), cache_folder=tmp_path / "in two")
    half = indexed_so_far(film, whole.sha256, cache_folder=tmp_path / "in two")
    again = index_video(film, cache_folder=tmp_path / "in two")

    assert half is not None
    assert not half.is_whole
    assert 0 < half.indexed_ms < whole.indexed_ms == again.indexed_ms
    at_once, in_two = (
        kept_footprint(tmp_path / name, whole.sha256) for name in ("at once", "in two")
    )
    assert in_two.at_ms.tolist() == at_once.at_ms.tolist()
    assert (in_two.bits == at_once.bits).all()
    assert in_two.linked.tolist() == at_once.linked.tolist()
    assert in_two.moves == pytest.approx(at_once.moves)


def test_a_video_that_was_renamed_is_not_indexed_again(folder, cache, tmp_path):
    index_video(folder / "film.mp4", cache_folder=cache)
    other = tmp_path / "renamed.mp4"
    other.write_bytes((folder / "film.mp4").read_bytes())

    found = indexed_so_far(other, sha256_of_video(other, cache), cache_folder=cache)

    assert found is not None
    assert found.is_whole


def test_a_video_that_breaks_off_is_indexed_as_far_as_it_goes(folder, tmp_path):
    path = write_video(tmp_path / "clip.mkv", panned(casting(320, 240), 8), key_every=5)
    content = path.read_bytes()
    path.write_bytes(content[: len(content) // 4])

    found = index_video(path, cache_folder=tmp_path / "cache")

    assert found.is_whole
    assert found.frames > 0
    assert found.indexed_ms < found.duration_ms
    assert found.note.startswith("clip.mkv breaks off at ")


def test_a_missing_video_is_told(tmp_path):
    with pytest.raises(UnreadableVideo, match=r"^gone\.mp4 cannot be read"):
        index_video(tmp_path / "gone.mp4", cache_folder=tmp_path)


def test_spans_in_a_project_s_clips_tell_the_clip_and_a_clip_that_is_gone_is_a_note(
    folder, project
):
    film = write_video(folder / "short.mp4", panned(casting(960, 720, 1), 1), key_every=5)
    clip, edit = add_clip(project, film)
    project.apply(edit)
    gone = replace(clip, id=uuid4(), path="clips/gone.mp4")
    query = FootageQuery(photo=folder / "engine.jpg")

    found = find_in_clips(project, query, [gone, clip])

    assert {one.clip_id for one in found.spans} == {clip.id}
    assert found.spans[0].video == project.clip_path(clip)
    assert len(found.notes) == 1
