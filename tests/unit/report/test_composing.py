from dataclasses import replace
from itertools import pairwise

import pytest

from leaktrack.model.caution import Caution
from leaktrack.model.engine import SealKind
from leaktrack.model.identity import new_id
from leaktrack.model.leak import SeepageGrade
from leaktrack.model.trace import CauseState, CheckNext, NextCheck, Origin, OtherOrigin
from leaktrack.model.verification import (
    Outcome,
    ProposedVerdict,
    SuccessCount,
    Verification,
)
from leaktrack.model.words import DEFER, WORDS
from leaktrack.report.composing import composed
from leaktrack.report.contents import (
    Cell,
    Drawing,
    Gallery,
    Paragraph,
    Subheading,
    Table,
    Warnings,
)
from tests.unit.report import sample, sample_records
from tests.unit.report.reading_contents import blocks, facts, section, sentences
from tests.unit.report.sample import FINDINGS

NAMES = [
    "In short",
    "Leaks over time",
    "Where the leaks come from",
    "What to redo",
    "The joints and how they were sealed",
    "Photos",
    "Runs, inspections and checks",
    "What this report does not know",
]


def test_what_matters_most_to_its_reader_comes_first():
    assert [one.heading for one in composed(FINDINGS).sections] == NAMES


def test_the_summary_says_how_it_stands_now():
    short = facts(composed(FINDINGS), "In short")

    assert short == {
        "Inspections": "3, 14 March 2026 to 4 April 2026",
        "Leaks found": "3",
        "At the last inspection": "1 drip, 1 seep, 1 not seen",
        "Causes": "1 confirmed",
        "To redo": "1 task, 1.9 h of labour, then 24 h of cure",
    }


def test_the_summary_names_the_cause_of_each_leak_or_says_that_none_is_decided():
    assert sentences(composed(FINDINGS), "In short") == [
        "Leak 1, Bank 1 cover: 4 drip at its worst, 4 drip at the last look. "
        "Confirmed cause: Bank 1 cover joint, sealed 7 March 2026, bolt 4.",
        "Leak 2, Bank 1 cover: 2 seep at its worst, 2 seep at the last look. "
        "Its cause is not decided.",
        "Leak 3, Rear seal carrier: not seen at any inspection. Its cause is not decided.",
    ]


def test_a_leak_that_nobody_saw_is_never_shown_as_dry():
    table = blocks(composed(FINDINGS), "Leaks over time", Table)[0]
    never_seen = table.rows[2]

    assert [cell.grade for cell in never_seen[2:5]] == [SeepageGrade.NOT_SEEN] * 3


def test_a_leak_not_noticed_in_a_photographed_zone_has_no_grade_there():
    table = blocks(composed(FINDINGS), "Leaks over time", Table)[0]

    assert table.rows[1][2] == Cell("photographed, nothing noticed")


def test_many_inspections_are_split_over_tables_that_fit_a_page():
    inspections = tuple(
        replace(sample.LAST, id=new_id(), looked_at=sample.MARCH + n * sample_records.DAY)
        for n in range(12)
    )

    tables = blocks(composed(replace(FINDINGS, inspections=inspections)), "Leaks over time", Table)

    history = [table for table in tables if table.caption.startswith("Leaks by inspections")]
    assert [len(table.columns) for table in history] == [7, 7, 5]


def test_a_cause_comes_with_its_reason_clues_and_evidence():
    contents = composed(FINDINGS)
    heading = "Where the leaks come from"

    assert facts(contents, heading)["Confirmed"] == "The bead photo shows a gap there."
    assert sentences(contents, heading) == [
        "Starts at this joint, 1 mm away",
        "Closed too late: 16 min, the rule says 10 min",
        "Footage: Assembly, 8 March, 0:08.2 to 0:24.8: bead, left to right",
    ]
    gallery = blocks(contents, heading, Gallery)[0]
    assert [picture.file for picture in gallery.pictures] == ["p4.jpg"]


