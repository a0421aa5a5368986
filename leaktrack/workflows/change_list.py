"""Turn one list of records into another: what goes, what changes, what comes."""

from collections.abc import Sequence

from leaktrack.model.record import Edit, Record, RecordChange


def list_edit(before: Sequence[Record], after: Sequence[Record]) -> Edit:
    """Return the edit that leaves exactly the records of ``after`` where ``before`` stood.

    Records are the same by their id. Removals come first, so that a number which moves from one
    record to another is free in time.
    """
    old = {record.id: record for record in before}
    new = {record.id: record for record in after}
    gone = [RecordChange(record, None) for key, record in old.items() if key not in new]
    changed = [
        RecordChange(record, new[key])
        for key, record in old.items()
        if key in new and new[key] != record
    ]
    fresh = [RecordChange(None, record) for key, record in new.items() if key not in old]
    return Edit((*gone, *changed, *fresh))
