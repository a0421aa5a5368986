"""Commands that tell how long seals last, what came out of joints, and how well people agree."""

from argparse import Namespace
from math import isfinite
from typing import Any

from leaktrack.cli import choosing
from leaktrack.cli.printing import ProgressLine, say, say_json, say_table
from leaktrack.cli.rings import figure_document
from leaktrack.model.agreement import Agreement
from leaktrack.model.engine import Joint
from leaktrack.model.removed_seal import RemovedSeal
from leaktrack.model.ring_words import set_lines
from leaktrack.model.seal_life import GroupLife, SealHistoryReport
from leaktrack.model.seal_life_words import (
    AGREEMENT_ASSUMES,
    LIFE_ASSUMES,
    agreement_sentence,
    group_sentence,
    kappa_words,
    percent_words,
    rule_sentence,
)
from leaktrack.model.sealing_job import SealingJob
from leaktrack.model.words import word
from leaktrack.workflows.examine_seal import set_figures
from leaktrack.workflows.grade_blind import agreements
from leaktrack.workflows.project import Project
from leaktrack.workflows.tell_seal_history import seal_history

Document = dict[str, Any]


def seals(args: Namespace) -> int:
    """Tell how long the seals of a project stayed dry, and what removed seals showed."""
    with choosing.opened(args.project) as project:
        with ProgressLine("Working out") as progress:
            report = seal_history(project, progress)
        removed = [(seal, *_place(project, seal)) for seal in project.all(RemovedSeal)]
    if args.json:
        say_json(
            {
                "format": "leaktrack-seals",
                "version": 1,
                "groups": [_group(one) for one in report.groups],
                "hazard_ratio_left_rule": figure_document(report.hazard_ratio),
                "left_out": [{"why": why, "jobs": count} for why, count in report.left_out],
                "removed_seals": [_removed(*one) for one in removed],
                "assumes": LIFE_ASSUMES,
            }
        )
        return 0
    _tell_life(report)
    say()
    if not removed:
        say("No removed seal is recorded.")
    for seal, job, joint in removed:
        _tell_removed(seal, job, joint)
    return 0


def agreement(args: Namespace) -> int:
    """Tell how well the people agree who graded an engine's leaks."""
    with choosing.opened(args.project) as project:
        found = agreements(project, choosing.engine(project, args.engine).id)
    if args.json:
        say_json(
            {
                "format": "leaktrack-agreement",
                "version": 1,
                "pairs": [_agreement(one) for one in found.pairs],
                "together": {
                    "people": found.people,
                    "places": found.together,
                    "fleiss_kappa": found.fleiss,
                },
                "assumes": AGREEMENT_ASSUMES,
            }
        )
        return 0
    if not found.pairs:
        say("Nobody has graded the photos a second time. The window does that, on the page Seals.")
        return 0
    for one in found.pairs:
        say(agreement_sentence(one))
        say(f"kappa {kappa_words(one.plain)}", indent="  ")
        say(f"linear weights {kappa_words(one.linear)}", indent="  ")
        say(f"quadratic weights {kappa_words(one.quadratic)}", indent="  ")
    if found.fleiss is not None:
        say(
            f"{found.people} people, {found.together} places together: "
            f"Fleiss' kappa {found.fleiss:.2f}."
        )
    say(AGREEMENT_ASSUMES)
    return 0


def _place(project: Project, seal: RemovedSeal) -> tuple[SealingJob, Joint]:
    job = project.get(SealingJob, seal.sealing_job_id)
    return job, project.get(Joint, job.joint_id)


def _tell_life(report: SealHistoryReport) -> None:
    if not report.groups:
        say("No seal has been looked at yet after it ran, so nothing can be said of how they last.")
    else:
        say_table(
            ("Seals", "Leaked", "Still dry at the last look"),
            [
                (
                    one.name if one.by == "all" else f"{one.by}: {one.name}",
                    f"{one.leaked} of {one.jobs}",
                    f"{percent_words(one.shares[-1].steps)} at {one.last_h:.3g} h",
                )
                for one in report.groups
            ],
        )
        for one in report.groups:
            say(group_sentence(one))
        say(rule_sentence(report))
        say(LIFE_ASSUMES)
    for why, count in report.left_out:
        say(f"Left out: {count}, {why}.")


def _tell_removed(seal: RemovedSeal, job: SealingJob, joint: Joint) -> None:
    failures = [word(one) for one in (seal.failure, seal.second_failure) if one]
    said = ", ".join(failures) or "not judged"
    say(
        f"{joint.name}, sealed {job.done_at.astimezone():%Y-%m-%d}, out "
        f"{seal.examined_at.astimezone():%Y-%m-%d}: {said}."
    )
    figures = set_figures(seal)
    for line in set_lines(figures) if figures else ():
        say(line, indent="  ")
    for text in (seal.place, seal.cause, seal.note):
        if text:
            say(text, indent="  ")


def _group(one: GroupLife) -> Document:
    curve, law = one.curve, one.law
    return {
        "by": one.by,
        "name": one.name,
        "jobs": one.jobs,
        "leaked": one.leaked,
        "last_look_h": round(one.last_h, 3),
        "steps": None
        if curve is None
        else [
            {"from_h": start, "to_h": end if isfinite(end) else None, "falls_by": round(mass, 5)}
            for (start, end), mass in zip(curve.spans_h, curve.masses, strict=True)
        ],
        "weibull": None
        if law is None
        else {
            "shape": figure_document(law.shape),
            "scale_h": figure_document(law.scale_h),
            "median_h": figure_document(law.median_h),
        },
        "still_dry": [
            {
                "after_h": round(share.hours, 3),
                "share": figure_document(share.steps),
                "share_by_weibull": None if share.law is None else round(share.law, 4),
            }
            for share in one.shares
        ],
        "says": group_sentence(one),
    }


def _removed(seal: RemovedSeal, job: SealingJob, joint: Joint) -> Document:
    figures = set_figures(seal)
    return {
        "joint": joint.name,
        "sealed_at": job.done_at.isoformat(),
        "examined_at": seal.examined_at.isoformat(),
        "failures": [one.value for one in (seal.failure, seal.second_failure) if one],
        "place": seal.place,
        "cause": seal.cause,
        "set_method_a_percent": figure_document(figures.of_thickness) if figures else None,
        "set_method_b_percent": figure_document(figures.of_squeeze) if figures else None,
        "hardness_shore_a": seal.hardness_shore_a,
        "examined_by": seal.examined_by,
        "note": seal.note,
    }


def _agreement(one: Agreement) -> Document:
    return {
        "first": one.first,
        "second": one.second,
        "places": one.count,
        "same": one.same,
        "one_apart": one.near,
        "not_seen_by_one": one.unseen,
        "table": [list(row) for row in one.table],
        "kappa": figure_document(one.plain.figure),
        "linear": figure_document(one.linear.figure),
        "quadratic": figure_document(one.quadratic.figure),
        "says": agreement_sentence(one),
    }
