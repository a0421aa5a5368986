"""Places are carried between files the whole way, however these were taken, or not at all."""

import resource as memory
import subprocess
import sys
import time
from pathlib import Path

import cv2
import numpy as np
import pytest
from PIL import Image

from leaktrack.imaging.matching.aligning import AlignmentState
from leaktrack.imaging.matching.learned_matching import LearnedMatcher
from leaktrack.imaging.reading import read_upright
from leaktrack.model.place import PlaceState
from leaktrack.places import demo_source, resource
from leaktrack.workflows.align_files import readable_file
from leaktrack.workflows.align_photos import placing_of
from tests.pictures import casting, relit, write_photo

WIDTH, HEIGHT = 1000, 750
PHOTOS = demo_source() / "photos"


@pytest.fixture(scope="module")
def matcher():
    return LearnedMatcher(resource("models"))


@pytest.fixture
def placing_in(matcher, tmp_path):
    """Lay one picture over another through files, as the program does."""

    def lay(reference, new):
        files = [
            readable_file(write_photo(tmp_path / f"{name}.png", rgb))
            for name, rgb in (("reference", reference), ("new", new))
        ]
        return placing_of(*files, matcher, tmp_path / "cache")

    return lay


def grid(width=WIDTH, height=HEIGHT, margin=0.12, steps=12):
    xs, ys = np.meshgrid(
        np.linspace(width * margin, width * (1 - margin), steps),
        np.linspace(height * margin, height * (1 - margin), steps),
    )
    return np.stack([xs.ravel(), ys.ravel()], axis=1)


def is_carried(carried):
    return np.array([state is PlaceState.CARRIED for state in carried.states])


def test_the_very_same_file_carries_every_place_to_itself(placing_in):
    rgb = casting(WIDTH, HEIGHT)
    outside = np.array([[-1.0, 5.0], [5.0, HEIGHT]])

    placing = placing_in(rgb, rgb)
    carried, beyond = placing.carry(grid()), placing.carry(outside)

    assert is_carried(carried).all()
    assert (carried.xy == grid()).all()
    assert set(beyond.states) == {PlaceState.OUTSIDE}
    assert np.isnan(beyond.xy).all()
    assert placing.state is AlignmentState.ALIGNED


def test_a_copy_that_was_saved_anew_lies_over_it_within_a_twentieth_of_a_pixel(matcher, tmp_path):
    """Half of the places at least; none is off by a fifth of a pixel."""
    rgb = casting(WIDTH, HEIGHT)
    first = write_photo(tmp_path / "first.png", rgb)
    copy = tmp_path / "copy.jpg"
    Image.fromarray(rgb).save(copy, quality=85)

    files = [readable_file(path) for path in (first, copy)]
    carried = placing_of(*files, matcher, tmp_path / "cache").carry(grid())

    off = np.linalg.norm(carried.xy - grid(), axis=1)
    assert is_carried(carried).all()
    assert np.median(off) < 0.05
    assert off.max() < 0.2


@pytest.mark.parametrize(
    "turns", [1, *(pytest.param(n, marks=pytest.mark.thorough) for n in (2, 3))]
)
def test_places_are_carried_to_a_photo_on_its_side(placing_in, turns):
    rgb = casting(WIDTH, HEIGHT)
    last_x, last_y = WIDTH - 1, HEIGHT - 1
    x, y = grid().T
    truth = {
        1: np.stack([y, last_x - x], 1),
        2: np.stack([last_x - x, last_y - y], 1),
        3: np.stack([last_y - y, x], 1),
    }[turns]

    carried = placing_in(rgb, np.ascontiguousarray(np.rot90(relit(rgb), turns))).carry(grid())

    sure = is_carried(carried)
    assert sure.mean() > 0.9
    assert np.quantile(np.linalg.norm(carried.xy - truth, axis=1)[sure], 0.95) < 1


@pytest.mark.thorough
@pytest.mark.parametrize("is_new_near", [True, False])
def test_places_are_carried_between_a_photo_and_one_four_times_as_near(placing_in, is_new_near):
    far = casting(2400, 1800, seed=4)
    near = np.ascontiguousarray(relit(far)[700:1150, 800:1400])
    places, corner = grid(600, 450), np.array([800.0, 700.0])

    if is_new_near:
        carried = placing_in(far, near).carry(places + corner)
        off = carried.xy - places
    else:
        carried = placing_in(near, far).carry(places)
        off = carried.xy - places - corner

    sure = is_carried(carried)
    assert sure.mean() > 0.8
    assert np.quantile(np.linalg.norm(off, axis=1)[sure], 0.95) < 1.5


