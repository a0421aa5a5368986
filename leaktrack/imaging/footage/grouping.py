"""Group pictures that show what was asked for into spans of time."""

from collections.abc import Sequence
from dataclasses import dataclass

from leaktrack.imaging.footage.packing import Footprint

BRIDGED_MS = 4_000
"""Between two pictures of one span nothing speaks against it for at most so long; own judgement."""


@dataclass(frozen=True, slots=True)
class Seen:
    """A picture of an index that was looked at closely.

    Attributes:
        number: Of the picture in the index.
        score: Chance that it shows what was asked for.
    """

    number: int
    score: float


@dataclass(frozen=True, slots=True)
class Stretch:
    """A span with its best picture."""

    start_ms: int
    end_ms: int
    best: int
    score: float


def stretches(footprint: Footprint, seen: Sequence[Seen], least: float) -> list[Stretch]:
    """Return the spans around pictures that were found to show it, best first.

    Args:
        footprint: The index of the video.
        seen: Pictures that were looked at, in any order.
        least: Score from which on a picture counts as showing it.
    """
    good = sorted((one for one in seen if one.score >= least), key=lambda one: one.number)
    bad = {one.number for one in seen if one.score < least}
    groups: list[list[Seen]] = []
    for one in good:
        if groups and _goes_on(footprint, groups[-1][-1].number, one.number, bad):
            groups[-1].append(one)
        else:
            groups.append([one])
    found = []
    for group in groups:
        best = max(group, key=lambda one: one.score)
        found.append(
            Stretch(
                int(footprint.from_ms[group[0].number]),
                int(footprint.until_ms[group[-1].number]),
                best.number,
                best.score,
            )
        )
    return sorted(found, key=lambda one: -one.score)


def _goes_on(footprint: Footprint, one: int, other: int, bad: set[int]) -> bool:
    gap_ms = footprint.from_ms[other] - footprint.until_ms[one]
    return bool(gap_ms <= BRIDGED_MS) and not bad.intersection(range(one + 1, other))
