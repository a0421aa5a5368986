"""How long it takes to carry places to another photo, against a plain line of OpenCV.

Photos of 12 megapixels are made from those with truth: enlarged, with grain, as JPEG. The plain
line decodes both at the same working size, finds and matches points by gradients and fits one
homography; it is the usual recipe, and does much less. Each way runs in a process of its own, both
in the same minute. Goals: at most three times the plain line for two unknown photos, one and a half
times for a second photo against one whose points are known.
"""

import json
import os
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from itertools import pairwise
from pathlib import Path
from shutil import rmtree
from typing import Any
from unittest import mock

import cv2
import numpy as np
from PIL import Image

from leaktrack.imaging.matching.learned_matching import LearnedMatcher
from leaktrack.imaging.matching.matching import DECODED_PX
from leaktrack.imaging.reading import read_upright
from leaktrack.places import resource as brought_along
from leaktrack.workflows import find_features
from leaktrack.workflows.align_files import readable_file
from leaktrack.workflows.align_photos import placing_of
from leaktrack.workflows.find_features import features_in
from tests.accuracy.truth import TrueZone

Steps = dict[str, float]
"""Seconds by the clock, by what was done."""

WAYS = ("plain", "cold", "indexed")
POINTS = 100
ROUNDS = 3
_DECODE = "(decode)"  # part of other steps
_LARGE = (4000, 3000)
_GRAIN = 4.0
_BEST_RATIO = 0.8
_PLANE_PX = 3.0


def report(zones: Sequence[TrueZone], every: int) -> None:
    """Print one line for each way, and what the steps take."""
    zone = zones[0]
    with tempfile.TemporaryDirectory() as folder:
        files = [_enlarged(photo.rgb(), Path(folder) / photo.path.name) for photo in zone.photos]
        for one, other in list(pairwise(files))[::every]:
            print(f"{zone.name}: {one.name} to {other.name}, {_LARGE[0]} x {_LARGE[1]} px")
            told = {way: _in_own_process(way, one, other) for way in WAYS}
            for way, figures in told.items():
                _print(way, figures, told["plain"])


def _print(way: str, figures: dict[str, float], plain: dict[str, float]) -> None:
    wall, cpu = figures["wall_s"], figures["cpu_s"]
    print(
        f"  {way:8}  {wall:6.2f} s by the clock ({wall / plain['wall_s']:.2f} x plain)"
        f"  {cpu:6.2f} s of processor ({cpu / plain['cpu_s']:.2f} x plain)"
        f"  peak {figures['peak_mb']:.0f} MB"
    )
    steps = {name: value for name, value in figures.items() if name.startswith("step ")}
    for name, value in steps.items():
        print(f"      {name[5:]:12} {value:6.2f} s  {value / wall:5.0%}")


def _in_own_process(way: str, one: Path, other: Path) -> dict[str, float]:
    done = subprocess.run(
        [sys.executable, "-m", "tests.accuracy.measure_speed", way, one, other],
        env={**os.environ, "OPENBLAS_NUM_THREADS": "1"},  # as the program itself has it
        capture_output=True,
        text=True,
        check=True,
    )
    figures: dict[str, float] = json.loads(done.stdout)
    return figures


def _enlarged(rgb: np.ndarray, path: Path) -> Path:
    large = cv2.resize(rgb, _LARGE, interpolation=cv2.INTER_CUBIC).astype(np.float32)
    grain = np.random.default_rng(1).normal(0, _GRAIN, large.shape[:2])
    noisy = np.clip(large + grain[..., None], 0, 255).astype(np.uint8)
    Image.fromarray(noisy).save(path.with_suffix(".jpg"), quality=92)
    return path.with_suffix(".jpg")


def _points() -> np.ndarray:
    return np.random.default_rng(2).uniform((400, 300), (3600, 2700), (POINTS, 2))


