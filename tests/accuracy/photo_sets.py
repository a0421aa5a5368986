"""Photos of a zone as the program has them: two, and up to three more that both lie over."""

from collections.abc import Iterator
from dataclasses import dataclass

from leaktrack.imaging.matching.aligning import AlignmentState
from leaktrack.imaging.matching.matching import DECODED_PX
from leaktrack.imaging.matching.overlaying import Placing
from leaktrack.imaging.surveying.joining import Shown
from leaktrack.imaging.surveying.tying import NEW, REFERENCE
from leaktrack.workflows.join_photos import MOST_BETWEEN
from tests.accuracy.aligned_pairs import placed_pairs
from tests.accuracy.truth import TruePhoto, TrueZone


@dataclass(frozen=True)
class PhotoSet:
    """Two photos, and others between.

    Attributes:
        ways: How they lie over each other, by number.
        shown: The photos by number.
    """

    reference: TruePhoto
    new: TruePhoto
    ways: dict[tuple[int, int], Placing]
    shown: dict[int, Shown]


def sets_of(zone: TrueZone, every: int = 1) -> Iterator[PhotoSet]:
    """Return every ordered pair of a zone's photos with the first others that lie over both."""
    placings = {
        (one.name, other.name): placing
        for one, other, placing in placed_pairs(zone)
        if placing.state is not AlignmentState.FAILED
    }
    photos = {photo.name: photo for photo in zone.photos}
    shown = {photo.name: Shown(photo.rgb(DECODED_PX), photo.size_px) for photo in photos.values()}
    for (one, other), direct in list(placings.items())[::every]:
        between = [
            name for name in photos if (one, name) in placings and (name, other) in placings
        ][:MOST_BETWEEN]
        ways = {(REFERENCE, NEW): direct}
        for number, name in enumerate(between, NEW + 1):
            ways[REFERENCE, number] = placings[one, name]
            ways[number, NEW] = placings[name, other]
        seen = {number: shown[name] for number, name in enumerate([one, other, *between])}
        yield PhotoSet(photos[one], photos[other], ways, seen)
