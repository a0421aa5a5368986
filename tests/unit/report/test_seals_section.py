"""What a report says of seals, graders and drains; values beside the words come from the model."""

from dataclasses import replace
from datetime import timedelta

from leaktrack.model.agreement import Agreement, Agreements, Kappa
from leaktrack.model.debris import (
    CrumbSource,
    DrainChange,
    DrainComparison,
    DrainCount,
    DrainRow,
)
from leaktrack.model.drain import Drain, DrainFindings
from leaktrack.model.figure import Figure
from leaktrack.model.identity import new_id
from leaktrack.model.inspection import Check
from leaktrack.model.removed_seal import RemovedSeal, SealFailure
from leaktrack.model.ring import RingFigures, RingFit, SetFigures
from leaktrack.model.seal_life import DryShare, GroupLife, SealHistoryReport, StepCurve
from leaktrack.report.composing import composed
from leaktrack.report.contents import Bullets, Drawing, Facts, Paragraph, Table
from tests.unit.report.sample import FINDINGS

AT = FINDINGS.made_at
HEADING = "What the seals teach"

GROUP = GroupLife(
    by="all",
    name="all seals",
    jobs=6,
    leaked=3,
    last_h=16.0,
    curve=StepCurve(((2.0, 4.0), (10.0, 12.0)), (0.5, 0.5), -3.0),
    law=None,
    shares=(DryShare(16.0, Figure(0.5, 0.2, 0.8), None),),
)
HISTORY = SealHistoryReport(
    groups=(GROUP,),
    hazard_ratio=Figure(2.5, 1.4, 4.4),
    left_out=(("nobody looked", 2),),
    records=(),
)
_KAPPA = Kappa(figure=Figure(0.81, 0.78, 0.85))
AGREED = Agreement(
    first="Anna",
    second="Ben",
    count=30,
    same=25,
    near=5,
    unseen=0,
    higher=5,
    lower=0,
    plain=_KAPPA,
    linear=_KAPPA,
    quadratic=_KAPPA,
    table=(),
)
COUNT = DrainCount(photo_id=new_id(), counted_at=AT, particles=(), unit="mm", least=0.4)
ROW = DrainRow(
    kind=None,
    size="",
    before=2,
    after=30,
    before_mm2=1.0,
    after_mm2=15.0,
    ratio=Figure(15.0, 3.5, 130.0),
    change=DrainChange.MORE,
)


def section(findings, heading=HEADING):
    return next((one for one in composed(findings).sections if one.heading == heading), None)


def text_of(blocks):
    told = []
    for block in blocks:
        if isinstance(block, Paragraph):
            told.append(block.text)
        elif isinstance(block, Bullets):
            told += block.items
        elif isinstance(block, Facts):
            told += [f"{name}: {value}" for name, value in block.rows]
        elif isinstance(block, Table):
            told += [cell.text for row in block.rows for cell in row]
    return "\n".join(told)


def test_without_anything_known_there_is_no_such_section():
    assert section(FINDINGS) is None


def test_how_long_seals_last_stands_with_chart_table_and_interval():
    found = section(replace(FINDINGS, seal_history=HISTORY))
    told = text_of(found.blocks)

    (drawing,) = (one for one in found.blocks if isinstance(one, Drawing))
    assert drawing.alternative.startswith("all seals: 3 of 6 leaked")
    assert "50 % (20 to 80) at 16 h" in told
    assert "2.5 times as fast (1.4 to 4.4)" in told
    assert "2: nobody looked" in told
    assert "Assumes that looks do not depend on leaks" in told


def test_agreement_stands_with_its_sentence_and_kappa():
    told = text_of(section(replace(FINDINGS, agreements=Agreements((AGREED,)))).blocks)

    assert "Anna and Ben gave 25 of 30 places the same grade" in told
    assert "Good agreement" in told
    assert "0.81 (0.78 to 0.85)" in told


def test_drains_stand_with_comparison_and_crumbs():
    drain = Drain(COUNT, Check(engine_id=new_id(), name="Strainer"), AT, 4.0)
    compared = DrainComparison(rows=(ROW,), least_mm=0.4, before_h=2.0, after_h=4.0, assumes="So.")
    sources = (CrumbSource("orange", 2, ("Cover (Number 5)",)),)
    one = DrainFindings(drain, sources, compared)
    told = text_of(section(replace(FINDINGS, drains=(one,))).blocks)

    assert "more: 15 times (3.5 to 130)" in told
    assert "2 orange crumbs: that colour sealed Cover (Number 5)." in told


def test_a_ring_and_a_removed_seal_stand_with_their_job():
    job = FINDINGS.jobs[0]
    figures = RingFigures(
        section=None,
        squeeze_mm=Figure(0.7, 0.6, 0.8),
        squeeze=Figure(19.5, 15.2, 23.8),
        stretch=None,
        fill=None,
    )
    seal = RemovedSeal(
        sealing_job_id=job.job.id,
        examined_at=AT - timedelta(days=1),
        failure=SealFailure.HEAT,
        place="at bolt 4",
    )
    measured = SetFigures(of_thickness=Figure(6.2, 5.1, 7.3), of_squeeze=Figure(25, 20.5, 29.5))
    changed = replace(
        job,
        ring=(RingFit(sealing_job_id=job.job.id, size="-214"), figures),
        removed=((seal, measured),),
    )
    findings = replace(FINDINGS, jobs=(changed, *FINDINGS.jobs[1:]))
    told = text_of(section(findings, "The joints and how they were sealed").blocks)

    assert "Squeeze 19.5 % (15.2 to 23.8), 0.70 mm (0.60 to 0.80) of the cord" in told
    assert "hardened by heat (hard and glossy, with cracks across it)" in told
    assert "25.0 % (20.5 to 29.5) of its squeeze" in told
    assert "Where on it: at bolt 4" in told
