"""The joint lines that a photo has none of yet, carried from where they were drawn."""

from collections.abc import Sequence
from uuid import UUID

from PySide6.QtCore import QCoreApplication

from leaktrack.model.engine import Joint, JointLine
from leaktrack.model.photo import Photo
from leaktrack.model.record import Edit
from leaktrack.workflows.carry_joint_lines import LineProposal, carry_joint_line
from leaktrack.workflows.draw_joint_line import draw_joint_line
from leaktrack.workflows.project import Project


def carried_lines(project: Project, photo_id: UUID) -> tuple[LineProposal, ...]:
    """Return the lines of the zone's joints as they should run in a photo; slow.

    Joints whose line nobody has drawn anywhere, or whose place cannot be told, are left out.

    Raises:
        MissingRecord: There is no such photo.
        UnreadablePhoto: A photo's file is missing or damaged.
    """
    photo = project.get(Photo, photo_id)
    if photo.zone_id is None:
        return ()
    drawn_here = {line.joint_id for line in project.all(JointLine, photo_id=photo_id)}
    joints = [joint.id for joint in project.all(Joint, zone_id=photo.zone_id)]
    drawn = {line.joint_id for line in project.all(JointLine, joint_id=joints)}
    found = [carry_joint_line(project, joint_id, photo_id) for joint_id in drawn - drawn_here]
    return tuple(proposal for proposal in found if proposal is not None)


def keep_lines(project: Project, proposals: Sequence[LineProposal]) -> Edit:
    """Return the edit that draws carried lines into their photos for good.

    Raises:
        BadInput: A line cannot be right as it was carried.
        MissingRecord: A joint or the photo is not there any more.
    """
    edit = Edit(())
    for proposal in proposals:
        line = proposal.line
        edit = edit.then(draw_joint_line(project, line.joint_id, line.photo_id, line.points))
    return edit


def carried_words(proposals: Sequence[LineProposal]) -> str:
    """Return what is said above a photo with carried lines; empty where there are none."""
    if not proposals:
        return ""
    if all(proposal.is_sure for proposal in proposals):
        return _translate("The dashed joint line is carried here from another photo.")
    return _translate("The dashed joint line is carried here, but not surely: look twice.")


def _translate(text: str) -> str:
    words: str = QCoreApplication.translate("carried_lines", text)
    return words
