"""A gap that a photo of the bare flange shows counts in the trace, at its station."""

import pytest

from leaktrack.model.bead_audit import (
    BeadAudit,
    BeadDefect,
    BeadDefectKind,
    BeadPoint,
    BeadVerdict,
)
from leaktrack.model.record import added
from leaktrack.model.shapes import PointPx
from leaktrack.model.trace import ClueKind
from leaktrack.workflows.trace_leak import trace
from tests.leaking_engine import at, tell


@pytest.fixture
def story(project):
    return tell(project)


def audit(story, *defects):
    points = tuple(
        BeadPoint(45 * (s / 10 - 2), 3.0, 0.0, True, PointPx(s * 20, 700), s / 10)
        for s in range(20, 61)
    )
    return BeadAudit(
        sealing_job_id=story.first_job.id,
        photo_id=story.bead_photo.id,
        made_at=at("04-05 08:00"),
        verdict=BeadVerdict.DEFECTIVE if defects else BeadVerdict.CONTINUOUS,
        unit="mm",
        points=points,
        defects=defects,
    )


def seam(project, story):
    return next(
        one
        for one in trace(project, story.gap_leak.id).candidates
        if one.job == story.first_job and one.bolt is None
    )


def test_a_gap_at_the_station_of_the_leak_is_a_clue_with_its_photo(project, story):
    gap = BeadDefect(BeadDefectKind.GAP, 65.0, 70.0, 0.0, 0.95, 3.44, 3.56)
    before = seam(project, story)
    project.apply(added(audit(story, gap)))

    now = seam(project, story)

    clue = next(clue for clue in now.clues if clue.kind is ClueKind.BEAD_GAP)
    assert clue.weight > 1
    assert clue.photo_id == story.bead_photo.id
    assert now.chance > before.chance


def test_a_sound_bead_at_the_station_of_the_leak_speaks_against_it(project, story):
    before = seam(project, story)
    project.apply(added(audit(story)))

    now = seam(project, story)

    assert ClueKind.BEAD_SOUND in {clue.kind for clue in now.clues}
    assert now.chance < before.chance
