"""Tell what heat and running time make of the last change, and how leaks grew."""

from leaktrack.model.growth import Growth, Measure
from leaktrack.model.growth_chart import growth_chart
from leaktrack.model.growth_words import GROWTH_ASSUMES, growth_sentences, point_words
from leaktrack.model.heat_words import HEAT_ASSUMES, beyond_sentences, heat_sentences
from leaktrack.model.words import word
from leaktrack.report.contents import Block, Bullets, Drawing, Paragraph, Subheading
from leaktrack.report.findings import Findings
from leaktrack.report.growth_drawing import WIDTH, growth_drawing
from leaktrack.report.naming import Names

_LEAST_POINTS = 2  # one look is no history


def change_blocks(findings: Findings, names: Names) -> list[Block]:
    """Return the heat sentence, then a chart of each leak with what can be told of its growth."""
    blocks: list[Block] = []
    if findings.heat is not None and findings.changes:
        told = [each for each in heat_sentences(findings.heat) if each != HEAT_ASSUMES]
        told += beyond_sentences(findings.heat, findings.changes)
        blocks.append(Subheading("Heat and running time since the inspection before"))
        blocks.append(Bullets(tuple(told)))
        if findings.heat.rate is not None or findings.heat.run_rate is not None:
            blocks.append(Paragraph(HEAT_ASSUMES, is_quiet=True))
    if findings.growths:
        blocks.append(Subheading("Over running hours"))
        blocks.append(Bullets(tuple(map(_growth_sentence, findings.growths))))
        blocks.append(Paragraph(GROWTH_ASSUMES, is_quiet=True))
        blocks += [drawing for one in findings.growths if (drawing := _drawing(one, names))]
    return blocks


def _growth_sentence(growth: Growth) -> str:
    return f"Leak {growth.leak.number}. {' '.join(growth_sentences(growth))}"


def _drawing(growth: Growth, names: Names) -> Drawing | None:
    """Return a leak's chart: of its area where two looks have one, else of its grade."""
    for measure in (Measure.AREA, Measure.GRADE):
        chart = growth_chart(growth, measure)
        if chart is not None and len(chart.points) >= _LEAST_POINTS:
            break
    else:
        return None
    svg, height = growth_drawing(chart)
    told = [point_words(each, names.inspection_by_id(each.inspection_id)) for each in growth.points]
    return Drawing(
        svg=svg,
        width=WIDTH,
        height=height,
        alternative=". ".join(told) + ".",
        caption=(
            f"Leak {growth.leak.number}: {word(measure)} over running hours. The digit in each "
            "mark is its grade; bars are one standard deviation. Upright line: wiped in between. "
            "Broken line: the trend, in its area where an interval can be told."
        ),
    )
