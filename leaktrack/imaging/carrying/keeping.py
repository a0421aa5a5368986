"""Turn how two photos lie over each other into bytes for a cache, and back."""

import io
import zipfile
from dataclasses import astuple

import numpy as np
from numpy.lib.npyio import NpzFile
from numpy.typing import NDArray

from leaktrack.imaging.carrying.flattening import Shrinkage
from leaktrack.imaging.carrying.refining import FineAlignment
from leaktrack.imaging.matching.aligning import Alignment, AlignmentState
from leaktrack.imaging.matching.framing import Framed, Window

KeepablePlacing = Alignment | FineAlignment | Framed


def to_bytes(placing: KeepablePlacing) -> bytes:
    """Return an alignment as bytes; it carries the same places to the same ones afterwards."""
    file = io.BytesIO()
    np.savez(file, allow_pickle=False, **_arrays(placing))
    return file.getvalue()


def from_bytes(content: bytes) -> KeepablePlacing | None:
    """Return an alignment from bytes; None where they are damaged."""
    try:
        with np.load(io.BytesIO(content), allow_pickle=False) as kept:
            return _placing(kept)
    except (OSError, EOFError, ValueError, KeyError, TypeError, zipfile.BadZipFile):
        return None


def _arrays(placing: KeepablePlacing) -> dict[str, NDArray[np.generic]]:
    size = np.array(placing.size)
    if isinstance(placing, Framed):
        windows = np.array([astuple(placing.here), astuple(placing.there)])
        inner = placing.inner
        if not isinstance(inner, Alignment | FineAlignment):
            raise TypeError(f"a part of a photo cannot lie by {type(inner).__name__}")
        return {**_arrays(inner), "windows": windows, "framed_size": size}
    state = np.array(placing.state.value)
    found: dict[str, NDArray[np.generic]]
    if isinstance(placing, Alignment):
        found = {"here": placing.here, "there": placing.there, "plane": placing.plane}
    else:
        found = {
            "where": placing.where,
            "chance": placing.chance,
            "reference_px": placing.reference.px,
            "new_px": placing.new.px,
        }
    return {"state": state, "size": size, **found}


def _placing(kept: NpzFile) -> KeepablePlacing:
    state, size = AlignmentState(str(kept["state"])), _size(kept["size"])
    inner: Alignment | FineAlignment
    if "where" in kept:
        here, there = Shrinkage(kept["reference_px"]), Shrinkage(kept["new_px"])
        inner = FineAlignment(state, kept["where"], kept["chance"], here, there, size)
    else:
        inner = Alignment(state, kept["here"], kept["there"], kept["plane"], size)
    if "windows" not in kept:
        return inner
    one, other = (Window(*(int(side) for side in window)) for window in kept["windows"])
    return Framed(inner, one, other, _size(kept["framed_size"]))


def _size(sides: NDArray[np.int64]) -> tuple[int, int]:
    width, height = (int(side) for side in sides)
    return width, height
