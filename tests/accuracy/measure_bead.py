"""How well beads are measured: gaps found and invented, widths, thin and thick places.

A gap of 2 mm and more is found if its middle is told within 2 mm and its length within 1 mm or a
quarter of it. Widths count where the photo was read: their median error per photo.
"""

import tempfile
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from PIL import Image

from leaktrack.model.bead_audit import BeadAudit, BeadDefectKind
from leaktrack.model.shapes import PointPx
from leaktrack.workflows.audit_bead_file import PathPoint, Tolerance, audit_bead_in_file
from tests.accuracy.bead_cases import BeadCase, drawn, photographed

LEAST_GAP_MM, NEAR_MM = 2.0, 2.0
SEEDS = (1, 2, 3)
_KINDS = {"neck": BeadDefectKind.THIN, "blob": BeadDefectKind.THICK}


@dataclass(frozen=True)
class Result:
    """How one photo fared.

    Attributes:
        gaps: How many there are of 2 mm and more.
        found: How many of them were found.
        said: How many of the others lie where the photo was said not to be read.
        false: Gaps that are none.
        width_off: Median error of the width, in mm; nan where nothing was read.
        allowed: A tenth of the width, or 0.3 mm.
        faults: How many necks and blobs there are.
        faults_found: How many of them were found.
        faults_false: Thin and thick places where nothing was drawn.
        read: Share of the path that was read.
    """

    name: str
    gaps: int
    found: int
    said: int
    false: int
    width_off: float
    allowed: float
    faults: int
    faults_found: int
    faults_false: int
    read: float
    verdict: str


def report(folder: Path) -> None:
    """Print the tables for photographed beads, by true and clicked paths, and for painted ones."""
    print("By the true path")
    cases = list(photographed(folder))
    _tell([_judged(case) for case in cases], each=True)
    print("\nBy clicked paths, every 8 mm with an error of 0.25 mm")
    _tell([_judged(case.clicked(seed)) for seed in SEEDS for case in cases], each=False)
    report_drawn()


def report_drawn() -> None:
    """Print the table for painted beads."""
    print("\nPainted beads, clicked: every colour on every ground")
    results = [_judged(case.clicked(seed)) for seed in SEEDS for case in drawn(seed)]
    _tell([result for result in results if "clear" not in result.name], each=False)
    print("\nPainted beads of clear sealant")
    _tell([result for result in results if "clear" in result.name], each=True)


def _judged(case: BeadCase) -> Result:
    audit = _audit(case)
    told = [d for d in audit.defects if d.kind is BeadDefectKind.GAP]
    found = said = 0
    true_ones = set()
    for start, end in case.gaps:
        near = [d for d in told if d.start < end + NEAR_MM and d.end > start - NEAR_MM]
        true_ones.update(id(d) for d in near)
        slack = max(1.0, 0.25 * (end - start))
        fits = [
            d
            for d in near
            if abs((d.start + d.end) / 2 - (start + end) / 2) <= NEAR_MM
            and abs((d.end - d.start) - (end - start)) <= slack
        ]
        if end - start < LEAST_GAP_MM:
            continue
        found += bool(fits)
        said += not fits and any(one.start < end and one.end > start for one in audit.unread)
    read = [point for point in audit.points if point.is_read]
    measured = [point for point in read if point.width > 0]
    truth = np.interp([point.along for point in measured], case.along_mm, case.width_mm)
    off = np.abs(np.array([point.width for point in measured]) - truth)[truth > 0]
    others = [d for d in audit.defects if d.kind in _KINDS.values()]
    hits = {
        index: d
        for index, (kind, start, end) in enumerate(case.others)
        for d in others
        if d.kind is _KINDS[kind] and d.start < end and d.end > start
    }
    return Result(
        case.name,
        sum(end - start >= LEAST_GAP_MM for start, end in case.gaps),
        found,
        said,
        sum(id(d) not in true_ones for d in told),
        float(np.median(off)) if len(off) else np.nan,
        max(0.3, 0.1 * case.nominal),
        len(case.others),
        len(hits),
        sum(d not in hits.values() for d in others),
        len(read) / max(len(audit.points), 1),
        audit.verdict.value,
    )


def _audit(case: BeadCase) -> BeadAudit:
    points = [
        PathPoint(PointPx(float(x), float(y)), float(along))
        for (x, y), along in zip(case.path_px, case.path_mm, strict=True)
    ]
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "photo.png"
        Image.fromarray(case.rgb).save(path, compress_level=1)
        return audit_bead_in_file(path, points, Tolerance(nominal_mm=case.nominal)).audit


def _tell(results: Iterable[Result], *, each: bool) -> None:
    results = list(results)
    print(
        f"{'':34} {'gaps':>7} {'false':>5} {'width off mm':>13} {'thin/thick':>11} {'false':>5} "
        f"{'read':>5}  verdict"
    )
    for one in results:
        is_bad = one.found < one.gaps or one.false or not one.width_off <= one.allowed
        if each or is_bad:
            print(
                f"{one.name:34} {one.found:>3} of {one.gaps} {one.false:>4} {one.width_off:>9.2f}"
                f"{' ok  ' if one.width_off <= one.allowed else ' off '} "
                f"{one.faults_found:>5} of {one.faults} {one.faults_false:>5} {one.read:>6.0%}"
                f"  {one.verdict}"
            )
    fits = sum(one.width_off <= one.allowed for one in results)
    print(
        f"{len(results)} beads: {sum(r.found for r in results)} of "
        f"{sum(r.gaps for r in results)} gaps found, {sum(r.said for r in results)} more where it "
        f"was said not to be read, {sum(r.false for r in results)} false; width "
        f"right in {fits}, median error {np.nanmedian([r.width_off for r in results]):.2f} mm; "
        f"thin and thick {sum(r.faults_found for r in results)} of "
        f"{sum(r.faults for r in results)}, {sum(r.faults_false for r in results)} false"
    )
