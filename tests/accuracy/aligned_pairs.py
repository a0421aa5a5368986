"""Photos of a zone laid over each other as the program does it."""

import hashlib
import tempfile
from collections.abc import Iterator
from itertools import permutations
from pathlib import Path

from leaktrack.imaging.matching.aligning import AlignmentState
from leaktrack.imaging.matching.learned_matching import LearnedMatcher
from leaktrack.imaging.matching.overlaying import Placing
from leaktrack.places import resource
from leaktrack.workflows.align_photos import placing_of
from leaktrack.workflows.find_features import ReadablePhoto
from tests.accuracy.truth import TruePhoto, TrueZone


def aligned_pairs(zone: TrueZone, every: int = 1) -> Iterator[tuple[TruePhoto, TruePhoto, Placing]]:
    """Return every ordered pair of a zone's photos that can be laid over each other."""
    for one, other, placing in placed_pairs(zone, every):
        if placing.state is not AlignmentState.FAILED:
            yield one, other, placing


def placed_pairs(zone: TrueZone, every: int = 1) -> Iterator[tuple[TruePhoto, TruePhoto, Placing]]:
    """Return every ordered pair of a zone's photos and how they lie over each other, if at all."""
    matcher = LearnedMatcher(resource("models"))
    readable = {photo.name: _readable(photo) for photo in zone.photos}
    with tempfile.TemporaryDirectory() as cache:
        for one, other in list(permutations(zone.photos, 2))[::every]:
            here, there = readable[one.name], readable[other.name]
            yield one, other, placing_of(here, there, matcher, Path(cache))


def _readable(photo: TruePhoto) -> ReadablePhoto:
    sha256 = hashlib.sha256(photo.path.read_bytes()).hexdigest()
    return ReadablePhoto(photo.name, photo.path, sha256, photo.size_px)
