"""Learn to tell oil in two stages, each zone judged by what was learnt on the other zones.

A small network tells pixels; a logistic model tells whole regions, found with networks that never
saw the region's zone. At last scores are sharpened so that they are chances.
"""

import tempfile
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.spotting.bounding import Candidate, candidates
from leaktrack.imaging.spotting.gathering import evidence_of, prepared
from leaktrack.imaging.spotting.ranking import REGION_CLUES, UNKNOWN_JOINT, region_clues
from leaktrack.imaging.spotting.wetting import LEAST_REGION_PX, chosen
from leaktrack.model.wet_search import WetKind
from tests.accuracy.small_network import Logistic, Network, learnt_logistic
from tests.accuracy.truth import TrueZone
from tests.accuracy.wet_cases import Case, Target, aligner, pair_cases, together
from tests.accuracy.wet_samples import PAINTED_SHARE, Rows, networks_for, painted_case, sampled

Bools = NDArray[np.bool_]
LogitOf = Callable[[NDArray[np.float32]], NDArray[np.float32]]

MOST_BEFORE = 3
_RIDGE = 3.0
_LEAST_CHANCE = 0.003


@dataclass(frozen=True)
class Region:
    """A region found in a case, compared with its truth.

    Attributes:
        clues: What the region is judged by.
        overlap: Intersection over union with the target it hits best; 0 without.
        target: Number of that target in the case; None without.
        wet_share: How much of it lies on anything wet.
        shape: As it was found.
        as_told: As the program outlines it; compared with the truth.
    """

    clues: NDArray[np.float32]
    overlap: float
    target: int | None
    wet_share: float
    shape: Candidate
    as_told: Candidate


@dataclass(frozen=True)
class Lesson:
    """What was learnt, each zone seen by a network that was learnt on the other zones.

    Attributes:
        cases: All pairs, and photos with several earlier ones.
        rows: Pixels to learn from, by zone.
        regions: For each case, what was found in it.
        painted: Further regions, found in cases that were painted on; by zone.
    """

    cases: tuple[Case, ...]
    rows: dict[str, list[Rows]]
    regions: tuple[list[Region], ...]
    painted: dict[str, list[Region]]

    def judge(self, without: str | None = None) -> Logistic:
        """Return the model of regions, learnt without one zone."""
        regions = [
            region
            for case, found in zip(self.cases, self.regions, strict=True)
            if case.zone != without
            for region in found
        ]
        for zone, found in self.painted.items():
            regions += found if zone != without else []
        return judge_for(regions)

    def chances(self, *, know_joints: bool) -> list[NDArray[np.float64]]:
        """Return for each case what its regions are worth, by judges that never saw its zone."""
        judges = {case.zone: self.judge(case.zone) for case in self.cases}
        return [
            judges[case.zone].chance(told_of(found, know_joints=know_joints))
            if found
            else np.empty(0)
            for case, found in zip(self.cases, self.regions, strict=True)
        ]

    def sharpened(self) -> tuple[float, float]:
        """Return what makes log odds of overlap those of being oil: a factor and a summand."""
        told, truth = [], []
        for know_joints in (False, True):
            both = zip(self.regions, self.chances(know_joints=know_joints), strict=True)
            for found, chances in both:
                for region, chance in picked(found, chances):
                    told.append(np.log(chance / (1 - chance)))
                    truth.append(float(is_oil(region)))
        terms, wanted = np.c_[told, np.ones(len(told))], np.array(truth)
        weights = np.array([1.0, 0.0])
        for _ in range(50):
            chance = 1 / (1 + np.exp(-terms @ weights))
            curvature = (terms * (chance * (1 - chance))[:, None]).T @ terms
            slope = terms.T @ (chance - wanted)
            weights -= np.linalg.solve(curvature + 1e-3 * np.eye(2), slope)
        return float(weights[0]), float(weights[1])

    def judged(self, *, know_joints: bool) -> list[list[tuple[Region, float]]]:
        """Return for each case its regions, none overlapping another, with calibrated scores."""
        factor, summand = self.sharpened()
        judged = []
        both = zip(self.regions, self.chances(know_joints=know_joints), strict=True)
        for found, chances in both:
            odds = np.log(chances / (1 - chances)) * factor + summand
            judged.append(picked(found, 1 / (1 + np.exp(-odds))))
        return judged


