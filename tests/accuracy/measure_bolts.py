"""How well the bolts of a cover, and the points of its joint beside them, are found again.

Reads ``bolts_px`` of the truth: for each bolt its ``head_px`` and whether it is ``visible``; and
``joints_px["cover_joint"]``. Errors are told in px of a photo 1000 px wide.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.carrying.anchoring import anchored
from leaktrack.imaging.carrying.bolting import bolts_again
from leaktrack.imaging.carrying.shaping import carried_shape
from tests.accuracy.aligned_pairs import aligned_pairs
from tests.accuracy.measure_align import DECODED_PX, TOLD_AT_PX
from tests.accuracy.truth import TruePhoto, TrueZone

Floats = NDArray[np.float64]
_FEWEST = 3


def report(zones: Sequence[TrueZone], every: int) -> None:
    """Print how far bolts, and the joint's points nearest to them, are off before and after."""
    heads: list[tuple[Floats, Floats]] = []
    seams: list[tuple[Floats, Floats]] = []
    rows, found_rows = 0, 0
    for zone in zones:
        shown = {photo.name: photo.rgb(DECODED_PX) for photo in zone.photos}
        for one, other, placing in aligned_pairs(zone, every):
            here, there, is_seen = _bolts(one, other)
            if len(here) < _FEWEST:
                continue
            rows += 1
            found = bolts_again(shown[one.name], one.size_px, shown[other.name], placing, here)
            if found is None:
                continue
            found_rows += 1
            told = TOLD_AT_PX / other.size_px[0]
            off = [
                np.linalg.norm(xy - there, axis=1) * told for xy in (placing.places(here), found.xy)
            ]
            heads.append((off[0][is_seen], off[1][is_seen]))
            line_here, line_there = _nearest(one, other, here)
            carried = carried_shape(placing, line_here)
            places = range(len(here))
            put = anchored(carried, places, line_here, here, found, other.size_px)
            off = [np.linalg.norm(each.xy - line_there, axis=1) * told for each in (carried, put)]
            is_told = is_seen & np.isfinite(off[0]) & np.isfinite(off[1])
            seams.append((off[0][is_told], off[1][is_told]))
        print(f"{zone.name:26}  rows so far {rows}, found {found_rows}", flush=True)
    for what, pairs in (("bolts", heads), ("joint beside them", seams)):
        for when, errors in zip(("carried", "found"), zip(*pairs, strict=True), strict=True):
            print(f"{what:18} {when:8} {_figures(np.concatenate(errors))}")


def _bolts(one: TruePhoto, other: TruePhoto) -> tuple[Floats, Floats, NDArray[np.bool_]]:
    """Return the bolts that one photo shows, where they are in another, and whether seen there."""
    there = {bolt["index"]: bolt for bolt in other.facts.get("bolts_px", ())}
    pairs = [
        (bolt["head_px"], there[bolt["index"]])
        for bolt in one.facts.get("bolts_px", ())
        if bolt["visible"] and bolt["index"] in there
    ]
    return (
        np.array([head for head, _ in pairs], float).reshape(-1, 2),
        np.array([bolt["head_px"] for _, bolt in pairs], float).reshape(-1, 2),
        np.array([bolt["visible"] for _, bolt in pairs], bool),
    )


def _nearest(one: TruePhoto, other: TruePhoto, heads: Floats) -> tuple[Floats, Floats]:
    """Return the corners of the cover joint nearest to bolts, in both photos."""
    here, there = (
        np.array(photo.facts["joints_px"]["cover_joint"]["px"], float) for photo in (one, other)
    )
    nearest = np.linalg.norm(heads[:, None] - here[None], axis=2).argmin(axis=1)
    return here[nearest], there[nearest]


def _figures(errors: Floats) -> str:
    median, most = np.percentile(errors, [50, 95])
    within = np.mean(errors < 5)
    return f"{len(errors):5}  median {median:5.2f}  95 % {most:5.1f}  within 5 px {within:.1%}"
