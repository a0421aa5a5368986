"""Photos whose truth is known, read from a folder outside the repository.

The folder holds one folder for each set of scenes. Somewhere below it lie files ``truth.json`` with

* ``zones[name].photos[name]``: ``file``, ``wet_mask`` (PNG beside it; pixel value = leak, 0 = dry),
  ``leaks`` (list of ``leak``, ``present``, ``source_px``, ``source_visible``), ``scale_target``
  (None, or ``side_mm`` and ``corners_px``), ``joints_px[joint]`` (``px`` and ``visible`` of the
  joint's corners), ``bolts_px`` and ``solenoid_bolts_px`` (``index``, ``visible``),
* ``zones[name].joints[name]``: ``closed``, ``xyz_mm`` and ``arclength_mm`` of the corners;
  ``zones[name].bolts``: ``index``, ``joint_arclength_mm``; ``solenoid_bolts``: ``seat_xyz_mm``,
* ``zones[name].points``: ``px[photo] = [x, y, visible]``, surface points seen from every photo.

Positions are those of the upright photo; the centre of its top-left pixel is (0, 0).
"""

import json
import os
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.reading import read_upright

ENVIRONMENT_VARIABLE = "LEAKTRACK_TRUTH"


@dataclass(frozen=True)
class TruePhoto:
    """One photo with its truth.

    Attributes:
        facts: Its entry in the truth file.
    """

    zone: str
    name: str
    path: Path
    facts: dict[str, Any]

    def rgb(self, longest_px: int | None = None) -> NDArray[np.uint8]:
        """Return the upright photo."""
        return read_upright(self.path, longest_px)

    def wet(self) -> NDArray[np.uint8]:
        """Return the number of the leak that wets each pixel; 0 where it is dry."""
        return read_upright(self.path.with_name(self.facts["wet_mask"]))[:, :, 0]

    @property
    def size_px(self) -> tuple[int, int]:
        """Width and height of the upright photo."""
        return self.facts["camera"]["width"], self.facts["camera"]["height"]


@dataclass(frozen=True)
class TrueZone:
    """One zone of one engine, photographed several times.

    Attributes:
        points: For each surface point, the entry ``px`` of the truth file.
        facts: Its entry in the truth file.
    """

    name: str
    photos: tuple[TruePhoto, ...]
    points: tuple[dict[str, list[float]], ...]
    facts: dict[str, Any] = field(default_factory=dict)

    def seen_from(self, photo: TruePhoto) -> NDArray[np.float64]:
        """Return (n, 3): x, y and whether it is visible, of every point in one photo."""
        absent = [np.nan, np.nan, 0.0]
        return np.array([point.get(photo.name, absent) for point in self.points], float)


def truth_folder(given: str | None) -> Path | None:
    """Return the folder with truth, by argument or environment variable; None without."""
    named = given or os.environ.get(ENVIRONMENT_VARIABLE)
    return Path(named) if named and Path(named).is_dir() else None


def zones(folder: Path) -> tuple[TrueZone, ...]:
    """Return every zone below a folder."""
    found = []
    for path in sorted(folder.rglob("truth.json")):
        document = json.loads(path.read_text())
        for name, zone in document.get("zones", {}).items():
            label = f"{path.parent.name}/{name}"
            photos = tuple(
                TruePhoto(label, photo_name, path.parent / facts["file"], facts)
                for photo_name, facts in zone["photos"].items()
            )
            points = tuple(point["px"] for point in zone["points"])
            found.append(TrueZone(label, photos, points, zone))
    return tuple(found)
