"""Read what photos of the bare flanges show of the beads, as it was measured."""

from typing import Any, cast

from leaktrack.model.bead_audit import BeadAudit
from leaktrack.store.tables import TABLES
from leaktrack.workflows.find_engine import Reader


def audits(reader: Reader) -> tuple[BeadAudit, ...]:
    """Return all bead audits of the project; none where the project cannot keep any yet."""
    if BeadAudit not in TABLES:
        return ()
    return tuple(cast(Any, reader).all(BeadAudit))
