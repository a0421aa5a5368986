"""Turn results into JSON documents. Keys stay as they are once released; more may be added."""

from collections.abc import Mapping
from typing import Any
from uuid import UUID

from leaktrack.model.comparison import Comparison, Sighting
from leaktrack.model.engine import Zone
from leaktrack.model.inspection import Inspection
from leaktrack.model.leak import wetness
from leaktrack.model.words import word

Document = dict[str, Any]


def comparison_document(
    comparison: Comparison,
    inspections: Mapping[UUID, Inspection],
    zones: Mapping[UUID, Zone],
) -> Document:
    """Return a comparison; a grade is null where nobody could see the leak."""
    return {
        "format": "leaktrack-comparison",
        "version": 1,
        "before": _inspection(inspections[comparison.before_id]),
        "after": _inspection(inspections[comparison.after_id]),
        "zone": zones[comparison.zone_id].name if comparison.zone_id else None,
        "leaks": [
            {
                "number": one.leak.number,
                "zone": zones[one.leak.zone_id].name,
                "before": _sighting(one.before),
                "after": _sighting(one.after),
                "change": one.change.value,
            }
            for one in comparison.changes
        ],
    }


def _inspection(inspection: Inspection) -> Document:
    return {
        "id": str(inspection.id),
        "looked_at": inspection.looked_at.isoformat(),
        "title": inspection.title,
    }


def _sighting(sighting: Sighting) -> Document:
    return {
        "grade": wetness(sighting.grade),
        "word": word(sighting.grade),
        "nothing_noticed": sighting.nothing_noticed,
        "area_mm2": sighting.area_mm2,
        "area_sigma_mm2": sighting.area_sigma_mm2,
        "extent_mm": sighting.extent_mm,
        "extent_sigma_mm": sighting.extent_sigma_mm,
    }
