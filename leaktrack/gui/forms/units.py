"""The units of fields; they live in the model, since report and command line tell them too."""

from leaktrack.model.units import IMPERIAL, METRIC, Unit, unit_of

__all__ = ["IMPERIAL", "METRIC", "Unit", "unit_of"]
