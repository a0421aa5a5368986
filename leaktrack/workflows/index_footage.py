"""Index videos, so that it can be found when they show something."""

import time
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from leaktrack import places
from leaktrack.model.errors import Cancelled, UnreadableVideo
from leaktrack.model.footage import IndexedVideo
from leaktrack.workflows.keep_footage import (
    FootageFacts,
    keep_piece,
    kept_facts,
    kept_footprint,
    sha256_of_video,
)
from leaktrack.workflows.project import Progress, silent

if TYPE_CHECKING:
    from leaktrack.imaging.footage.packing import Footprint
    from leaktrack.imaging.footage.picking import Picked
    from leaktrack.imaging.footage.walking import Look
    from leaktrack.imaging.matching.learned_matching import Features

KEEP_EVERY_S = 20.0
"""So much work is lost at most when the program is killed; stopped in order, none is."""

_SHORT_OF_END_MS = 2_500  # the last picture looked at lies so far before the end at most


def index_video(
    video: Path, progress: Progress = silent, cache_folder: Path | None = None
) -> IndexedVideo:
    """Index a video, from where that was stopped; what is indexed is kept, also when cancelled.

    Args:
        video: The file.
        progress: Called with the milliseconds of video that are done; may raise Cancelled.
        cache_folder: Where the index is kept; None: the user's cache folder.

    Raises:
        Cancelled: Stopped by ``progress``.
        UnreadableVideo: The file is missing or no video, nothing in it can be decoded, or its index
            cannot be kept.
    """
    folder = cache_folder or places.cache_folder()
    sha256 = sha256_of_video(video, folder, lambda: progress(0, 1, f"reading {video.name}"))
    known = kept_facts(folder, sha256)
    if known is None or not known.is_whole:
        _Indexing(video, sha256, folder, known or FootageFacts()).go_on(progress)
    found = indexed_so_far(video, sha256, folder)
    assert found is not None
    return found


def indexed_so_far(
    video: Path, sha256: str, cache_folder: Path | None = None
) -> IndexedVideo | None:
    """Return how far a video is indexed, without any work; None: not at all.

    Args:
        video: The file; it is not looked at.
        sha256: Of its bytes.
        cache_folder: Where the index is kept; None: the user's cache folder.
    """
    folder = cache_folder or places.cache_folder()
    facts = kept_facts(folder, sha256)
    if facts is None:
        return None
    return IndexedVideo(
        video=video,
        sha256=sha256,
        duration_ms=facts.duration_ms,
        indexed_ms=facts.indexed_ms,
        frames=len(kept_footprint(folder, sha256).at_ms),
        is_whole=facts.is_whole,
        note=facts.note,
    )


class _Indexing:
    """The indexing of one video."""

    def __init__(self, video: Path, sha256: str, folder: Path, known: FootageFacts) -> None:
        # These take a while to load, and the window imports this before it stands.
        from leaktrack.imaging.footage.picking import Picker
        from leaktrack.imaging.matching.learned_matching import LearnedMatcher

        self._video, self._sha256, self._folder = video, sha256, folder
        self._facts = known
        self._matcher = LearnedMatcher(places.resource("models"))
        self._picker = Picker()
        self._made: list[Footprint] = []
        self._before: Features | None = None
        self._last_ms = known.indexed_ms

    def go_on(self, progress: Progress) -> None:
        """Index from where it was stopped to the end."""
        from leaktrack.imaging.footage.walking import Walker

        self._before = self._last_kept()
        keep_at = time.monotonic() + KEEP_EVERY_S
        with Walker(self._video) as walker:
            self._facts = replace(self._facts, duration_ms=walker.duration_ms)
            try:
                for look in walker.looks(self._facts.indexed_ms):
                    progress(look.at_ms, max(walker.duration_ms, look.at_ms), self._video.name)
                    self._take(look)
                    if time.monotonic() >= keep_at:
                        self._keep(self._picker.began_ms)
                        keep_at = time.monotonic() + KEEP_EVERY_S
            except Cancelled:
                self._keep(self._picker.began_ms)
                raise
            self._finish(max(self._last_ms, walker.reached_ms), walker.damaged)
        progress(walker.duration_ms, walker.duration_ms, self._video.name)

    def _last_kept(self) -> "Features | None":
        """Return the points of the last picture that is kept, which the next is linked to."""
        from leaktrack.imaging.footage.packing import features_of
        from leaktrack.imaging.footage.walking import Walker

        kept_ms = kept_footprint(self._folder, self._sha256).at_ms[-1:].tolist()
        if not kept_ms:
            return None
        with Walker(self._video) as walker:
            look = next(walker.looks(kept_ms[0]), None)
        return None if look is None else features_of(self._matcher, look)

    def _take(self, look: "Look") -> None:
        self._last_ms = look.at_ms
        for picked in self._picker.take(look):
            self._add(picked)

    def _add(self, picked: "Picked") -> None:
        from leaktrack.imaging.footage.packing import features_of, footprint_of

        found = features_of(self._matcher, picked.look)
        self._made.append(footprint_of(picked, found, self._before))
        self._before = found

    def _keep(self, until_ms: int) -> None:
        from leaktrack.imaging.footage.packing import Footprint

        if until_ms <= self._facts.indexed_ms:
            return
        from_ms = self._facts.indexed_ms
        self._facts = replace(self._facts, indexed_ms=until_ms)
        piece = Footprint.joined(self._made)
        try:
            keep_piece(self._folder, self._sha256, from_ms, piece, self._facts)
        except OSError as error:
            raise UnreadableVideo(
                f"The index of {self._video.name} cannot be kept: {error.strerror or error}. What "
                "was kept before is unchanged. Make room on the disk, then index it again."
            ) from error
        self._made = []

    def _finish(self, reached_ms: int, damaged: int) -> None:
        for picked in self._picker.rest():
            self._add(picked)
        duration_ms = self._facts.duration_ms or reached_ms
        is_short = reached_ms < duration_ms - _SHORT_OF_END_MS
        note = ""
        if is_short:
            note = (
                f"{self._video.name} breaks off at {reached_ms / 1000:.1f} s of "
                f"{duration_ms / 1000:.1f} s; it is indexed up to there. Copy it again from the "
                "camera for the rest."
            )
        elif damaged:
            note = f"{self._video.name} is damaged in {damaged} places; the rest is indexed."
        self._facts = replace(self._facts, duration_ms=duration_ms, is_whole=True, note=note)
        until_ms = reached_ms if is_short else duration_ms
        self._keep(max(until_ms, self._facts.indexed_ms + 1))