def test_evidence_is_shown_once_and_referred_to_after_that():
    again = replace(sample.CAUSE, id=new_id(), leak_id=sample.LEAK_2.id)

    contents = composed(replace(FINDINGS, causes=(sample.CAUSE, again)))

    heading = "Where the leaks come from"
    assert len(blocks(contents, heading, Gallery)) == 1
    assert (
        Paragraph("Its photos stand at leak 1.", is_quiet=True) in section(contents, heading).blocks
    )
    assert blocks(contents, "The joints and how they were sealed", Gallery) == []


def test_evidence_of_a_job_that_is_ruled_out_stands_with_its_joint():
    ruled_out = replace(sample.CAUSE, state=CauseState.RULED_OUT)

    contents = composed(replace(FINDINGS, causes=(ruled_out,)))

    assert blocks(contents, "Where the leaks come from", Gallery) == []
    assert len(blocks(contents, "The joints and how they were sealed", Gallery)) == 1


def test_the_cautions_stand_with_the_work_and_defer_to_those_who_know_better():
    warnings = blocks(composed(FINDINGS), "What to redo", Warnings)

    assert warnings == [Warnings((WORDS[Caution.BATTERY], WORDS[Caution.SEALANT_VAPOUR]), DEFER)]


def test_what_has_no_task_is_said_to_be_missing_from_the_hours():
    texts = [block.text for block in blocks(composed(FINDINGS), "What to redo", Paragraph)]

    assert texts == [
        "Not in these hours: Debris in the drain strainer (failed check). "
        "Nobody has written down a task for it."
    ]


def test_a_redo_list_that_cannot_be_worked_out_is_not_an_empty_one():
    contents = composed(
        replace(FINDINGS, redo=sample.NOTHING_TO_REDO, redo_problem="Steps wait in a loop.")
    )

    assert facts(contents, "In short")["To redo"] == "could not be worked out"
    assert section(contents, "What to redo").blocks == (Paragraph("Steps wait in a loop."),)


def test_what_is_not_known_about_a_sealing_is_listed_apart_from_what_nobody_knows():
    job = facts(composed(replace(FINDINGS, jobs=FINDINGS.jobs[:1])), NAMES[4])

    assert job["Asked, nobody knows"] == "surface work"
    assert job["Not recorded"] == (
        "bead place, time the bead was laid, time fluid was filled, air temperature, air humidity"
    )


def test_a_joint_with_inspections_has_its_strip_with_the_same_in_words():
    drawing = blocks(composed(FINDINGS), NAMES[4], Drawing)[0]

    assert drawing.alternative == (
        "Bank 1 cover joint, bolts 1 to 11, unrolled. 7 March 2026: sealed. "
        "14 March 2026: no marks. "
        "4 April 2026: leak 1 at bolt 4.5, 4 drip; leak 2 at bolt 7, 2 seep."
    )


@pytest.mark.parametrize(
    "sentence",
    [
        "21 March 2026, After 25 minutes on the stand: Nobody recorded that the engine was cleaned "
        "before this look, so old oil cannot be told from new.",
        "4 April 2026, After 4 hours: not photographed: Rear seal carrier.",
        "Nobody has decided what causes leak 2, 3.",
        "21 March 2026, After 25 minutes on the stand: asked, but nobody knows: "
        "crankcase pressure.",
        "Run of 21 March 2026, 17:55: not recorded: distance, highest engine speed, "
        "oil temperature, coolant temperature, air temperature, oil grade, oil added.",
    ],
)
def test_the_report_says_what_it_does_not_know(sentence):
    assert sentence in sentences(composed(FINDINGS), "What this report does not know")


