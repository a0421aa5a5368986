"""Keep the index of videos in the cache folder, by the content of the file and piece by piece.

Each piece is a file of its own, named for where in the video it begins and ends: what was indexed
before work was stopped stays.
"""

import hashlib
import json
import re
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from leaktrack.model.errors import UnreadableVideo
from leaktrack.workflows.keep_cache import cached, note_use, write_whole

if TYPE_CHECKING:
    from leaktrack.imaging.footage.packing import Footprint

INDEX_VERSION = 3
"""Raise it when footage is indexed in another way: old pieces are then not found any more."""

_CHUNK_BYTES = 1 << 20
_PIECE = re.compile(r"(\d+)-(\d+)\.npz")
_FACTS = "facts.json"


@dataclass(frozen=True, slots=True)
class FootageFacts:
    """What is known of the indexing of one video.

    Attributes:
        duration_ms: As far as the file tells.
        indexed_ms: Up to here it is indexed.
        is_whole: Nothing is left to index.
        note: Why it does not reach the end; empty where it does.
        size: Width and height of the upright video, in px.
    """

    duration_ms: int = 0
    indexed_ms: int = 0
    is_whole: bool = False
    note: str = ""
    size: tuple[int, int] = (0, 0)


def sha256_of_video(
    video: Path, cache_folder: Path, progress: Callable[[], None] | None = None
) -> str:
    """Return the hash of a video's bytes; of a file that did not change it is read only once.

    Raises:
        UnreadableVideo: The file is missing or cannot be read.
    """
    try:
        status = video.stat()
        known = f"{video.absolute()}|{status.st_size}|{status.st_mtime_ns}"
        name = hashlib.sha256(known.encode(errors="surrogateescape")).hexdigest()
        file = cache_folder / "footage_hashes" / name[:2] / f"{name}.txt"
        return cached(file, _hash_of, str.encode, lambda: _hashed(video, progress))
    except OSError as error:
        raise UnreadableVideo(
            f"{video.name} cannot be read: {error.strerror or error}. Nothing was changed. "
            "Put the file back, or connect the drive it is on."
        ) from error


def kept_facts(cache_folder: Path, sha256: str) -> FootageFacts | None:
    """Return how far a video is indexed; None where nothing is kept of it."""
    try:
        told = json.loads((_folder(cache_folder, sha256) / _FACTS).read_text("utf-8"))
        facts = FootageFacts(**{**told, "size": tuple(told["size"])})
    except (OSError, ValueError, TypeError, KeyError):
        return None
    whole = _pieces(cache_folder, sha256, facts.indexed_ms)
    reached = whole[-1][1] if whole else 0
    return (
        facts if reached == facts.indexed_ms else replace(facts, indexed_ms=reached, is_whole=False)
    )


def keep_piece(
    cache_folder: Path, sha256: str, from_ms: int, piece: "Footprint", facts: FootageFacts
) -> None:
    """Keep the index of the stretch from one time to that which the facts tell.

    Raises:
        OSError: It cannot be written.
    """
    folder = _folder(cache_folder, sha256)
    if facts.indexed_ms > from_ms or not facts.indexed_ms:
        write_whole(folder / f"{from_ms:09}-{facts.indexed_ms:09}.npz", piece.to_bytes())
    told = {name: getattr(facts, name) for name in facts.__slots__}
    write_whole(folder / _FACTS, json.dumps(told).encode())


def kept_footprint(cache_folder: Path, sha256: str) -> "Footprint":
    """Return all that is kept of a video; empty where nothing is."""
    from leaktrack.imaging.footage.packing import Footprint

    facts = kept_facts(cache_folder, sha256)
    parts = []
    for file, _ in _pieces(cache_folder, sha256, facts.indexed_ms if facts else 0):
        with suppress(OSError):
            part = Footprint.from_bytes(file.read_bytes())
            note_use(file)
            if part is not None:
                parts.append(part)
    return Footprint.joined(parts)


def _pieces(cache_folder: Path, sha256: str, until_ms: int) -> list[tuple[Path, int]]:
    """Return the files that follow each other without a gap, with where each ends."""
    found: dict[int, tuple[Path, int]] = {}
    with suppress(OSError):
        for file in sorted(_folder(cache_folder, sha256).iterdir()):
            if match := _PIECE.fullmatch(file.name):
                found[int(match[1])] = file, int(match[2])
    chain: list[tuple[Path, int]] = []
    at_ms = 0
    while at_ms in found and found[at_ms][1] <= until_ms:
        chain.append(found.pop(at_ms))
        at_ms = chain[-1][1]
    return chain


def _folder(cache_folder: Path, sha256: str) -> Path:
    return cache_folder / "footage" / sha256[:2] / f"{sha256}-v{INDEX_VERSION}"


def _hash_of(content: bytes) -> str | None:
    text = content.decode("ascii", "replace")
    return text if re.fullmatch(r"[0-9a-f]{64}", text) else None


def _hashed(video: Path, progress: Callable[[], None] | None) -> str:
    digest = hashlib.sha256()
    with video.open("rb") as file:
        while chunk := file.read(_CHUNK_BYTES):
            if progress is not None:
                progress()
            digest.update(chunk)
    return digest.hexdigest()
