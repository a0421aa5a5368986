"""Measure a photo's scale from the printed square target in it."""

from dataclasses import replace
from uuid import UUID

from leaktrack.imaging.reading import read_upright
from leaktrack.model.errors import BadInput
from leaktrack.model.photo import Photo
from leaktrack.model.record import Edit, replaced
from leaktrack.workflows.check_input import check_record
from leaktrack.workflows.project import Project

USUAL_SIDE_MM = 30.0
"""Printed side of the target that the program brings along."""

_LARGEST_SIDE_MM = 1_000


def measure_scale(project: Project, photo_id: UUID, side_mm: float = USUAL_SIDE_MM) -> Edit:
    """Return the edit that gives a photo the scale at the target it shows.

    The scale holds near the target and in its plane only.

    Args:
        project: The open project.
        photo_id: The photo.
        side_mm: Printed side of the target's black square.

    Raises:
        BadInput: No target is found, or the side cannot be.
        MissingRecord: There is no such photo.
        UnreadablePhoto: Its file is missing or damaged.
    """
    # OpenCV takes a while to load, and the window imports this before it stands.
    from leaktrack.imaging.targeting import square_target

    if not 0 < side_mm <= _LARGEST_SIDE_MM:
        raise BadInput(
            f"A target cannot be {side_mm:g} mm wide. Measure the black square and give its side."
        )
    before = project.get(Photo, photo_id)
    target = square_target(read_upright(project.photo_path(before)), side_mm)
    if target is None:
        raise BadInput(
            f"No printed target is found in {before.original_name}. Its scale stays as it was. "
            "Lay the target flat beside the joint, wholly in the picture, and take another photo."
        )
    source = f"printed target, {side_mm:g} mm"
    after = replace(before, mm_per_px=target.mm_per_px, scale_source=source)
    check_record(after)
    return replaced(before, after)
