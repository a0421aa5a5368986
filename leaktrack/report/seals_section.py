"""Tell how long seals last, how well people agree who graded, and what the drains held."""

from leaktrack.model.agreement import Agreement
from leaktrack.model.debris import ParticleKind
from leaktrack.model.drain import DrainFindings
from leaktrack.model.seal_life import GroupLife, SealHistoryReport
from leaktrack.model.seal_life_words import (
    AGREEMENT_ASSUMES,
    CRUMBS_ASSUME,
    LIFE_ASSUMES,
    agreement_sentence,
    change_words,
    crumbs_sentence,
    group_sentence,
    hours_figure_words,
    kappa_words,
    percent_words,
    row_name,
    rule_sentence,
)
from leaktrack.model.words import word
from leaktrack.report.amounts import count, day, sentence
from leaktrack.report.contents import (
    Block,
    Bullets,
    Cell,
    Drawing,
    Paragraph,
    Section,
    Subheading,
    Table,
)
from leaktrack.report.findings import Findings
from leaktrack.report.life_drawing import HEIGHT, WIDTH, life_drawing


def seals_sections(findings: Findings) -> tuple[Section, ...]:
    """Return the section about seals; none where nothing is known of any of it."""
    blocks: list[Block] = []
    history = findings.seal_history
    if history is not None and history.groups:
        blocks += _life(history)
    if findings.agreements is not None and findings.agreements.pairs:
        blocks.append(Subheading("Do people grade alike?"))
        blocks.append(Bullets(tuple(_pair(one) for one in findings.agreements.pairs)))
        if findings.agreements.fleiss is not None:
            told = findings.agreements
            blocks.append(
                Paragraph(
                    f"{told.people} people graded {count(told.together, 'place')} together: "
                    f"Fleiss' kappa {told.fleiss:.2f}."
                )
            )
        blocks.append(Paragraph(AGREEMENT_ASSUMES, is_quiet=True))
    if findings.drains:
        blocks.append(Subheading("Debris of the drains"))
        for one in findings.drains:
            blocks += _drain(one, findings)
        blocks.append(Paragraph(CRUMBS_ASSUME, is_quiet=True))
    if not blocks:
        return ()
    return (Section("What the seals teach", tuple(blocks)),)


def _life(history: SealHistoryReport) -> list[Block]:
    whole = history.groups[0]
    told = [group_sentence(one) for one in history.groups]
    blocks: list[Block] = [
        Subheading("How long seals stay dry"),
        Paragraph(
            "All engines of the project, by hours run since a joint was sealed.", introduces=True
        ),
        Drawing(
            svg=life_drawing(whole),
            width=WIDTH,
            height=HEIGHT,
            alternative=told[0],
            caption=(
                "All seals. Line: the share still dry as it was seen; grey: somewhere in there it "
                "falls; upright bars: 95 % intervals; dashes: the Weibull law, where there is one."
            ),
        ),
        Table(
            caption="Seals by kind, material and rule",
            columns=("Seals", "Leaked", "Still dry at the last look", "Half leak within"),
            rows=tuple(_group_row(one) for one in history.groups),
            widths=(5, 2, 4, 4),
        ),
        Bullets(tuple(sentence(line) for line in (*told, rule_sentence(history)))),
    ]
    left = [f"{number}: {why}" for why, number in history.left_out]
    if left:
        blocks.append(Paragraph(f"Jobs left out. {'; '.join(left)}."))
    return [*blocks, Paragraph(LIFE_ASSUMES, is_quiet=True)]


def _group_row(one: GroupLife) -> tuple[Cell, ...]:
    name = one.name if one.by == "all" else f"{one.by}: {one.name}"
    return (
        Cell(sentence(name), is_heading=True),
        Cell(f"{one.leaked} of {one.jobs}"),
        Cell(f"{percent_words(one.shares[-1].steps)} at {one.last_h:.3g} h"),
        Cell(hours_figure_words(one.law.median_h) if one.law else "too few leaks to say"),
    )


def _pair(one: Agreement) -> str:
    kappas = (
        f"Kappa {kappa_words(one.plain)}, linear weights {kappa_words(one.linear)}, quadratic "
        f"weights {kappa_words(one.quadratic)}."
    )
    return f"{agreement_sentence(one)} {kappas}"


def _drain(one: DrainFindings, findings: Findings) -> list[Block]:
    drain, kept = one.drain, one.drain.count
    looks = [
        f"{sum(each.kind is kind for each in kept.particles)} {word(kind)}"
        for kind in ParticleKind
        if any(each.kind is kind for each in kept.particles)
    ]
    head = (
        f"{drain.check.name}, {day(drain.at, findings.time_zone)}: "
        f"{count(len(kept.particles), 'particle')} of {kept.least:.2g} {kept.unit} and more. "
        f"By their look: {', '.join(looks) or 'none'}."
    )
    if kept.is_paper_doubtful:
        head += " The surface may have been no paper at all."
    blocks: list[Block] = [Paragraph(head)]
    if one.sources:
        blocks.append(Bullets(tuple(sentence(crumbs_sentence(each)) for each in one.sources)))
    if one.comparison is not None:
        rows = tuple(
            (
                Cell(sentence(row_name(row, word(row.kind) if row.kind else "")), is_heading=True),
                Cell(f"{row.before} ({row.before_mm2:.2g} mm²)"),
                Cell(f"{row.after} ({row.after_mm2:.2g} mm²)"),
                Cell(change_words(row)),
            )
            for row in one.comparison.rows
        )
        blocks.append(
            Table(
                caption="Against the drain before",
                columns=("Particles", "Then", "Now", "Change"),
                rows=rows,
                widths=(4, 3, 3, 5),
            )
        )
        blocks.append(Paragraph(one.comparison.assumes, is_quiet=True))
    return blocks
