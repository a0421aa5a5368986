"""Pairs of photos that show one place, and pairs that do not, for films made of them.

Learning and judging never share a scene: the score is learnt on ``LEARNT_ON``, and judged on the
story and on all else.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.reading import read_upright
from tests.accuracy.truth import TruePhoto, TrueZone, zones

LEARNT_ON = (
    "scene_9101",
    "scene_9103",
    "bead_9201",
    "bead_9202",
    "bead_9203",
    "bead_9204",
    "bead_9205",
)

_ON_PLANE_PX = 15.0

Matrix = NDArray[np.float64]
Rgb = NDArray[np.uint8]


@dataclass(frozen=True)
class Scene:
    """One place, in one photo or several.

    Attributes:
        zone: With the truth about how its photos lie over each other; None: one photo only.
    """

    name: str
    photos: tuple[Path, ...]
    zone: TrueZone | None = None

    def between(self, query: Path, filmed: Path) -> Matrix:
        """Return where places of one photo lie in the other; as one plane, so only about."""
        if query == filmed or self.zone is None:
            return np.eye(3)
        one, other = (self.zone.seen_from(self._photo(path)) for path in (query, filmed))
        both = (one[:, 2] > 0) & (other[:, 2] > 0)
        found, _ = cv2.findHomography(one[both, :2], other[both, :2], cv2.RANSAC, _ON_PLANE_PX)
        return np.asarray(found, float)

    def is_beside(self, other: "Scene") -> bool:
        """Whether both are zones of one bank of the story: a photo of one may show of the other."""
        banks = [one.name[: len("story/bank1")] for one in (self, other)]
        return self != other and banks[0] == banks[1] and banks[0].startswith("story/")

    def between_beside(self, query: Path, other: "Scene", filmed: Path) -> Matrix | None:
        """Return where places of a photo lie in one of the zone beside; None: in no sane way.

        Both zones share one system of coordinates. What hides what is not looked at.
        """
        assert self.zone is not None
        seen = self.zone.seen_from(self._photo(query))
        xyz = np.array([point["xyz_mm"] for point in self.zone.facts["points"]], float)
        camera = other._photo(filmed).facts["camera"]
        turn, shift = np.array(camera["R_world_to_cam"]), np.array(camera["t_world_to_cam_mm"])
        is_seen = (seen[:, 2] > 0) & ((xyz @ turn.T + shift)[:, 2] > 0)
        there, _ = cv2.projectPoints(
            xyz[is_seen],
            cv2.Rodrigues(turn)[0],
            shift,
            np.array(camera["K"]),
            np.array(camera["dist_k1_k2_p1_p2_k3"], float),
        )
        found, _ = cv2.findHomography(
            seen[is_seen, :2], there.reshape(-1, 2), cv2.RANSAC, _ON_PLANE_PX
        )
        return None if found is None else np.asarray(found, float)

    def things(self, photo: Path) -> Matrix:
        """Return places of a photo, (N, 2) px, that lie on the engine and not on what is around."""
        assert self.zone is not None
        seen = self.zone.seen_from(self._photo(photo))
        return np.asarray(seen[seen[:, 2] > 0, :2])

    def _photo(self, path: Path) -> TruePhoto:
        assert self.zone is not None
        return next(photo for photo in self.zone.photos if photo.path == path)


def scenes(folder: Path) -> tuple[Scene, ...]:
    """Return the places below the folder of truth that belong to no story."""
    found = [
        Scene(zone.name.split("/")[0], tuple(photo.path for photo in zone.photos), zone)
        for zone in zones(folder / "dev")
    ]
    found += [
        Scene(path.parent.name, (path,)) for path in sorted(folder.glob("dev/bead_*/photo.jpg"))
    ]
    return tuple(found)


@lru_cache(12)
def picture(path: Path) -> Rgb:
    """Return a photo as it is filmed."""
    return read_upright(path)


def boxes(size: tuple[int, int], rng: np.random.Generator) -> Iterator[tuple[float, ...]]:
    """Give out parts of a photo of this size to ask for, again and again: all, and a part."""
    width, height = size
    while True:
        yield (-0.5, -0.5, float(width), float(height))
        share = rng.uniform(0.25, 0.5)
        x, y = rng.uniform(0, (1 - share) * width), rng.uniform(0, (1 - share) * height)
        yield (x, y, share * width, share * height)
