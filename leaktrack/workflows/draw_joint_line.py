"""Draw the line of a joint in a photo, or carry it over from the zone's reference photo."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import combinations
from uuid import UUID

from leaktrack.analysis.ruling import unwrapped_numbers
from leaktrack.analysis.turning import TELLS_DIRECTION, turned_like
from leaktrack.model.engine import Joint, JointLine, LinePoint, Zone
from leaktrack.model.errors import BadInput
from leaktrack.model.photo import Photo
from leaktrack.model.record import Edit, added, removed, replaced
from leaktrack.model.shapes import crosses_itself
from leaktrack.workflows.check_input import check_on_photo
from leaktrack.workflows.find_engine import bolt_numbers
from leaktrack.workflows.project import Project


def draw_joint_line(
    project: Project, joint_id: UUID, photo_id: UUID, points: Sequence[LinePoint]
) -> Edit:
    """Return the edit that draws a joint's line in a photo, or draws it anew.

    A line drawn from high to low bolt numbers is turned round. On a closed joint it may start at
    any bolt; one with fewer than three bolts is turned as in the zone's reference. The first photo
    with a line becomes that reference.

    Args:
        project: The open project.
        joint_id: The joint.
        photo_id: The photo it was drawn in.
        points: Along the joint, with the numbers of the bolts beside them.

    Raises:
        BadInput: Fewer than two points, a point outside the photo, a bolt that the joint does not
            have or that comes twice, numbers that rise and fall, two bolts on one spot, or a
            line drawn by hand that crosses itself.
        MissingRecord: There is no such joint or photo.
    """
    joint = project.get(Joint, joint_id)
    photo = project.get(Photo, photo_id)
    known = bolt_numbers(project, joint_id)
    _check_points(points, photo)
    _check_bolts(points, known, joint)
    _check_way(points, joint)
    ordered = _in_bolt_order(tuple(points), len(known) if joint.is_closed else None)
    if joint.is_closed and len(known) < TELLS_DIRECTION:
        ordered = _like_the_others(project, joint, photo_id, ordered)
    edit = _line_edit(project, joint_id, photo_id, ordered)
    zone = project.get(Zone, joint.zone_id)
    if zone.reference_photo_id is None:
        edit = edit.then(replaced(zone, replace(zone, reference_photo_id=photo_id)))
    return edit


def remove_joint_line(project: Project, joint_line_id: UUID) -> Edit:
    """Return the edit that removes a joint's line from a photo.

    Where it was the last line on the zone's reference photo, the zone has no reference any more.

    Raises:
        MissingRecord: There is no such line.
    """
    line = project.get(JointLine, joint_line_id)
    edit = removed(line)
    zone = project.get(Zone, project.get(Joint, line.joint_id).zone_id)
    is_last = len(project.all(JointLine, photo_id=line.photo_id)) == 1
    if is_last and zone.reference_photo_id == line.photo_id:
        edit = edit.then(replaced(zone, replace(zone, reference_photo_id=None)))
    return edit


def _like_the_others(
    project: Project, joint: Joint, photo_id: UUID, points: tuple[LinePoint, ...]
) -> tuple[LinePoint, ...]:
    """Return the points the way round in which the zone's reference, or another photo, has them."""
    reference = project.get(Zone, joint.zone_id).reference_photo_id
    others = [
        line for line in project.all(JointLine, joint_id=joint.id) if line.photo_id != photo_id
    ]
    if not others:
        return points
    return turned_like(points, min(others, key=lambda one: one.photo_id != reference).points)


def _line_edit(
    project: Project, joint_id: UUID, photo_id: UUID, points: tuple[LinePoint, ...]
) -> Edit:
    lines = project.all(JointLine, joint_id=joint_id, photo_id=photo_id)
    if lines:
        return replaced(lines[0], replace(lines[0], points=points))
    return added(JointLine(joint_id=joint_id, photo_id=photo_id, points=points))


def _check_points(points: Sequence[LinePoint], photo: Photo) -> None:
    places = {point.at for point in points}
    if len(places) < 2:
        raise BadInput(
            "A joint's line needs at least two points. Click along the joint, bolt by bolt."
        )
    for point in points:
        check_on_photo(point.at, photo, "point of the joint's line")
        if point.head is not None:
            check_on_photo(point.head, photo, "bolt head")


def _check_bolts(points: Sequence[LinePoint], known: frozenset[int], joint: Joint) -> None:
    numbers = [point.bolt_number for point in points if point.bolt_number is not None]
    unknown = sorted(set(numbers) - known)
    if unknown:
        highest = max(known, default=0)
        raise BadInput(
            f"'{joint.name}' has no bolt {unknown[0]}; its bolts go up to {highest}. "
            "Correct the number, or give the joint more bolts."
        )
    twice = sorted({number for number in numbers if numbers.count(number) > 1})
    if twice:
        raise BadInput(
            f"Bolt {twice[0]} stands twice in the line of '{joint.name}'. Each bolt has one place."
        )


def _check_way(points: Sequence[LinePoint], joint: Joint) -> None:
    """Refuse a way that no joint takes; a carried line may be wrong, and is put right by hand."""
    bolts = [point for point in points if point.bolt_number is not None]
    for one, other in combinations(bolts, 2):
        if one.at == other.at:
            raise BadInput(
                f"Bolts {one.bolt_number} and {other.bolt_number} of '{joint.name}' lie on the "
                "same spot. Drag one of them to its place, or take it back with Backspace."
            )
    is_by_hand = all(point.sigma_px is None for point in points)
    if is_by_hand and crosses_itself([point.at for point in points], is_closed=joint.is_closed):
        raise BadInput(
            f"The line of '{joint.name}' crosses itself, so its points may be in the wrong order. "
            "Take points back with Backspace, or drag them, until it runs along the joint once."
        )


def _in_bolt_order(points: tuple[LinePoint, ...], bolt_count: int | None) -> tuple[LinePoint, ...]:
    numbers = [point.bolt_number for point in points if point.bolt_number is not None]
    run = unwrapped_numbers(numbers, bolt_count)
    return points[::-1] if run and run[-1] < run[0] else points