def _plain(one: Path, other: Path, steps: Steps) -> None:
    with _timed(steps, "decode"):
        greys = [
            cv2.cvtColor(read_upright(path, DECODED_PX), cv2.COLOR_RGB2GRAY)
            for path in (one, other)
        ]
    with _timed(steps, "features"):
        finder = cv2.SIFT.create()
        (points, found), (others, sought) = (
            finder.detectAndCompute(grey, np.full_like(grey, 255)) for grey in greys
        )
    with _timed(steps, "matching"):
        two = cv2.BFMatcher().knnMatch(found, sought, 2)
        good = [best for best, next_best in two if best.distance < _BEST_RATIO * next_best.distance]
    with _timed(steps, "homography"):
        here = np.array([points[match.queryIdx].pt for match in good])
        there = np.array([others[match.trainIdx].pt for match in good])
        plane, _ = cv2.findHomography(here, there, cv2.USAC_MAGSAC, _PLANE_PX)
        cv2.perspectiveTransform(_points().reshape(-1, 1, 2), plane)


def _cold(one: Path, other: Path, steps: Steps) -> None:
    with tempfile.TemporaryDirectory() as cache:
        _carried(one, other, LearnedMatcher(brought_along("models")), Path(cache), steps)


def _carried(one: Path, other: Path, matcher: LearnedMatcher, cache: Path, steps: Steps) -> None:
    with _timed(steps, "open"):
        reference, new = readable_file(one), readable_file(other)
    began, doing = time.perf_counter(), ""

    def progress(_: int, __: int, text: str) -> None:
        nonlocal began, doing
        if doing:
            _add(steps, doing, time.perf_counter() - began)
        named = {one.name: "first photo", other.name: "second photo"}
        began, doing = time.perf_counter(), named.get(text, text)

    def read(*given: Any) -> np.ndarray:
        with _timed(steps, _DECODE):
            return read_upright(*given)

    with mock.patch.object(find_features, "read_upright", read):
        placing = placing_of(reference, new, matcher, cache, progress)
    progress(0, 0, "")
    with _timed(steps, "carry"):
        placing.carry(_points())


Way = Callable[[Path, Path, Steps], None]


def _measured(way: str, one: Path, other: Path) -> dict[str, float]:
    """Return the figures of the quickest of several rounds, in seconds, and the peak memory."""
    rounds = []
    with tempfile.TemporaryDirectory() as cache:
        matcher = LearnedMatcher(brought_along("models"))
        ways: dict[str, Way] = {
            "plain": _plain,
            "cold": _cold,
            "indexed": lambda *given: _carried(*given[:2], matcher, Path(cache), given[2]),
        }
        for _ in range(ROUNDS):
            if way == "indexed":
                rmtree(Path(cache))
                features_in(readable_file(one), matcher, Path(cache))
            steps: Steps = {}
            wall, cpu = time.perf_counter(), time.process_time()
            ways[way](one, other, steps)
            wall, cpu = time.perf_counter() - wall, time.process_time() - cpu
            figures = {f"step {name}": took for name, took in steps.items()}
            rounds.append({"wall_s": wall, "cpu_s": cpu, **figures})
    return {**min(rounds, key=lambda figures: figures["cpu_s"]), "peak_mb": _peak_mb()}


def _peak_mb() -> float:
    """Return the peak memory of this process; of the one that started it, where that had more."""
    status = Path("/proc/self/status")
    if status.exists():  # Linux counts from the start of this program
        facts = dict(fact.split(":", 1) for fact in status.read_text().splitlines())
        return int(facts["VmHWM"].split()[0]) / 1024
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def _add(steps: Steps, name: str, seconds: float) -> None:
    steps[name] = steps.get(name, 0.0) + seconds


@contextmanager
def _timed(steps: Steps, name: str) -> Iterator[None]:
    began = time.perf_counter()
    yield
    _add(steps, name, time.perf_counter() - began)


if __name__ == "__main__":
    way, one, other = sys.argv[1:]
    print(json.dumps(_measured(way, Path(one), Path(other))))
