"""Carry places from one photo to another with the help of more photos of the same zone."""

import hashlib
from collections.abc import Callable, Sequence
from contextlib import suppress
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from leaktrack.imaging.reading import read_upright
from leaktrack.workflows.align_photos import ALIGNMENT_VERSION
from leaktrack.workflows.find_features import FEATURES_VERSION, ReadablePhoto
from leaktrack.workflows.keep_cache import note_use, write_whole
from leaktrack.workflows.project import Progress, silent

if TYPE_CHECKING:
    from leaktrack.imaging.carrying.chaining import Leg, Through
    from leaktrack.imaging.matching.overlaying import Placing

MOST_BETWEEN = 3
"""Each costs two more alignments, a few seconds."""

_CACHE_VERSION = 3
"""Raise it when photos are joined in another way: old cache files are then not found any more."""

_LAST_STEP, _STEPS = 3, 4


def placing_through(
    photos: Sequence[ReadablePhoto],
    align: "Callable[[int, int], Placing]",
    cache_folder: Path,
    progress: Progress = silent,
) -> "Through":
    """Return what tells where places of a photo lie in another, with the help of those between.

    The others are aligned when a place is asked for that is not sure by the two alone; nothing is
    done where all are.

    Args:
        photos: The photo that places are carried from, the one they are carried to, and those
            between.
        align: Returns how a photo lies over another, by their numbers in ``photos``.
        cache_folder: Where what all say together is kept for the next time.
        progress: Called between the steps, also later on; may raise Cancelled to stop.

    Raises:
        Cancelled: Stopped by ``progress``.
        UnreadablePhoto: A photo's file is missing or damaged.
    """
    from leaktrack.imaging.carrying.chaining import Leg, Through

    direct = align(0, 1)

    @cache
    def legs() -> "Sequence[Leg]":
        return [Leg(align(0, between), align(between, 1)) for between in range(2, len(photos))]

    @cache
    def joint() -> "Placing | None":
        return _joint(photos, direct, legs(), cache_folder, progress)

    return Through(direct, legs, joint)


def _joint(
    photos: Sequence[ReadablePhoto],
    direct: "Placing",
    legs: "Sequence[Leg]",
    cache_folder: Path,
    progress: Progress,
) -> "Placing | None":
    """Return how the second photo lies over the first as all of them say; None where they do not.

    Photos that only show a part of each other are left to the ways through one photo.
    """
    from leaktrack.imaging.carrying.keeping import from_bytes, to_bytes
    from leaktrack.imaging.carrying.refining import FineAlignment
    from leaktrack.imaging.matching.matching import DECODED_PX
    from leaktrack.imaging.surveying.joining import Shown, joined
    from leaktrack.imaging.surveying.tying import NEW, REFERENCE

    if not legs or not isinstance(direct, FineAlignment):
        return None
    file = cache_folder / "joints" / photos[0].sha256[:2] / f"{_name(photos)}.npz"
    with suppress(OSError):
        kept = from_bytes(file.read_bytes())
        if kept is not None:
            note_use(file)
            return kept
    ways: dict[tuple[int, int], Placing] = {(REFERENCE, NEW): direct}
    for number, leg in enumerate(legs, NEW + 1):
        ways[REFERENCE, number], ways[number, NEW] = leg.to_between, leg.to_new
    shown = {
        number: Shown(read_upright(photo.path, DECODED_PX), photo.size)
        for number, photo in enumerate(photos)
    }
    made = joined(ways, shown, lambda: progress(_LAST_STEP, _STEPS, "looking at all photos"))
    if made is not None:
        with suppress(OSError):
            write_whole(file, to_bytes(made))
    return made


def _name(photos: Sequence[ReadablePhoto]) -> str:
    """Return a name that changes with everything that the result depends on."""
    contents = "-".join(photo.sha256 for photo in photos)
    versions = f"v{_CACHE_VERSION}.{ALIGNMENT_VERSION}.{FEATURES_VERSION}"
    return f"{hashlib.sha256(contents.encode()).hexdigest()}-{versions}"