def lesson_of(zones: Sequence[TrueZone], every: int) -> Lesson:
    """Return what can be learnt from these zones; takes a quarter of an hour for seven."""
    cases = all_cases(zones, every)
    rows = sampled(cases)
    regions: dict[int, list[Region]] = {}
    painted: dict[str, list[Region]] = {}
    rng = np.random.default_rng(11)
    for zone in zones:
        others = [row for name in rows if name != zone.name for row in rows[name]]
        logit_of = _by_columns(networks_for(others))
        for number, case in enumerate(cases):
            if case.zone != zone.name:
                continue
            regions[number] = regions_of(case, logit_of)
            if len(case.before) == 1 and rng.random() < PAINTED_SHARE:
                more = regions_of(painted_case(case, rng)[0], logit_of)
                painted.setdefault(zone.name, []).extend(more)
        print(f"{zone.name}: searched", flush=True)
    found = tuple(regions[number] for number in range(len(cases)))
    return Lesson(tuple(cases), rows, found, painted)


def picked(found: Sequence[Region], chances: NDArray[np.float64]) -> list[tuple[Region, float]]:
    """Return the regions that the program would tell of, likeliest first."""
    regions = {id(region.shape): region for region in found}
    rated = [(region.shape, float(chance)) for region, chance in zip(found, chances, strict=True)]
    return [(regions[id(shape)], chance) for shape, chance in chosen(rated, _LEAST_CHANCE)]


def is_oil(region: Region) -> bool:
    """Return whether a region counts as right when scores are calibrated."""
    return region.wet_share >= 0.5 or region.overlap > 0.2


def all_cases(zones: Sequence[TrueZone], every: int) -> list[Case]:
    """Return the pairs of all zones, and photos with several earlier ones."""
    found: list[Case] = []
    with tempfile.TemporaryDirectory() as folder:
        placed = aligner(Path(folder))
        for zone in zones:
            pairs = list(pair_cases(zone, placed, every))
            found += pairs + list(together(zone, pairs, MOST_BEFORE))
            print(f"{zone.name}: {len(pairs)} pairs", flush=True)
    return found


def _by_columns(networks: Sequence[Network]) -> LogitOf:
    def logit_of(told: NDArray[np.float32]) -> NDArray[np.float32]:
        return np.mean([network.logit(told.T) for network in networks], axis=0)

    return logit_of


def regions_of(case: Case, logit_of: LogitOf) -> list[Region]:
    """Return the candidates that a network finds in a case, compared with the truth."""
    photos = prepared(case.rgb, case.after.size_px[0], case.earlier, case.joints)
    evidence = evidence_of(photos, WetKind.WET, logit_of)
    wet = cv2.dilate((case.wet > 0).astype(np.uint8), np.ones((5, 5), np.uint8)) > 0
    found = []
    for shape in candidates(evidence.logit, LEAST_REGION_PX):
        told = region_clues(shape, evidence)
        as_told = shape.trimmed()
        found.append(Region(told, *compared(as_told, case.targets, wet), shape, as_told))
    return found


def compared(
    shape: Candidate, targets: Sequence[Target], wet: Bools
) -> tuple[float, int | None, float]:
    """Return the best overlap with a target, which one, and how much of the region is wet."""
    rows, cols = shape.mask.shape
    box = (slice(shape.top, shape.top + rows), slice(shape.left, shape.left + cols))
    inside = shape.mask > 0
    best, hit = 0.0, None
    for number, target in enumerate(targets):
        for mask in (target.new, target.whole):
            common = int((mask[box] & inside).sum())
            overlap = common / (int(mask.sum()) + shape.area_px - common)
            if overlap > best:
                best, hit = overlap, number
    return best, hit, float(wet[box][inside].mean())


def judge_for(regions: Sequence[Region]) -> Logistic:
    """Return the model that tells how well regions overlap with oil: the better, the likelier.

    Each region counts twice, half with and half without the joints known.
    """
    told = [told_of(regions, know_joints=know_joints) for know_joints in (False, True)]
    truth = np.tile([_worth(region) for region in regions], 2)
    return learnt_logistic(np.concatenate(told), truth, np.full(len(truth), 0.5), _RIDGE)


def told_of(regions: Sequence[Region], *, know_joints: bool) -> NDArray[np.float64]:
    """Return (N, clues) of regions, as they are with or without joint lines."""
    told = np.array([region.clues for region in regions], float)
    if not know_joints:
        told[:, REGION_CLUES.index("begins at a joint")] = UNKNOWN_JOINT
    return told


def _worth(region: Region) -> float:
    return region.overlap if region.wet_share > 0.4 or region.overlap > 0.3 else 0.0
