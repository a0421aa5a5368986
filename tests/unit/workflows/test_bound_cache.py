"""The cache keeps below its bound and loses first what was not used for longest."""

import os
import subprocess
import sys
import time

import pytest

from leaktrack.workflows.bound_cache import (
    bound_cache,
    bound_cache_if_due,
    cache_bytes,
    clear_cache,
)
from leaktrack.workflows.keep_cache import cached

DAY = 86_400.0
NOW = time.time()


@pytest.fixture
def cache(tmp_path):
    return tmp_path / "cache"


def put(cache, name, *, days_ago, size=1000):
    file = cache / name
    file.parent.mkdir(parents=True, exist_ok=True)
    file.write_bytes(b"x" * size)
    os.utime(file, (NOW - days_ago * DAY,) * 2)
    return file


def left(cache):
    return sorted(str(each.relative_to(cache)) for each in cache.rglob("*") if each.is_file())


def test_what_fits_stays(cache):
    put(cache, "features/aa/one.npz", days_ago=900)

    assert bound_cache(cache, 1000) == 0
    assert left(cache) == ["features/aa/one.npz"]


def test_what_was_not_used_for_longest_goes_first_and_no_more_than_must(cache):
    for days in (1, 2, 3, 4):
        put(cache, f"features/aa/{days}.npz", days_ago=days)

    assert bound_cache(cache, 3000) == 2000  # down to nine tenths of the bound
    assert left(cache) == ["features/aa/1.npz", "features/aa/2.npz"]


def test_what_took_minutes_outlives_what_took_a_moment(cache):
    put(cache, "thumbs/aa/new.bin", days_ago=1)
    put(cache, "alignments/aa/older.npz", days_ago=20)
    put(cache, "footage/aa/oldest.npz", days_ago=100)

    bound_cache(cache, 2300)
    after_one = left(cache)
    bound_cache(cache, 1200)

    assert after_one == ["alignments/aa/older.npz", "footage/aa/oldest.npz"]
    assert left(cache) == ["footage/aa/oldest.npz"]


def test_what_is_used_just_now_stays_even_beyond_the_bound(cache):
    put(cache, "features/aa/now.npz", days_ago=0)
    put(cache, "features/aa/then.npz", days_ago=1)

    bound_cache(cache, 10, now=NOW)

    assert left(cache) == ["features/aa/now.npz"]


def test_reading_counts_as_use(cache):
    read, other = (put(cache, f"features/aa/{name}", days_ago=9) for name in ("read", "other"))
    cached(read, bytes, bytes, lambda: b"")

    bound_cache(cache, 1500)

    assert read.exists()
    assert not other.exists()


def test_log_and_icons_are_no_part_of_it(cache):
    put(cache, "leaktrack.log", days_ago=900)
    put(cache, "icons/a.svg", days_ago=900)
    put(cache, "thumbs/aa/one.bin", days_ago=900)

    assert cache_bytes(cache) == 1000
    assert clear_cache(cache) == 1000
    assert left(cache) == ["icons/a.svg", "leaktrack.log"]


def test_half_written_files_stay_while_they_are_fresh_and_go_once_left_behind(cache):
    put(cache, "features/aa/.new-now", days_ago=0)
    put(cache, "features/aa/.new-killed", days_ago=2)

    bound_cache(cache, 10, now=NOW)
    clear_cache(cache)

    assert left(cache) == ["features/aa/.new-now"]


def test_no_cache_is_no_error(cache):
    assert cache_bytes(cache) == bound_cache(cache, 10) == clear_cache(cache) == 0
    assert bound_cache_if_due(cache, 10) == 0


def test_it_is_done_again_only_after_a_while(cache):
    put(cache, "thumbs/aa/one.bin", days_ago=1)
    first = bound_cache_if_due(cache, 10)
    put(cache, "thumbs/aa/two.bin", days_ago=1)
    second = bound_cache_if_due(cache, 10)
    os.utime(cache / ".bounded", (NOW - DAY,) * 2)

    assert (first, second) == (1000, 0)
    assert bound_cache_if_due(cache, 10) == 1000


def test_a_file_that_another_program_reads_or_removes_meanwhile_does_no_harm(cache):
    """One program asks for a file again and again, two others remove it: each answer is right."""
    code = (
        "import sys; from pathlib import Path\n"
        "from leaktrack.workflows.bound_cache import clear_cache\n"
        "for _ in range(150): clear_cache(Path(sys.argv[1]))"
    )
    others = [subprocess.Popen([sys.executable, "-c", code, str(cache)]) for _ in range(2)]
    content = b"y" * 100_000
    answers = set()
    while any(each.poll() is None for each in others):
        answers.add(cached(cache / "features" / "aa" / "file", bytes, bytes, lambda: content))

    assert [each.returncode for each in others] == [0, 0]
    assert answers == {content}


def test_thousands_of_files_are_looked_through_in_a_moment(cache):
    for number in range(3000):
        put(cache, f"thumbs/{number % 200:02x}/{number}.bin", days_ago=1, size=10)

    started = time.perf_counter()
    assert cache_bytes(cache) == 30_000
    assert time.perf_counter() - started < 1.0
