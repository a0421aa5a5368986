"""How fast is footage indexed and searched, and how large is the index?

A film of ten seconds is written once after another into a file of two minutes, 1080p with 30
pictures a second and a key frame each second. For longer footage the index is replicated: each
copy has one bit in ten of its points turned over. On a busy computer, seconds of processor tell
more than those of the clock.
"""

import os
import resource
import tempfile
import time
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import av
import numpy as np

from leaktrack.imaging.footage.asking import wanted
from leaktrack.imaging.footage.packing import Footprint
from leaktrack.imaging.footage.querying import looks_of
from leaktrack.imaging.footage.shortlisting import likeliest, votes
from leaktrack.imaging.matching.learned_matching import LearnedMatcher
from leaktrack.imaging.reading import read_upright, upright_size
from leaktrack.model.footage import FootageQuery
from leaktrack.places import resource as brought_along
from leaktrack.workflows.find_footage import find_in_videos
from leaktrack.workflows.index_footage import index_video
from leaktrack.workflows.keep_footage import kept_footprint
from leaktrack.workflows.look_closer import LookingCloser
from leaktrack.workflows.project import silent
from tests.accuracy.footage_film import film

_COPIES = 12
_RATE = 30


def report(folder: Path) -> None:
    """Print the figures."""
    photos = sorted(folder.glob("dev/scene_*/*_i0.jpg"))
    with tempfile.TemporaryDirectory() as place:
        cache = Path(place) / "cache"
        os.environ["LEAKTRACK_CACHE"] = str(cache)
        video = _video(Path(place), photos)
        mbit_s = video.stat().st_size * 8 / 1e6 / _length_s(video)
        print(f"1080p at {_RATE}/s, {_length_s(video):.0f} s, {mbit_s:.1f} Mbit/s")
        LearnedMatcher(brought_along("models")).features(read_upright(photos[0], 640))  # loaded
        begun, begun_cpu = time.perf_counter(), time.process_time()
        indexed = index_video(video)
        index_s, index_cpu_s = time.perf_counter() - begun, time.process_time() - begun_cpu
        memory_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        length_s = indexed.duration_ms / 1000
        begun_cpu = time.process_time()
        decode_s = _decode_s(video)
        decode_cpu_s = time.process_time() - begun_cpu
        print(f"index {length_s / index_s:.1f} x real time, {indexed.frames} pictures")
        print(f"plain decode of all frames {length_s / decode_s:.1f} x real time;")
        print(f"indexing takes {index_s / decode_s:.2f} of its time")
        print(f"seconds of processor: index {index_cpu_s:.1f}, plain decode {decode_cpu_s:.1f}")
        print(f"most memory {memory_mb:.0f} MB")
        footprint = kept_footprint(cache, indexed.sha256)
        size_mb = len(footprint.to_bytes()) / 1e6
        print(f"index {size_mb * 3600 / length_s:.2f} MB an hour")
        _print_queries(photos[0], footprint, length_s)
        for _ in range(2):  # the first time, networks and files are loaded
            begun, begun_cpu = time.perf_counter(), time.process_time()
            find_in_videos(FootageQuery(photo=photos[0]), [video])
            found_s, cpu_s = time.perf_counter() - begun, time.process_time() - begun_cpu
        print(f"a whole query of this film, with verification: {found_s:.2f} s", end=" ")
        print(f"({cpu_s:.2f} s of processor)")
        for photo, name in ((photos[0], "is there"), (folder / "story" / "strainer.jpg", "is not")):
            _print_verification(photo, name, video, footprint)


def _print_queries(photo: Path, footprint: Footprint, length_s: float) -> None:
    matcher = LearnedMatcher(brought_along("models"))
    query = wanted(matcher, read_upright(photo, 1600), upright_size(photo))
    begun = time.perf_counter()
    looks = looks_of(matcher, query)
    print(f"points of the query {time.perf_counter() - begun:.2f} s")
    for hours in (1, 2, 5, 10):
        longer = _replicated(footprint, round(hours * 3600 / length_s))
        begun, begun_cpu = time.perf_counter(), time.process_time()
        likeliest(votes(longer, looks), longer, 10, 2500)
        taken_s, cpu_s = time.perf_counter() - begun, time.process_time() - begun_cpu
        print(
            f"{hours:2} h (replicated with noise): {len(longer.at_ms)} pictures, "
            f"{len(longer.bits)} points, searched in {taken_s:.2f} s ({cpu_s:.2f} s of processor)"
        )


def _print_verification(photo: Path, name: str, video: Path, footprint: Footprint) -> None:
    matcher = LearnedMatcher(brought_along("models"))
    query = wanted(matcher, read_upright(photo, 1600), upright_size(photo))
    looks = looks_of(matcher, query)
    begun, begun_cpu = time.perf_counter(), time.process_time()
    votes(footprint, looks)
    votes_s, votes_cpu_s = time.perf_counter() - begun, time.process_time() - begun_cpu
    begun, begun_cpu = time.perf_counter(), time.process_time()
    LookingCloser(matcher, query, [(video, footprint)]).look(looks, silent)
    taken_s = time.perf_counter() - begun - votes_s
    cpu_s = time.process_time() - begun_cpu - votes_cpu_s
    print(f"verification of what {name}: {taken_s:.2f} s ({cpu_s:.2f} s of processor)")


def _replicated(footprint: Footprint, times: int) -> Footprint:
    rng = np.random.default_rng(10)
    last_ms = int(footprint.until_ms[-1]) + 1000
    parts = []
    for number in range(times):
        noise = np.packbits(rng.random((len(footprint.bits), 128)) < 0.1, axis=1)
        later = number * last_ms
        parts.append(
            replace(
                footprint,
                bits=footprint.bits ^ noise,
                at_ms=footprint.at_ms + later,
                from_ms=footprint.from_ms + later,
                until_ms=footprint.until_ms + later,
            )
        )
    return Footprint.joined(parts)


def _video(place: Path, photos: list[Path]) -> Path:
    rng = np.random.default_rng(1080)
    short = place / "short.mp4"
    shots = [(None, read_upright(photo), 10 / len(photos)) for photo in photos]
    film(short, shots, rng, _RATE, size=(1920, 1080), rate=_RATE)
    long = place / "long.mp4"
    with av.open(str(short)) as source, av.open(str(long), "w") as target:
        stream = source.streams.video[0]
        copy = target.add_stream_from_template(stream)
        packets = [packet for packet in source.demux(stream) if packet.dts is not None]
        tick = stream.time_base or Fraction(1, 12_800)
        length = int(10 / tick)
        for number in range(_COPIES):
            source.seek(0)
            for packet in source.demux(stream):
                if packet.dts is None:
                    continue
                packet.pts = (packet.pts or 0) + number * length
                packet.dts += number * length
                packet.stream = copy
                target.mux(packet)
        assert packets
    return long


def _length_s(video: Path) -> float:
    with av.open(str(video)) as container:
        return (container.duration or 0) / 1e6


def _decode_s(video: Path) -> float:
    begun = time.perf_counter()
    with av.open(str(video)) as container:
        container.streams.video[0].thread_type = "AUTO"
        for _ in container.decode(video=0):
            pass
    return time.perf_counter() - begun