def test_an_engine_with_nothing_recorded_still_has_every_section():
    empty = replace(
        FINDINGS,
        zones=(), joints=(), bolts=(), inspections=(), runs=(), readings=(), checks=(), photos=(),
        clips=(), marks=(), histories=(), changes=(), traces=(), causes=(), jobs=(), strips=(),
        redo=sample.NOTHING_TO_REDO, pictures={}, judgements={}, warnings=(),
    )  # fmt: skip

    contents = composed(empty)

    assert [one.heading for one in contents.sections] == NAMES
    assert section(contents, NAMES[-1]).blocks == (
        Paragraph("Nothing that was asked for is missing."),
    )


def test_headings_never_skip_a_level():
    levels = [
        block.level
        for one in composed(FINDINGS).sections
        for block in (Subheading(one.heading, 2), *one.blocks)
        if isinstance(block, Subheading)
    ]

    assert max(b - a for a, b in pairwise(levels)) == 1


def test_once_a_cause_is_confirmed_other_candidates_are_only_named():
    other = replace(FINDINGS.traces[0].candidates[0], joint=sample.REAR_JOINT, job=sample.REAR_JOB)
    trace = replace(FINDINGS.traces[0], candidates=(*FINDINGS.traces[0].candidates, other))
    heading = "Where the leaks come from"
    named = Paragraph("Not decided: Rear carrier joint, sealed 8 March 2026.", is_quiet=True)
    in_full = Subheading("Possible, not decided: Rear carrier joint, sealed 8 March 2026", 4)

    confirmed = composed(replace(FINDINGS, traces=(trace,)))
    open_still = composed(replace(FINDINGS, traces=(trace,), causes=()))

    assert named in section(confirmed, heading).blocks
    assert in_full not in section(confirmed, heading).blocks
    assert in_full in section(open_still, heading).blocks


def test_a_clue_that_weighs_something_says_how_much_and_the_chance_is_told():
    trace = FINDINGS.traces[0]
    (one,) = trace.candidates
    heavy = replace(one, clues=(replace(one.clues[0], weight=3.12), one.clues[1]))

    contents = composed(replace(FINDINGS, traces=(replace(trace, candidates=(heavy,)),)))

    heading = "Where the leaks come from"
    assert sentences(contents, heading)[0] == (
        "Starts at this joint, 1 mm away (speaks strongly for it, +3.1)"
    )
    assert facts(contents, heading)["Chance by the clues"] == "91 %, very likely"


def test_other_origins_and_the_next_check_stand_with_an_undecided_leak():
    trace = replace(
        FINDINGS.traces[0],
        others=(OtherOrigin(Origin.UNKNOWN, 0.2), OtherOrigin(Origin.RESIDUE, 0.001)),
        next_check=NextCheck(CheckNext.POWDER, ("the joint", "the unknown"), (Caution.SOLVENT,)),
    )

    contents = composed(replace(FINDINGS, traces=(trace,), causes=()))

    told = section(contents, "Where the leaks come from").blocks
    assert (
        Paragraph("Not decided: something that is not in the record (20 %).", is_quiet=True) in told
    )
    assert any(
        "To tell the joint" in one.text or "to tell the joint" in one.text
        for one in told
        if isinstance(one, Paragraph)
    )
    assert Warnings((WORDS[Caution.SOLVENT],), DEFER) in told


def test_what_a_redo_did_and_how_often_it_helped_stand_in_the_report():
    found = Verification(
        leak=sample.LEAK_1,
        joint=sample.COVER_JOINT,
        blamed=sample.JOB,
        redo=sample.JOB,
        inspection=sample.LAST,
        outcome=Outcome.CURED,
        proposal=ProposedVerdict(CauseState.CONFIRMED, "Dry now."),
    )
    counts = (SuccessCount(SealKind.LIQUID_GASKET, "Blue", 2, 3),)

    contents = composed(replace(FINDINGS, verifications=(found,), successes=counts))

    told = sentences(contents, "Where the leaks come from")
    after = next(one for one in told if "sealed again" in one)
    assert "cured (2026-04-04). Proposed verdict: confirmed. Dry now." in after
    assert told[-1] == "Liquid gasket, Blue: 2 of 3"
