"""What can hurt somebody at an inspection, from what is known about it."""

from collections.abc import Sequence

from leaktrack.model.caution import Caution
from leaktrack.model.inspection import Inspection
from leaktrack.model.leak import Fluid, LeakMark
from leaktrack.model.photo import Light

COOL_AFTER_MIN = 60.0
"""An engine may burn for about so long after shutdown; common practice, no source."""


def cautions_of(inspection: Inspection, marks: Sequence[LeakMark]) -> tuple[Caution, ...]:
    """Return the hazards of a look, the most urgent first."""
    cautions = []
    if any(mark.fluid is Fluid.FUEL for mark in marks):
        cautions.append(Caution.FUEL)
    since = inspection.minutes_since_shutdown
    if not inspection.is_baseline and (since is None or since < COOL_AFTER_MIN):
        cautions.append(Caution.HOT_OIL)
    if inspection.light is Light.UV:
        cautions.append(Caution.UV_LAMP)
    return tuple(cautions)
