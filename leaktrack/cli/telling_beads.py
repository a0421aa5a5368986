"""Tell in sentences what photos show of beads."""

from leaktrack.cli.printing import say
from leaktrack.model.bead_audit import BeadAudit, BeadDefect
from leaktrack.model.chance import chance_words
from leaktrack.model.engine import Joint
from leaktrack.model.photo import Photo
from leaktrack.model.sealing_job import SealingJob
from leaktrack.model.units import rough
from leaktrack.model.words import station_words, word
from leaktrack.workflows.project import Project


def tell_beads(project: Project) -> None:
    """Print what was measured of each bead, with its defects at their stations."""
    for audit in project.all(BeadAudit):
        job = project.get(SealingJob, audit.sealing_job_id)
        joint = project.get(Joint, job.joint_id)
        photo = project.get(Photo, audit.photo_id)
        say(f"Bead of the {joint.name}, {photo.original_name}: {word(audit.verdict)}.")
        for defect in audit.defects:
            say(_defect_words(defect, audit.unit), indent="  - ")


def _defect_words(defect: BeadDefect, unit: str) -> str:
    words = [f"{word(defect.kind)}, {rough(defect.end - defect.start, unit, 1)} long"]
    if defect.station is not None:
        words.append(f"at {station_words(defect.station)}")
    return ", ".join([*words, chance_words(defect.score)])
