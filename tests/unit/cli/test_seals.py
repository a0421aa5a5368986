"""The commands about rings, seals, agreement and drains."""

import pytest

from leaktrack import bootstrap
from leaktrack.cli.main import main
from leaktrack.model.agreement import BlindGrade
from leaktrack.model.debris import DrainCount, Particle, ParticleKind
from leaktrack.model.engine import Engine
from leaktrack.model.inspection import Check, CheckKind, CheckResult
from leaktrack.model.leak import LeakMark
from leaktrack.model.record import added
from leaktrack.model.removed_seal import RemovedSeal, SealFailure
from leaktrack.model.sealing_job import SealingJob
from leaktrack.model.shapes import PointPx
from tests.builders import A_MOMENT, a_photo


def words(capsys):
    return " ".join(capsys.readouterr().out.split())


def test_a_ring_in_its_gland(json_of, capsys):
    """Worked example, computed: 1.64 %, 19.54 %, 72.03 %."""
    sizes = ("--size", "214", "--seat-mm", "25.4", "--depth-mm", "2.82", "--width-mm", "4.75")
    told = json_of("ring", *sizes)

    assert told["squeeze_percent"]["value"] == pytest.approx(19.54, abs=0.005)
    assert told["stretch_percent"]["value"] == pytest.approx(1.64, abs=0.005)
    assert told["fill_percent"]["value"] == pytest.approx(72.03, abs=0.005)
    assert told["without_tolerance"] == ["seat", "gland depth", "groove width"]
    assert main(["ring", *sizes, "--depth-tol-mm", "0.5"]) == 0
    said = words(capsys)
    assert "at the worst of the tolerances, little squeeze" in said.lower()
    assert "Assumes that the cord keeps its volume" in said


@pytest.mark.parametrize(
    ("arguments", "why"),
    [
        (("--size", "999"), "no ring size '999'"),
        (("--inner-mm", "20"), "Squeeze needs the cord"),
        (("--cord-mm", "-2", "--depth-mm", "2"), "must lie between 0.5 and 30 mm"),
        (("--cord-mm", "nan", "--depth-mm", "2"), "must lie between 0.5 and 30 mm"),
    ],
)
def test_a_ring_that_cannot_be_is_refused(arguments, why, capsys):
    assert main(["ring", *arguments]) == 1
    assert why in capsys.readouterr().err


def test_the_set_of_a_removed_seal(json_of, capsys):
    """12.5 / 9.375 / 11.6 mm: B 28.8 %, A 7.2 %; computed."""
    sizes = ("--new-mm", "12.5", "--recovered-mm", "11.6", "--squeezed-mm", "9.375")
    told = json_of("compression-set", *sizes)

    assert told["method_b_percent"]["value"] == pytest.approx(28.8, abs=0.05)
    assert told["method_a_percent"]["value"] == pytest.approx(7.2, abs=0.05)
    assert main(["compression-set", *sizes[:4]]) == 0
    assert "method B, ISO 815)" not in words(capsys)
    assert main(["compression-set", "--new-mm", "3", "--recovered-mm", "0"]) == 1
    assert main(["compression-set", "--new-mm", "3", "--recovered-mm", "3.6"]) == 0
    assert "it swelled, or the two figures are swapped" in words(capsys)


def test_how_long_seals_last_and_what_came_out(bench, json_of, capsys):
    with bootstrap.open_project(bench) as project:
        job = project.all(SealingJob)[0]
        seal = RemovedSeal(sealing_job_id=job.id, examined_at=A_MOMENT, failure=SealFailure.STARVED)
        project.apply(added(seal))
    told = json_of("seals", str(bench))

    assert told["removed_seals"][0]["failures"] == ["starved"]
    whole = told["groups"][0]
    assert whole["name"] == "all seals"
    assert whole["jobs"] + sum(one["jobs"] for one in told["left_out"]) > whole["leaked"]
    assert main(["seals", str(bench)]) == 0
    said = words(capsys)
    assert "sealant missing in places" in said
    assert "Hours run since the joint was sealed." in said


def test_a_project_without_seals_says_so(empty_bench, capsys):
    assert main(["seals", str(empty_bench)]) == 0
    assert "nothing can be said" in words(capsys)


def test_how_well_people_agree(bench, json_of, capsys):
    assert main(["agreement", str(bench)]) == 0
    assert "Nobody has graded the photos a second time" in words(capsys)
    with bootstrap.open_project(bench) as project:
        marks = project.all(LeakMark)
        project.apply(
            added(
                *(
                    BlindGrade(
                        leak_id=mark.leak_id,
                        photo_id=mark.photo_id,
                        grade=mark.grade,
                        graded_by="Ben",
                        graded_at=A_MOMENT,
                    )
                    for mark in marks
                )
            )
        )
    told = json_of("agreement", str(bench))

    assert all(one["same"] == one["places"] for one in told["pairs"])
    assert sum(one["places"] + one["not_seen_by_one"] for one in told["pairs"]) <= len(marks)
    assert main(["agreement", str(bench)]) == 0
    assert "fewer than 20 places" in words(capsys)


def test_drains_are_compared(bench, json_of, capsys):
    assert main(["drains", str(bench)]) == 0
    assert "No count of a drain is kept" in words(capsys)
    clump = Particle(
        at=PointPx(1.0, 2.0), outline=(), length=1.5, width=1.0, area=1.0,
        kind=ParticleKind.DARK_CLUMP, lightness=20.0, colour=(0.0, 0.0),
    )  # fmt: skip
    with bootstrap.open_project(bench) as project:
        engine = project.all(Engine)[0]
        for number, count in ((1, 2), (2, 30)):
            check = Check(
                engine_id=engine.id, name=f"Drain {number}", kind=CheckKind.DEBRIS,
                done_at=A_MOMENT.replace(day=number), result=CheckResult.FAILED,
            )  # fmt: skip
            photo = a_photo(check_id=check.id, sha256=f"{number:064x}")
            kept = DrainCount(
                photo_id=photo.id, counted_at=A_MOMENT, particles=(clump,) * count,
                unit="mm", least=0.4,
            )  # fmt: skip
            project.apply(added(check, photo, kept))
    (compared,) = json_of("drains", str(bench))["comparisons"]

    assert (compared["rows"][0]["before"], compared["rows"][0]["after"]) == (2, 30)
    assert compared["rows"][0]["change"] == "more"
    assert main(["drains", str(bench)]) == 0
    assert "more: 15 times" in words(capsys)