@pytest.mark.thorough
def test_a_photo_of_a_quarter_of_the_pixels_each_way_is_as_good(placing_in):
    rgb = casting(2400, 1800, seed=4)
    small = cv2.resize(relit(rgb), (600, 450), interpolation=cv2.INTER_AREA)
    places = grid(2400, 1800)

    carried = placing_in(rgb, small).carry(places)

    sure = is_carried(carried)
    truth = (places + 0.5) / 4 - 0.5
    assert sure.mean() > 0.9
    assert np.quantile(np.linalg.norm(carried.xy - truth, axis=1)[sure], 0.95) < 0.6


CHANGES = {
    "mirrored": lambda rgb: np.ascontiguousarray(rgb[:, ::-1]),
    "black": np.zeros_like,
    "white": lambda rgb: np.full_like(rgb, 255),
    "one colour": lambda rgb: np.full_like(rgb, (120, 90, 60)),
    "20 x 20": lambda rgb: np.ascontiguousarray(rgb[:20, :20]),
    "another casting": lambda rgb: casting(rgb.shape[1], rgb.shape[0], seed=9),
}


@pytest.mark.parametrize(
    "change",
    [
        pytest.param(change, marks=() if change == "one colour" else pytest.mark.thorough)
        for change in CHANGES
    ],
)
def test_nothing_is_carried_to_a_photo_without_the_place(placing_in, change):
    rgb = casting(WIDTH, HEIGHT)

    placing = placing_in(rgb, CHANGES[change](rgb))
    carried = placing.carry(grid())

    assert placing.state is AlignmentState.FAILED
    assert not is_carried(carried).any()
    assert np.isnan(carried.xy).all()


@pytest.mark.thorough
@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("bank1_cover_i1_b", "bank2_cover_i2"),
        ("bank1_cover_i2", "bank2_cover_i1"),
        ("bank1_solenoid_i1", "bank2_solenoid_i3"),
    ],
)
def test_nothing_is_carried_to_the_same_part_of_the_other_bank(matcher, tmp_path, one, other):
    files = [readable_file(PHOTOS / f"{name}.jpg") for name in (one, other)]

    placing = placing_of(*files, matcher, tmp_path)

    assert placing.state is AlignmentState.FAILED


@pytest.mark.thorough
def test_nothing_is_carried_to_a_mirrored_photo(placing_in):
    rgb = read_upright(PHOTOS / "bank1_cover_i3.jpg", 1600)

    assert placing_in(rgb, CHANGES["mirrored"](rgb)).state is AlignmentState.FAILED


_LARGE = """
import sys
from pathlib import Path
import numpy as np
from leaktrack.imaging.matching.learned_matching import LearnedMatcher
from leaktrack.places import resource as brought_along
from leaktrack.workflows.align_files import readable_file
from leaktrack.workflows.align_photos import placing_of
one, other, cache = map(Path, sys.argv[1:])
placing = placing_of(
    readable_file(one), readable_file(other), LearnedMatcher(brought_along("models")), cache
)
at = placing.carry(np.array([[6000.0, 4500.0], [3000.0, 2500.0]])).xy
# Not by getrusage, which begins with the peak of the process that started this one.
status = dict(line.split(":", 1) for line in Path("/proc/self/status").read_text().splitlines())
print(int(status["VmHWM"].split()[0]) // 1024, *at.ravel().tolist())
"""


@pytest.mark.thorough
@pytest.mark.skipif(not Path("/proc/self/status").exists(), reason="asks Linux for the peak memory")
def test_photos_of_108_megapixels_take_little_memory_and_time(tmp_path):
    rgb = cv2.resize(casting(3000, 2250), (12_000, 9_000), interpolation=cv2.INTER_LINEAR)
    files = [write_photo(tmp_path / "one.jpg", rgb, quality=85)]
    del rgb
    files.append(tmp_path / "other.jpg")
    files[1].write_bytes(files[0].read_bytes())
    began = memory.getrusage(memory.RUSAGE_CHILDREN)
    clock = time.perf_counter()

    done = subprocess.run(
        [sys.executable, "-c", _LARGE, *files, tmp_path], capture_output=True, text=True, check=True
    )

    took = memory.getrusage(memory.RUSAGE_CHILDREN)
    peak_mb, *at = (float(word) for word in done.stdout.split())
    # Decoded in full, the two alone would be 650 MB on top.
    assert peak_mb < 800
    assert took.ru_utime - began.ru_utime < 40, f"{time.perf_counter() - clock:.0f} s by the clock"
    np.testing.assert_allclose(at, [6000, 4500, 3000, 2500], atol=0.6)
