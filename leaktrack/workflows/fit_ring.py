"""Look up standard rings, work out how a ring lies in its gland, and record it with its job."""

import csv
from pathlib import Path
from uuid import UUID

from leaktrack.analysis.sealing.sizing import ring_size
from leaktrack.analysis.sealing.squeezing import ring_figures
from leaktrack.model.engine import SealKind
from leaktrack.model.errors import BadInput, LeakTrackError
from leaktrack.model.record import Edit, added, removed, replaced
from leaktrack.model.ring import RingFigures, RingFit, RingSize
from leaktrack.model.sealing_job import SealingJob
from leaktrack.workflows.check_input import check_record
from leaktrack.workflows.find_engine import Reader
from leaktrack.workflows.project import Project

FILE_NAME = "ring_sizes.csv"

RING_KINDS = frozenset({SealKind.O_RING, SealKind.PROFILE_RING})
"""Kinds of seals for which squeeze, stretch and fill mean something."""


def ring_sizes(resources_folder: Path) -> dict[str, RingSize]:
    """Return the standard sizes by their number.

    Raises:
        LeakTrackError: The table that comes with the program is missing or damaged.
    """
    path = resources_folder / FILE_NAME
    try:
        lines = path.read_text(encoding="utf-8").splitlines()
        rows = csv.DictReader(line for line in lines if not line.startswith("#"))
        sizes = [
            ring_size(row["size"], float(row["inner_in"]), float(row["cord_in"])) for row in rows
        ]
    except (OSError, UnicodeDecodeError, KeyError, ValueError) as error:
        raise LeakTrackError(
            f"The table of ring sizes {path} cannot be read: {error}. Install the program again, "
            "or type the ring's sizes yourself."
        ) from error
    return {size.name: size for size in sizes}


def size_named(resources_folder: Path, name: str) -> RingSize:
    """Return the standard size of a number, with or without its dash.

    Raises:
        BadInput: There is none of that number in the table.
    """
    sizes = ring_sizes(resources_folder)
    digits = name.strip().lstrip("-–")
    found = sizes.get(f"-{digits.zfill(3)}")
    if found is None:
        raise BadInput(
            f"There is no ring size '{name}' in the table, which holds {len(sizes)} common sizes "
            "from -004 to -330. Type inner diameter and cord instead."
        )
    return found


def with_size(fit: RingFit, size: RingSize) -> RingFit:
    """Return a fit with the sizes and tolerances of a standard ring."""
    return RingFit(
        id=fit.id,
        sealing_job_id=fit.sealing_job_id,
        size=size.name,
        inner_mm=size.inner_mm,
        inner_tolerance_mm=size.inner_tolerance_mm,
        section_mm=size.section_mm,
        section_tolerance_mm=size.section_tolerance_mm,
        seat_mm=fit.seat_mm,
        seat_tolerance_mm=fit.seat_tolerance_mm,
        depth_mm=fit.depth_mm,
        depth_tolerance_mm=fit.depth_tolerance_mm,
        width_mm=fit.width_mm,
        width_tolerance_mm=fit.width_tolerance_mm,
        is_dynamic=fit.is_dynamic,
        note=fit.note,
    )


def ring_fit_of(reader: Reader, job_id: UUID) -> RingFit | None:
    """Return what is recorded of a job's ring; None where nothing is."""
    found = reader.all(RingFit, sealing_job_id=job_id)
    return found[0] if found else None


def figures_of(fit: RingFit) -> RingFigures:
    """Return squeeze, stretch and fill of a ring in its gland.

    Raises:
        BadInput: A size is negative, not a number or out of reason.
    """
    return ring_figures(fit)


def set_ring_fit(project: Project, job_id: UUID, fit: RingFit | None) -> Edit:
    """Return the edit that leaves exactly this ring on a job; None takes it away.

    Raises:
        BadInput: A size is negative, not a number or out of reason.
        MissingRecord: There is no such job.
    """
    project.get(SealingJob, job_id)
    before = ring_fit_of(project, job_id)
    if fit is None:
        return Edit(()) if before is None else removed(before)
    check_record(fit)
    ring_figures(fit)  # refuses what each size alone does not show, such as a tolerance too large
    return added(fit) if before is None else replaced(before, fit)
