"""Tell a bead from the bare flange by how it looks across: for sealant of the flange's own colour.

Clear sealant, or grey on bare metal, has no place that looks like sealant by itself: it has a dark
rim, a bright line, and flange in between. But it looks alike across all along the path, and bare
flange does not. So what the strip looks like across is learnt from its own columns, laid over one
another, and looked for in each of them, at any width and place; where it is missing, nothing lies
there. Beside the bead, where there is none for certain, the same search tells what chance makes.
"""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter1d, median_filter

from leaktrack.imaging.beading.sequencing import Sequence, sequence_of
from leaktrack.imaging.beading.straightening import Strip
from leaktrack.imaging.measuring.projecting import Floats

Looks = NDArray[np.float32]

STEPS_TO_A_WIDTH = 18
REACH = 2.9
"""Of the strip that is looked at, in widths to each side."""

# Lengths in widths of the bead; own judgement, tried on drawn beads.
_HALF = 0.85  # of what is learnt across, to each side: the bead with its shadow
_BARE = 1.05  # so far from the path and farther, there is no bead
_SHIFT = 0.55  # the bead may lie so far off its path
_LOCAL = 12.0  # what it looks like across changes over this length, as the light does
_SHARED = 0.25  # of what it looks like is that of the whole path
_GROUND = 2.0
_SIZES = np.array([0.42, 0.52, 0.64, 0.78, 0.9, 1.0, 1.12, 1.3, 1.55])
_USUAL_SIZE = 5
_ROUNDS = (False, False, True, True)
"""Whether other sizes and gaps are looked for yet: what is told too early is learnt from."""

_SOFT_ALONG, _SOFT_ACROSS = 0.1, 0.04
_EVEN = 0.15  # of how much of the bead is there: standard deviation along
_LEAST_SPREAD = 0.6  # in Lab
_MOST_SPREADS = 6.0
_SHRINKAGE = 0.15
_MOST_WEIGHT = 1.7  # of one column: natural logarithm of odds
_WORSE = 0.5  # of the odds by which one place fits worse than another count
_UNUSUAL_COST = 0.3  # of one column, times the logarithm of how far its size is from the usual
_RIM = 0.2  # of the greatest difference from the flange: less is none of the bead
_NEAR_TOP = 0.95
_LEAST_WIDTH = 0.25
_EVERY = 4  # rows between two places where the bare flange is searched


@dataclass(frozen=True)
class Section:
    """A bead found by how it looks across.

    Attributes:
        right: (N,), offsets of its right edge, for each column of the strip.
        left: (N,), of the left one.
        is_bead: (N,), whether there is a bead.
        share: (N,), how much of what the bead looks like is there: 1 on it, 0 beside it.
        noise: One standard deviation of that share, on the bead or on bare flange.
    """

    right: Floats
    left: Floats
    is_bead: NDArray[np.bool_]
    share: Floats
    noise: float

    @property
    def width(self) -> float:
        """Its typical width."""
        return float(np.median((self.left - self.right)[self.is_bead]))


def sectioned(strip: Strip, width: float) -> Section | None:
    """Return the bead along a strip, None where nothing is alike along it.

    Args:
        strip: At ``width / STEPS_TO_A_WIDTH`` a step, reaching ``REACH`` widths to each side.
        width: Of the bead, about.
    """
    looks, spread_off = _looks(strip, width)
    if looks is None or looks.shape[1] < 3 * STEPS_TO_A_WIDTH:
        return None
    search = _Search(looks, spread_off)
    shift = np.zeros(looks.shape[1], np.intp)
    size = np.full(looks.shape[1], _USUAL_SIZE)
    is_bead = np.ones(looks.shape[1], np.bool_)
    share = np.ones(looks.shape[1])
    for is_late in _ROUNDS:
        search.learn(shift, size, np.where(is_bead, np.clip(share, 0.2, 1.0), 0.05))
        found, share = search.sought(is_late=is_late)
        shift, size, is_bead = found.place, found.size, found.is_there
        if not is_bead.any():
            return None
    # What chance shows on bare flange, and by how much the bead itself is unlike what was learnt.
    low, high = np.percentile(share[is_bead], [16, 84])
    noise = max(search.noise(), float(high - low) / 2)
    edges = search.edges()
    if edges is None:
        return None
    step = strip.track.step
    sizes = gaussian_filter1d(_SIZES[size], 0.2 * STEPS_TO_A_WIDTH, mode="nearest")
    shifts = gaussian_filter1d(shift.astype(np.float64), 0.2 * STEPS_TO_A_WIDTH, mode="nearest")
    right, left = ((shifts + edge * sizes) * step for edge in edges)
    return Section(right, left, is_bead, share, noise)


