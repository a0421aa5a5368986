"""More photos of a zone are asked where two cannot tell, and what they say is kept."""

from dataclasses import replace

import numpy as np
import pytest

from leaktrack.imaging.carrying.flattening import Shrinkage
from leaktrack.imaging.carrying.refining import FineAlignment
from leaktrack.imaging.matching.aligning import AlignmentState
from leaktrack.imaging.surveying import joining
from leaktrack.model.place import PlaceState
from leaktrack.model.shapes import PointPx
from leaktrack.workflows import align_files
from leaktrack.workflows.align_files import carry_points_of_file, readable_file
from leaktrack.workflows.join_photos import placing_through
from tests.pictures import casting, write_photo

SIZE = (200, 150)
POINTS = np.array([[40.0, 30.0], [120.0, 90.0]])


def lying(shift, chance):
    """A photo that lies so over another one, as surely everywhere."""
    x, y = np.meshgrid(np.arange(0, 200, 10.0), np.arange(0, 150, 10.0))
    where = (np.stack([x, y], axis=2) / 5 + np.array(shift) / 5).astype(np.float32)
    px = Shrinkage(np.array([5.0, 5.0]))
    sure = np.full(x.shape, chance, np.float32)
    return FineAlignment(AlignmentState.ALIGNED, where, sure, px, px, SIZE)


@pytest.fixture
def photos(tmp_path):
    files = [write_photo(tmp_path / f"{n}.png", casting(*SIZE, seed=n)) for n in range(3)]
    return [readable_file(file) for file in files]


@pytest.fixture
def asked(monkeypatch):
    """The calls that look at all photos at once; they say that all lies 30 px farther right."""
    calls = []

    def joined(ways, shown, pause):
        calls.append((sorted(ways), sorted(shown)))
        return lying((30, 0), 0.9)

    monkeypatch.setattr(joining, "joined", joined)
    return calls


def through(photos, cache, chance=0.3):
    ways = {(0, 1): lying((10, 0), chance), (0, 2): lying((0, 0), 0.9), (2, 1): lying((0, 0), 0.9)}
    return placing_through(photos, lambda here, there: ways[here, there], cache)


def test_all_photos_are_looked_at_where_two_are_not_sure(photos, asked, tmp_path):
    carried = through(photos, tmp_path / "cache").carry(POINTS)

    assert carried.states == (PlaceState.CARRIED,) * 2
    assert asked == [([(0, 1), (0, 2), (2, 1)], [0, 1, 2])]
    moved = carried.xy - lying((30, 0), 0.9).carry(POINTS).xy
    assert moved == pytest.approx(np.zeros((2, 2)))


def test_what_they_say_is_kept_for_the_next_time(photos, asked, tmp_path):
    first = through(photos, tmp_path / "cache").carry(POINTS)
    again = through(photos, tmp_path / "cache").carry(POINTS)

    assert len(asked) == 1
    assert again.xy == pytest.approx(first.xy)


def test_other_photos_between_are_another_question(photos, asked, tmp_path):
    through(photos, tmp_path / "cache").carry(POINTS)
    other = readable_file(write_photo(tmp_path / "other.png", casting(*SIZE, seed=9)))
    through([*photos[:2], other], tmp_path / "cache").carry(POINTS)

    assert len(asked) == 2


def test_nothing_is_looked_at_where_two_are_sure(photos, asked, tmp_path):
    carried = through(photos, tmp_path / "cache", chance=0.95).carry(POINTS)

    assert carried.states == (PlaceState.CARRIED,) * 2
    assert asked == []


def test_without_more_photos_the_two_alone_count(photos, asked, tmp_path):
    carried = through(photos[:2], tmp_path / "cache").carry(POINTS)

    assert carried.states == (PlaceState.UNCERTAIN,) * 2
    assert asked == []


@pytest.mark.parametrize(("between", "state"), [(1, "aligned"), (0, "unreliable")])
def test_what_all_photos_tell_can_be_relied_on(
    photos, asked, tmp_path, monkeypatch, between, state
):
    reference, new, other = photos
    doubtful = replace(lying((10, 0), 0.3), state=AlignmentState.UNRELIABLE)

    def placed(here, there, *_):
        return doubtful if (here, there) == (reference, new) else lying((0, 0), 0.9)

    monkeypatch.setattr(align_files, "placing_of", placed)

    carried = carry_points_of_file(
        reference, new, [PointPx(40, 30)], None, tmp_path / "cache", between=[other][:between]
    )

    assert carried.state == state
