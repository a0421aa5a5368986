"""What the records of a report are called in its sentences."""

from collections.abc import Iterable
from typing import Protocol, TypeVar
from uuid import UUID

from leaktrack.model.inspection import Inspection
from leaktrack.model.leak import Leak
from leaktrack.model.sealing_job import SealingJob
from leaktrack.report.amounts import day, sentence
from leaktrack.report.findings import Findings


class _HasId(Protocol):
    @property
    def id(self) -> UUID: ...


T = TypeVar("T", bound=_HasId)


def by_id(records: Iterable[T]) -> dict[UUID, T]:
    """Return records by their id."""
    return {record.id: record for record in records}


class Names:
    """Finds the name of a record by its id; what is gone has a name as well."""

    def __init__(self, findings: Findings) -> None:
        self._zone = findings.time_zone
        self._zones = by_id(findings.zones)
        self._joints = by_id(findings.joints)
        self._leaks = by_id(findings.leaks)
        self._checks = by_id(findings.checks)
        self._bolts = by_id(findings.bolts)
        self._inspections = by_id(findings.inspections)
        self._numbers = {
            inspection.id: number for number, inspection in enumerate(findings.inspections, 1)
        }

    def zone(self, zone_id: UUID | None) -> str:
        """Return a zone's name."""
        found = self._zones.get(zone_id) if zone_id else None
        return found.name if found else "no zone"

    def joint(self, joint_id: UUID | None) -> str:
        """Return a joint's name."""
        found = self._joints.get(joint_id) if joint_id else None
        return found.name if found else "joint not known"

    def leak(self, leak_id: UUID) -> str:
        """Return what people call a leak."""
        found = self._leaks.get(leak_id)
        return f"leak {found.number}" if found else "a leak"

    def leak_place(self, leak: Leak) -> str:
        """Return a leak with the place where it is."""
        return f"Leak {leak.number}, {self.zone(leak.zone_id)}"

    def inspection(self, inspection: Inspection) -> str:
        """Return an inspection's day and title."""
        return f"{day(inspection.looked_at, self._zone)}, {self.title(inspection)}"

    def inspection_by_id(self, inspection_id: UUID) -> str:
        """Return an inspection's day and title."""
        found = self._inspections.get(inspection_id)
        return self.inspection(found) if found else "an inspection"

    def title(self, inspection: Inspection) -> str:
        """Return an inspection's title, or its number where nobody gave it one."""
        if inspection.title:
            return inspection.title
        return (
            "baseline" if inspection.is_baseline else f"inspection {self._numbers[inspection.id]}"
        )

    def job(self, job: SealingJob) -> str:
        """Return what was sealed, and when."""
        return f"{sentence(self.joint(job.joint_id))}, sealed {day(job.done_at, self._zone)}"

    def bolt(self, bolt_id: UUID | None) -> str:
        """Return a bolt's number in words; empty where it is about no bolt."""
        found = self._bolts.get(bolt_id) if bolt_id else None
        return f"bolt {found.number}" if found else ""

    def reason(self, record_id: UUID) -> str:
        """Return the name of the leak, check or joint that something is about."""
        if record_id in self._leaks:
            return self.leak(record_id)
        if record_id in self._checks:
            return self._checks[record_id].name
        return self.joint(record_id)
