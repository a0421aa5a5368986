"""One drain of an engine with its debris, as it was looked into."""

from dataclasses import dataclass
from datetime import datetime

from leaktrack.model.debris import CrumbSource, DrainComparison, DrainCount
from leaktrack.model.inspection import Check


@dataclass(frozen=True, slots=True)
class Drain:
    """One kept count with its check.

    Attributes:
        at: When the drain was looked into.
        hours: Run since the drain before it; None: it is the first, or a run has no minutes.
    """

    count: DrainCount
    check: Check
    at: datetime
    hours: float | None


@dataclass(frozen=True, slots=True)
class DrainFindings:
    """A drain with what follows from it.

    Attributes:
        sources: Where its crumbs of sealant may come from.
        comparison: With the drain before; None: it is the first, or has no scale.
    """

    drain: Drain
    sources: tuple[CrumbSource, ...]
    comparison: DrainComparison | None
