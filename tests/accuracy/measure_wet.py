"""How well newly wet regions are found, in photos whose zone nothing was learnt from.

A leak counts where at least 300 px of the full photo are newly wet and the earlier photo shows the
place. It is found where a region overlaps with it by more than 0.2 (intersection over union). A
region that lies less than half on anything wet is false. Regions are sorted by score; each column
tells the share of leaks found before there are so many false regions for each photo searched.
Goals: 90 % at half a false region, overlap 0.6, area within 15 %.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from leaktrack.imaging.measuring.scaling import Scale, area_mm2
from leaktrack.imaging.spotting.bounding import outline_of
from leaktrack.imaging.spotting.wet_weights import oil_logit, region_chance
from leaktrack.workflows.measure_scale import scale_in
from tests.accuracy.truth import TrueZone
from tests.accuracy.wet_cases import Case, Target
from tests.accuracy.wet_lessons import (
    Lesson,
    Region,
    all_cases,
    lesson_of,
    picked,
    regions_of,
    told_of,
)

LEAST_LEAK_PX = 300
_FOUND_OVERLAP = 0.2
_FALSE_WET_SHARE = 0.5
_FALSE_RATES = (0.25, 0.5, 1.0, 2.0)
_LIKELY = 0.5


@dataclass(frozen=True)
class Scored:
    """A region with its score.

    Attributes:
        hit: The leak it finds, as a key; None where it finds none.
        is_false: Whether it lies on nothing wet.
        area_error: Of the leak's area, as a share; None without a scale.
    """

    score: float
    hit: tuple[int, int] | None
    is_false: bool
    overlap: float
    area_error: float | None


@dataclass(frozen=True)
class Searched:
    """What came of searching one case."""

    regions: tuple[Scored, ...]
    leaks: frozenset[tuple[int, int]]


_HEADINGS = (
    f"{'':34} searches  leaks   found at {'  '.join(f'{rate:4g}' for rate in _FALSE_RATES)} false"
    "  overlap  area off   at score 0.5: found  false"
)


def report(zones: Sequence[TrueZone], every: int) -> None:
    """Learn without each zone in turn, search it, and print one table."""
    print_lesson(lesson_of(zones, every))


def print_lesson(lesson: Lesson) -> None:
    """Print how well it goes in zones left out, with no joint line known, and with all."""
    print_table(lesson.cases, lesson.judged(know_joints=False))
    print("The same with joint lines known:")
    print_table(lesson.cases, lesson.judged(know_joints=True))


def report_shipped(zones: Sequence[TrueZone], every: int) -> None:
    """Search with the weights as they are shipped, and print one table.

    Too good where the weights were learnt from these very photos; right for others.
    """
    cases = all_cases(zones, every)
    judged = []
    for case in cases:
        found = regions_of(case, oil_logit)
        told = told_of(found, know_joints=False).astype(np.float32) if found else ()
        chances = np.array([region_chance(row) for row in told])
        judged.append(picked(found, chances))
    print_table(cases, judged)


def print_table(cases: Sequence[Case], judged: Sequence[Sequence[tuple[Region, float]]]) -> None:
    """Print a line for each zone and for each way of searching."""
    scales = {case.after.path: _scale(case) for case in cases}
    searched = [
        _searched(number, case, regions, scales[case.after.path])
        for number, (case, regions) in enumerate(zip(cases, judged, strict=True))
    ]
    print(_HEADINGS)

    def told(name: str, is_meant: Callable[[Case], bool]) -> None:
        meant = [one for case, one in zip(cases, searched, strict=True) if is_meant(case)]
        print(line(name, meant), flush=True)

    def is_forward_pair(case: Case) -> bool:
        return case.is_forward and len(case.before) == 1

    for zone in dict.fromkeys(case.zone for case in cases):
        told(zone, lambda case, zone=zone: is_forward_pair(case) and case.zone == zone)
    told("all, one earlier photo", is_forward_pair)
    told("all, two or three earlier photos", lambda case: len(case.before) > 1)
    told("nothing new, in any order", lambda case: len(case.before) == 1 and not case.targets)


def _searched(
    number: int, case: Case, regions: Sequence[tuple[Region, float]], scale: Scale | None
) -> Searched:
    wanted = {index for index, target in enumerate(case.targets) if counts(target)}
    found = []
    for region, score in regions:
        is_hit = region.overlap > _FOUND_OVERLAP and region.target in wanted
        hit = (number, region.target) if is_hit and region.target is not None else None
        is_false = region.wet_share < _FALSE_WET_SHARE and region.overlap <= _FOUND_OVERLAP
        error = _area_error(case, region, scale) if hit else None
        found.append(Scored(score, hit, is_false, region.overlap, error))
    return Searched(tuple(found), frozenset((number, index) for index in wanted))


def _scale(case: Case) -> Scale | None:
    """Return the scale at the target that the later photo shows, as the program finds it."""
    if not case.after.facts.get("scale_target"):
        return None
    return scale_in(case.after.path, case.after.facts["scale_target"]["side_mm"])


def _area_error(case: Case, region: Region, scale: Scale | None) -> float | None:
    assert region.target is not None
    target = case.targets[region.target]
    if scale is None or target.is_grown or not target.area_mm2:
        return None
    area = area_mm2(scale, outline_of(region.as_told, case.px))
    return None if area is None else abs(area.mm2 / target.area_mm2 - 1)


def counts(target: Target) -> bool:
    """Return whether a leak should be found."""
    return target.full_px >= LEAST_LEAK_PX and target.is_shown


def line(name: str, searches: Sequence[Searched]) -> str:
    """Return the figures of several searches in one line."""
    leaks = sum(len(search.leaks) for search in searches)
    ranked = sorted(
        (region for search in searches for region in search.regions),
        key=lambda region: -region.score,
    )
    shares, at_half = [], {}
    for rate in _FALSE_RATES:
        found = _found_before(ranked, rate * len(searches))
        shares.append(len(found) / leaks if leaks else np.nan)
        at_half = found if rate == 0.5 else at_half
    overlaps = [region.overlap for region in at_half.values()]
    areas = [region.area_error for region in at_half.values() if region.area_error is not None]
    likely = [region for region in ranked if region.score >= _LIKELY]
    hits = {region.hit for region in likely if region.hit is not None}
    false = sum(region.is_false for region in likely) / max(1, len(searches))
    return (
        f"{name:34} {len(searches):8}  {leaks:5}            "
        f"{'  '.join(f'{share:4.2f}' for share in shares)}        "
        f"{_median(overlaps):7.2f}  {_median(areas):8.0%}  {len(hits) / max(1, leaks):19.2f}"
        f"  {false:5.2f}"
    )


def _found_before(ranked: Iterable[Scored], most_false: float) -> dict[tuple[int, int], Scored]:
    found: dict[tuple[int, int], Scored] = {}
    false = 0
    for region in ranked:
        false += region.is_false
        if false > most_false:
            break
        if region.hit is not None:
            found.setdefault(region.hit, region)
    return found


def _median(values: Sequence[float]) -> float:
    return float(np.median(values)) if len(values) else float("nan")
