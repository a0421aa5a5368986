"""Record what a seal looked like when its joint was taken apart, and tell its compression set."""

from collections.abc import Sequence
from dataclasses import replace
from uuid import UUID

from leaktrack.analysis.sealing.recovering import CALIPER_MM, compression_set
from leaktrack.model.errors import BadInput
from leaktrack.model.photo import Photo
from leaktrack.model.record import Edit
from leaktrack.model.removed_seal import RemovedSeal
from leaktrack.model.ring import RingFit, SetFigures
from leaktrack.model.sealing_job import SealingJob
from leaktrack.workflows.change_list import list_edit
from leaktrack.workflows.check_input import check_record
from leaktrack.workflows.find_engine import Reader
from leaktrack.workflows.project import Project


def removed_seals_of(reader: Reader, job_id: UUID) -> tuple[RemovedSeal, ...]:
    """Return the exams of the seals that a job had fitted, the oldest first."""
    return tuple(
        sorted(
            reader.all(RemovedSeal, sealing_job_id=job_id),
            key=lambda one: (one.examined_at, one.id),
        )
    )


def set_removed_seals(project: Project, job_id: UUID, seals: Sequence[RemovedSeal]) -> Edit:
    """Return the edit that leaves exactly these exams on a job.

    Raises:
        BadInput: A number is out of reason, or the sizes cannot belong together.
        MissingRecord: Job or photo is not there.
    """
    project.get(SealingJob, job_id)
    own = [replace(seal, sealing_job_id=job_id) for seal in seals]
    for seal in own:
        check_record(seal)
        if seal.photo_id is not None:
            project.get(Photo, seal.photo_id)
        if seal.failure is None and seal.second_failure is not None:
            raise BadInput("Name the main failure first, then what else was seen.")
        set_figures(seal)
    return list_edit(project.all(RemovedSeal, sealing_job_id=job_id), own)


def set_figures(seal: RemovedSeal) -> SetFigures | None:
    """Return the compression set of a removed seal; None where too little was measured.

    Raises:
        BadInput: A thickness is out of reason, or the seal was not squeezed.
    """
    if seal.new_mm is None or seal.recovered_mm is None:
        return None
    caliper = CALIPER_MM if seal.caliper_mm is None else seal.caliper_mm
    return compression_set(seal.new_mm, seal.recovered_mm, seal.squeezed_mm, caliper)


def measured_set(
    new_mm: float, recovered_mm: float, squeezed_mm: float | None, caliper_mm: float | None = None
) -> SetFigures:
    """Return the compression set of thicknesses that belong to no record.

    Raises:
        BadInput: A thickness is out of reason, or the seal was not squeezed.
    """
    caliper = CALIPER_MM if caliper_mm is None else caliper_mm
    return compression_set(new_mm, recovered_mm, squeezed_mm, caliper)


def with_sizes_of(seal: RemovedSeal, fit: RingFit | None) -> RemovedSeal:
    """Return a fresh exam with the thicknesses that the job's ring is recorded with."""
    if fit is None:
        return seal
    return replace(seal, new_mm=fit.section_mm, squeezed_mm=fit.depth_mm)