class _Search:
    """What the bead looks like across, and where it does."""

    def __init__(self, looks: Looks, rows_off: NDArray[np.intp]) -> None:
        self._looks = looks
        self._rows, self._columns, _ = looks.shape
        self._middle = self._rows // 2
        half = round(_HALF * STEPS_TO_A_WIDTH)
        self._across = np.arange(-half, half + 1)
        reach = round(_SHIFT * STEPS_TO_A_WIDTH)
        self._shifts = np.arange(-reach, reach + 1)
        bare = [looks[row + self._across] for row in rows_off]
        samples = np.concatenate(
            [each.transpose(1, 0, 2).reshape(self._columns, -1)[::3] for each in bare]
        ).astype(np.float64)
        samples -= samples.mean(axis=0)
        spread = samples.T @ samples / len(samples)
        even = np.trace(spread) / len(spread) * np.eye(len(spread))
        self._inverse = np.linalg.inv((1 - _SHRINKAGE) * spread + _SHRINKAGE * even)
        self._bare = bare
        every = max(2, round(self._columns / (10 * STEPS_TO_A_WIDTH)))
        self._anchors = np.linspace(0, self._columns - 1, every).astype(np.intp)
        self._whole = np.zeros((len(self._across), looks.shape[2]))
        self._here: list[Floats] = []

    def learn(self, shift: NDArray[np.intp], size: NDArray[np.intp], trust: Floats) -> None:
        """Learn what the bead looks like across, from the columns as they were laid."""
        rows = self._middle + shift + np.rint(self._across[:, None] * _SIZES[size]).astype(np.intp)
        laid = self._looks[np.clip(rows, 0, self._rows - 1), np.arange(self._columns)]
        weighed = laid * trust[None, :, None]
        sigma = _LOCAL * STEPS_TO_A_WIDTH
        total = gaussian_filter1d(trust, sigma, mode="nearest")
        local = gaussian_filter1d(weighed, sigma, axis=1, mode="nearest") / total[None, :, None]
        self._whole = np.asarray(weighed.sum(axis=1) / trust.sum(), np.float64)
        self._here = [
            (1 - _SHARED) * local[:, anchor] + _SHARED * self._whole for anchor in self._anchors
        ]

    def sought(self, *, is_late: bool) -> tuple[Sequence, Floats]:
        """Return where the bead lies, and how much of it is there in each column."""
        sizes = _SIZES if is_late else _SIZES[[_USUAL_SIZE]]
        flat = self._looks.transpose(0, 2, 1).reshape(-1, self._columns)
        shape = (len(sizes), len(self._shifts), self._columns)
        weight, power = np.zeros(shape), np.zeros((len(sizes), self._columns))
        for anchor, look in zip(self._anchors, self._here, strict=True):
            near = 1 - np.abs(np.arange(self._columns) - anchor) / (
                self._anchors[1] - self._anchors[0]
            )
            is_near = near > 0
            bank, powers = self._filters(look, sizes)
            said = (bank @ flat[:, is_near]).reshape(shape[0], shape[1], -1)
            weight[:, :, is_near] += said * near[is_near]
            power[:, is_near] += powers[:, None] * near[is_near]
        odds = (weight - power[:, None] / 2) / self._echo()
        odds -= _UNUSUAL_COST * np.abs(np.log(sizes))[:, None, None]
        # However surely there is a bead, which place and size fits it best must still count.
        best = odds.max(axis=(0, 1))
        worse = np.minimum(_WORSE * (best - odds), _MOST_WEIGHT)
        found = sequence_of(np.clip(best, -_MOST_WEIGHT, _MOST_WEIGHT) - worse, may_break=is_late)
        column = np.arange(self._columns)
        share = weight[found.size, found.place, column] / np.maximum(
            power[found.size, column], 1e-9
        )
        even = gaussian_filter1d(share, _EVEN * STEPS_TO_A_WIDTH, mode="nearest")
        size = found.size if is_late else np.full(self._columns, _USUAL_SIZE)
        return Sequence(self._shifts[found.place], size, found.is_there), even

    def noise(self) -> float:
        """Return how much of the bead chance shows on the bare flange: a standard deviation."""
        return float(
            np.std(gaussian_filter1d(self._bare_shares(), _EVEN * STEPS_TO_A_WIDTH, axis=1))
        )

    def edges(self) -> tuple[float, float] | None:
        """Return the rows of the bead's right and left edge, from its middle.

        Its rim is the outermost place that differs most from the flange, seen from outside; what
        still fades beyond it is shadow.
        """
        differing = np.linalg.norm(self._whole, axis=1)
        least = _RIM * differing.max()
        ends = []
        for rows in (np.arange(len(differing)), np.arange(len(differing))[::-1]):
            seen = differing[rows]
            is_top = (seen[1:-1] >= seen[:-2]) & (seen[1:-1] >= seen[2:]) & (seen[1:-1] > least)
            if not is_top.any():
                return None
            top = int(is_top.argmax()) + 1
            near = _NEAR_TOP * seen[top]
            low = int(np.flatnonzero(seen[: top + 1] < near)[-1]) if seen[0] < near else 0
            part = (near - seen[low]) / max(seen[low + 1] - seen[low], 1e-9)
            ends.append(float(np.interp(low + part, np.arange(len(rows)), self._across[rows])))
        if ends[1] - ends[0] < _LEAST_WIDTH * STEPS_TO_A_WIDTH:
            return None
        return ends[0], ends[1]

    def _filters(self, look: Floats, sizes: Floats) -> tuple[Looks, Floats]:
        """Return a filter for each size and shift, and how much of each size it answers to."""
        bank = np.zeros((len(sizes), len(self._shifts), self._rows, look.shape[1]), np.float32)
        powers = np.zeros(len(sizes))
        for number, size in enumerate(sizes):
            seen = np.stack(
                [
                    np.interp(self._across / size, self._across, one, left=0, right=0)
                    for one in look.T
                ],
                axis=1,
            )
            weighed = (self._inverse @ seen.ravel()).reshape(seen.shape)
            powers[number] = float((weighed * seen).sum())
            for place, shift in enumerate(self._shifts):
                bank[number, place, self._middle + shift + self._across] = weighed
        return bank.reshape(len(sizes) * len(self._shifts), -1), powers

    def _bare_shares(self) -> Floats:
        weighed = (self._inverse @ self._whole.ravel()).reshape(self._whole.shape)
        power = max(float((weighed * self._whole).sum()), 1e-9)
        return np.stack([np.einsum("unc,uc->n", each, weighed) for each in self._bare]) / power

    def _echo(self) -> float:
        """Return to how many columns a flange looks alike: so many of them say the same."""
        shares = self._bare_shares()
        window = STEPS_TO_A_WIDTH
        even = gaussian_filter1d(shares, window / 3.5, axis=1)
        return max(1.0, float(np.var(even)) / max(float(np.var(shares)), 1e-12) * window)


