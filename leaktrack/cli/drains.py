"""The command that compares the debris of an engine's drains."""

from argparse import Namespace
from itertools import pairwise
from typing import Any

from leaktrack.cli import choosing
from leaktrack.cli.printing import say, say_json, say_table
from leaktrack.cli.rings import figure_document
from leaktrack.model.debris import CrumbSource, DrainComparison
from leaktrack.model.drain import Drain
from leaktrack.model.seal_life_words import (
    CRUMBS_ASSUME,
    change_words,
    crumbs_sentence,
    row_name,
)
from leaktrack.model.words import word
from leaktrack.workflows import keep_drain

Document = dict[str, Any]


def drains(args: Namespace) -> int:
    """Tell how the debris changed from drain to drain, and where crumbs may come from.

    Raises:
        BadInput: A kept count has no scale.
    """
    with choosing.opened(args.project) as project:
        engine = choosing.engine(project, args.engine)
        known = keep_drain.drains(project, engine.id)
        compared = [
            (before, after, keep_drain.compare_drains(before, after))
            for before, after in pairwise(known)
            if after.at > before.at
        ]
        sources = [keep_drain.crumbs_from(project, engine.id, one.count.particles) for one in known]
    if args.json:
        say_json(
            {
                "format": "leaktrack-drains",
                "version": 1,
                "drains": [_drain(one, crumbs) for one, crumbs in zip(known, sources, strict=True)],
                "comparisons": [
                    {
                        "before": before.at.isoformat(),
                        "after": after.at.isoformat(),
                        **comparison_document(one),
                    }
                    for before, after, one in compared
                ],
                "crumbs_assume": CRUMBS_ASSUME,
            }
        )
        return 0
    if not known:
        say("No count of a drain is kept. The window keeps one with a check of the kind debris.")
        return 0
    for one, crumbs in zip(known, sources, strict=True):
        count = one.count
        say(
            f"{one.at.astimezone():%Y-%m-%d}, {one.check.name}: {len(count.particles)} particles "
            f"of {count.least:.2g} {count.unit} and more."
        )
        if count.is_paper_doubtful:
            say("The surface may have been no paper at all.", indent="  ")
        for source in crumbs:
            say(crumbs_sentence(source), indent="  ")
    for before, _, comparison in compared:
        tell_comparison(comparison, f"the drain of {before.at.astimezone():%Y-%m-%d}")
    say(CRUMBS_ASSUME)
    return 0


def tell_comparison(comparison: DrainComparison, against: str) -> None:
    """Tell how the debris of two drains compares."""
    say(f"Against {against}, particles of {comparison.least_mm:.2g} mm and more:")
    say_table(
        ("What", "Then", "Now", "Change"),
        [
            (
                row_name(row, word(row.kind) if row.kind else ""),
                f"{row.before} ({row.before_mm2:.2g} mm2)",
                f"{row.after} ({row.after_mm2:.2g} mm2)",
                change_words(row),
            )
            for row in comparison.rows
            if not row.size
        ],
    )
    say(comparison.assumes)


def comparison_document(comparison: DrainComparison) -> Document:
    """Return the same as one JSON document."""
    return {
        "least_mm": round(comparison.least_mm, 3),
        "hours_before": comparison.before_h,
        "hours_after": comparison.after_h,
        "rows": [
            {
                "kind": row.kind.value if row.kind else None,
                "size": row.size,
                "before": row.before,
                "after": row.after,
                "area_before_mm2": round(row.before_mm2, 3),
                "area_after_mm2": round(row.after_mm2, 3),
                "times_as_many": figure_document(row.ratio),
                "change": row.change.value,
            }
            for row in comparison.rows
        ],
        "assumes": comparison.assumes,
    }


def _drain(one: Drain, sources: tuple[CrumbSource, ...]) -> Document:
    return {
        "at": one.at.isoformat(),
        "check": one.check.name,
        "hours": one.hours,
        "state": "unreliable" if one.count.is_paper_doubtful else "read",
        "unit": one.count.unit,
        "particles": len(one.count.particles),
        "crumbs": [
            {"colour": each.colour, "count": each.crumbs, "joints": list(each.joints)}
            for each in sources
        ],
    }
