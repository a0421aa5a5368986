"""Find parts of a report's contents."""

from leaktrack.report.contents import Bullets, Facts, ReportContents, Section


def section(contents: ReportContents, heading: str) -> Section:
    return next(one for one in contents.sections if one.heading == heading)


def blocks(contents: ReportContents, heading: str, kind: type) -> list:
    return [block for block in section(contents, heading).blocks if isinstance(block, kind)]


def facts(contents: ReportContents, heading: str) -> dict[str, str]:
    return dict(row for block in blocks(contents, heading, Facts) for row in block.rows)


def sentences(contents: ReportContents, heading: str) -> list[str]:
    return [item for block in blocks(contents, heading, Bullets) for item in block.items]