def _looks(strip: Strip, width: float) -> tuple[Looks | None, NDArray[np.intp]]:
    """Return (M, N, 3): by how much each place differs from the flange beside the path.

    In Lab, in standard deviations of what lies there; and the rows about which the flange is
    certainly bare as far as the bead is learnt.
    """
    soft = cv2.GaussianBlur(
        strip.rgb,
        (0, 0),
        sigmaX=_SOFT_ALONG * STEPS_TO_A_WIDTH,
        sigmaY=_SOFT_ACROSS * STEPS_TO_A_WIDTH,
    )
    lab = cv2.cvtColor(np.ascontiguousarray(soft / 255.0, np.float32), cv2.COLOR_RGB2LAB)
    away = strip.offsets / width
    window = round(_GROUND * STEPS_TO_A_WIDTH) | 1
    sides: list[Looks] = []
    for sign in (-1, 1):
        mean = np.median(lab[(sign * away > _BARE) & (sign * away < 2.2)], axis=0)
        smooth = median_filter(mean, size=(window, 1), mode="nearest")
        even = gaussian_filter1d(smooth, window / 4, axis=0, mode="nearest")
        sides.append(np.asarray(even, np.float32))
    share = np.clip((away / 1.6 + 1) / 2, 0, 1)[:, None, None]
    differing = lab - (sides[0] * (1 - share) + sides[1] * share)
    spread = np.maximum(np.std(differing[np.abs(away) > _BARE], axis=(0, 1)), _LEAST_SPREAD)
    middle, half = len(away) // 2, round(_HALF * STEPS_TO_A_WIDTH)
    first = round(_BARE * STEPS_TO_A_WIDTH) + half
    off = np.arange(first, middle - half, _EVERY)
    if not len(off):
        return None, off
    looks = np.clip(differing / spread, -_MOST_SPREADS, _MOST_SPREADS).astype(np.float32)
    return looks, np.concatenate([middle - off, middle + off])
