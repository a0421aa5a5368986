from dataclasses import replace
from math import log

import numpy as np
import pytest

from leaktrack.analysis.endangering import danger
from leaktrack.analysis.spreading import seam_of
from leaktrack.analysis.stationing import ruled_line
from leaktrack.model.bead_audit import (
    BeadAudit,
    BeadDefect,
    BeadDefectKind,
    BeadPoint,
    BeadVerdict,
)
from leaktrack.model.engine import Bolt, JointLine, LinePoint
from leaktrack.model.identity import new_id
from leaktrack.model.shapes import PointPx
from leaktrack.model.trace import ClueKind
from tests.unit.analysis.trace_weights import WEIGHTS
from tests.unit.analysis.tracing_scenes import (
    COVER,
    NOON,
    clue,
    kinds,
    scene,
    seal,
    suspect,
    trace_of,
)

BEADS = WEIGHTS.beads
# Bolts stand every 200 px of 0.15 mm, so 30 mm apart; the path of the bead starts at bolt 4.
SPACING_MM = 30.0
AT_SEAM = (300, 520)  # below station 5.5


def defect(station, length_mm=5.0, kind=BeadDefectKind.GAP, score=1.0):
    start = (station - 4) * SPACING_MM - length_mm / 2
    half = length_mm / 2 / SPACING_MM
    return BeadDefect(kind, start, start + length_mm, 0.0, score, station - half, station + half)


def audit(*defects, verdict=None, first=4.0, last=7.0, unit="mm"):
    stations = [first + k * (last - first) / 90 for k in range(91)]
    points = tuple(
        BeadPoint((s - 4) * SPACING_MM, 3.0, 0.0, True, PointPx(10 * s, 5.0), s) for s in stations
    )
    return BeadAudit(
        sealing_job_id=COVER.job.id,
        photo_id=new_id(),
        made_at=NOON,
        verdict=verdict or (BeadVerdict.DEFECTIVE if defects else BeadVerdict.CONTINUOUS),
        unit=unit,
        points=points,
        defects=defects,
    )


def cover(*audits):
    return seal(trace_of(scene(*AT_SEAM), replace(COVER, audits=audits), suspect("plug", 1000)))


PLAIN = cover()


def test_a_gap_at_the_place_speaks_strongly_for_the_seal_and_shows_its_photo():
    measured = audit(defect(5.5))

    one = cover(measured)

    gap = clue(one, ClueKind.BEAD_GAP)
    assert one.chance > PLAIN.chance
    assert gap.weight > 1.5
    assert (gap.value, gap.unit, gap.photo_id) == (5.0, "mm", measured.photo_id)
    assert gap.at_px.x == pytest.approx(55, abs=1)


def test_a_gap_elsewhere_speaks_against_this_place_as_the_bead_is_sound_here():
    one = cover(audit(defect(4.2)))

    assert clue(one, ClueKind.BEAD_SOUND).weight < 0
    assert one.chance < PLAIN.chance


def test_a_sound_bead_speaks_against_the_seal_by_as_much_as_the_file_says():
    assert clue(cover(audit()), ClueKind.BEAD_SOUND).weight == pytest.approx(
        log(BEADS["sound"]), abs=0.01
    )


def test_a_longer_gap_counts_more_up_to_where_it_no_longer_closes():
    weights = [
        clue(cover(audit(defect(5.5, length))), ClueKind.BEAD_GAP).weight for length in (1, 2, 4, 4)
    ]

    assert weights[0] < weights[1] < weights[2]


def test_a_gap_that_may_be_none_counts_less():
    sure, unsure = (
        clue(cover(audit(defect(5.5, score=score))), ClueKind.BEAD_GAP).weight
        for score in (0.95, 0.4)
    )

    assert unsure < sure


def test_a_gap_counts_more_than_a_thin_place_and_that_more_than_a_thick_one():
    gap, thin, thick = (
        cover(audit(defect(5.5, 8.0, kind))).chance
        for kind in (BeadDefectKind.GAP, BeadDefectKind.THIN, BeadDefectKind.THICK)
    )

    assert gap > thin > thick


def test_a_gap_near_the_source_draws_the_place_to_itself():
    assert PLAIN.station == pytest.approx(5.5, abs=0.02)
    assert cover(audit(defect(5.62))).station == pytest.approx(5.6, abs=0.05)


def test_where_the_photo_does_not_show_the_bead_nothing_changes():
    assert cover(audit(first=6.5, last=7.0)).chance == pytest.approx(PLAIN.chance, rel=0.02)


def test_a_bead_that_cannot_be_read_says_nothing():
    one = cover(audit(defect(5.5), verdict=BeadVerdict.UNREADABLE))

    assert one.chance == PLAIN.chance
    assert kinds(one) == kinds(PLAIN)


def test_of_two_photos_the_worse_one_counts():
    both, worse = cover(audit(), audit(defect(5.5))), cover(audit(defect(5.5)))

    assert both.chance == pytest.approx(worse.chance)


def test_a_gap_over_the_start_of_a_closed_joint_is_found_at_its_place():
    ring = suspect("ring", 500)
    closed = replace(
        ring,
        joint=replace(ring.joint, is_closed=True),
        line=replace(
            ring.line,
            points=tuple(
                replace(point, at=at, head=None, bolt_number=number)
                for point, at, number in zip(
                    ring.line.points,
                    [PointPx(400, 400), PointPx(800, 400), PointPx(800, 800), PointPx(400, 800)],
                    (1, 2, 3, 4),
                    strict=True,
                )
            ),
        ),
        bolts=ring.bolts[:4],
    )
    over = BeadDefect(BeadDefectKind.GAP, 0.0, 6.0, 0.0, 1.0, 4.95, 1.05)
    measured = replace(audit(first=1.0, last=4.99), defects=(over,))

    # Just below the corner where bolt 1 is: station 1 is also station 5.
    with_gap = trace_of(scene(398, 410), replace(closed, audits=(measured,)))
    without = trace_of(scene(398, 410), closed)

    assert seal(with_gap, "ring").chance > seal(without, "ring").chance
    assert ClueKind.BEAD_GAP in kinds(seal(with_gap, "ring"))


def test_a_place_between_bolts_far_apart_is_known_by_its_share_of_the_way():
    bolts = [Bolt(joint_id=COVER.joint.id, number=number) for number in (1, 2)]
    ends = (LinePoint(PointPx(0, 0), 1), LinePoint(PointPx(1400, 0), 2))
    line = JointLine(joint_id=COVER.joint.id, photo_id=new_id(), points=ends)
    seam = seam_of(ruled_line(line, bolts, is_closed=False), 0.15)
    thin = BeadDefect(BeadDefectKind.THIN, 0.0, 4.2, 1.0, 1.0, 1.50, 1.52)

    found = danger(seam, (audit(thin, first=1.0, last=2.0),), (), BEADS)

    four_mm_beyond = int(np.abs(seam.stations() - 1.54).argmin())
    assert found.bead[four_mm_beyond] == BEADS["thin"]
    assert found.bead[int(np.abs(seam.stations() - 1.58).argmin())] == BEADS["sound"]
