"""Group pictures that show what was asked for into spans of time."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import log

from leaktrack.imaging.footage.packing import Footprint

BRIDGED_MS = 4_000
"""Between two pictures of one span nothing speaks against it for at most so long; own judgement."""

# Scores that differ by less, as log odds, tell nothing about which moment is better; own judgement.
# Told as log odds, since 0.99 is much surer than 0.94, and 0.55 hardly surer than 0.5.
_AS_GOOD = 0.5
_MOST_SCORE = 0.999


@dataclass(frozen=True, slots=True)
class Seen:
    """A picture of an index that was looked at closely.

    Attributes:
        number: Of the picture in the index, or of the one that it lies nearest to.
        score: Chance that it shows what was asked for.
        strength: How well it shows it; tells apart what is equally likely.
        at_ms: When it is shown, where it is not the picture of the index but one beside it.
        sure_ms: From when until when it is known to be shown, where that is so.
        stays: The first and the last picture between which it stays in sight, as the motion from
            picture to picture tells; None: it is seen in this one only.
    """

    number: int
    score: float
    strength: float = 0.0
    at_ms: int | None = None
    sure_ms: tuple[int, int] | None = None
    stays: tuple[int, int] | None = None


@dataclass(frozen=True, slots=True)
class Stretch:
    """A span with its best picture."""

    start_ms: int
    end_ms: int
    best: Seen

    @property
    def score(self) -> float:
        """Of its best picture."""
        return self.best.score


def stretches(footprint: Footprint, seen: Sequence[Seen], least: float) -> list[Stretch]:
    """Return the spans around pictures that were found to show it, likeliest first.

    Args:
        footprint: The index of the video.
        seen: Pictures that were looked at, in any order.
        least: Score from which on a picture counts as showing it.
    """
    good = {
        one.number: one for one in sorted(seen, key=lambda one: one.score) if one.score >= least
    }
    shown = set(good)
    for one in good.values():
        if one.stays is not None:
            shown.update(range(one.stays[0], one.stays[1] + 1))
    bad = {one.number for one in seen} - shown
    groups: list[list[int]] = []
    for number in sorted(shown):
        if groups and _goes_on(footprint, groups[-1][-1], number, bad):
            groups[-1].append(number)
        else:
            groups.append([number])
    found = []
    for group in groups:
        looked_at = [good[number] for number in group if number in good]
        if not looked_at:
            continue
        score = max(one.score for one in looked_at)
        as_good = (one for one in looked_at if _log_odds(one.score) >= _log_odds(score) - _AS_GOOD)
        best = max(as_good, key=lambda one: one.strength)
        start_ms, _ = _shown_ms(footprint, group[0], good)
        _, end_ms = _shown_ms(footprint, group[-1], good)
        found.append(Stretch(start_ms, end_ms, best))
    return sorted(found, key=lambda one: -one.score)


def _log_odds(score: float) -> float:
    likely = min(max(score, 1 - _MOST_SCORE), _MOST_SCORE)
    return log(likely / (1 - likely))


def _shown_ms(footprint: Footprint, number: int, good: dict[int, Seen]) -> tuple[int, int]:
    if number in good and (sure_ms := good[number].sure_ms) is not None:
        return sure_ms
    return int(footprint.from_ms[number]), int(footprint.until_ms[number])


def _goes_on(footprint: Footprint, one: int, other: int, bad: set[int]) -> bool:
    gap_ms = footprint.from_ms[other] - footprint.until_ms[one]
    return bool(gap_ms <= BRIDGED_MS) and not bad.intersection(range(one + 1, other))
