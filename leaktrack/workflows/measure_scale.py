"""Measure a photo's scale from the printed square target in it."""

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING
from uuid import UUID

from leaktrack.imaging.reading import focal_35mm, read_upright, told_size
from leaktrack.model.errors import BadInput
from leaktrack.model.photo import Photo
from leaktrack.model.record import Edit, replaced
from leaktrack.model.units import figure
from leaktrack.workflows.check_input import check_record
from leaktrack.workflows.project import Project

if TYPE_CHECKING:
    from leaktrack.imaging.measuring.scaling import Scale

USUAL_SIDE_MM = 30.0
"""Printed side of the target that the program brings along."""

CUT_NOTE = "; a part of a larger photo, so areas far from there are less sure"
"""Said of a scale where it is not known where the photo's camera looked."""

_LARGEST_MM = 1_000


def measure_scale(project: Project, photo_id: UUID, side_mm: float = USUAL_SIDE_MM) -> Edit:
    """Return the edit that gives a photo the scale at the target it shows.

    The scale holds near the target and in its plane only.

    Args:
        project: The open project.
        photo_id: The photo.
        side_mm: Printed side of the target's black square.

    Raises:
        BadInput: No target is found, it is too small or seen too steeply, or the side cannot be.
        MissingRecord: There is no such photo.
        UnreadablePhoto: Its file is missing or damaged.
    """
    before = project.get(Photo, photo_id)
    scale = scale_in(project.photo_path(before), side_mm)
    if scale is None:
        raise BadInput(
            f"No printed target is found in {before.original_name}. Its scale stays as it was. "
            "Lay the target flat beside the joint, wholly in the picture, and take another photo."
        )
    return given_scale(before, scale, f"printed target, {side_mm:g} mm")


def scale_in(
    path: Path, target_side_mm: float = USUAL_SIDE_MM, *, is_same_plane: bool = False
) -> "Scale | None":
    """Return the scale at the printed target that a photo file shows; None where it shows none.

    A target that is too small or seen too steeply gives a scale whose ``state`` says so: it
    measures nothing (``imaging.scaling.area_mm2`` gives None), but can be told.

    Args:
        path: The photo.
        target_side_mm: Printed side of the target's black square.
        is_same_plane: What is measured lies on the very surface on which the target lies; else its
            distance and lean are doubted.

    Raises:
        BadInput: The side cannot be.
        UnreadablePhoto: The file is missing or damaged.
    """
    # OpenCV takes a while to load, and the window imports this before it stands.
    from leaktrack.imaging.measuring.calibrating import scale_at_target
    from leaktrack.imaging.measuring.projecting import camera_of
    from leaktrack.imaging.measuring.targeting import square_target

    check_length(target_side_mm, "A target", "Measure the black square and give its side.")
    rgb = read_upright(path)
    target = square_target(rgb, target_side_mm)
    if target is None:
        return None
    camera = camera_of((rgb.shape[1], rgb.shape[0]), focal_35mm(path), told_size(path))
    return scale_at_target(target, camera, is_same_plane=is_same_plane)


def scale_of(
    project: Project,
    photo_id: UUID,
    target_side_mm: float = USUAL_SIDE_MM,
    *,
    is_same_plane: bool = False,
) -> "Scale | None":
    """Return the scale at the printed target in a photo of the project; as ``scale_in``.

    Raises:
        BadInput: The side cannot be.
        MissingRecord: There is no such photo.
        UnreadablePhoto: Its file is missing or damaged.
    """
    path = project.photo_path(project.get(Photo, photo_id))
    return scale_in(path, target_side_mm, is_same_plane=is_same_plane)


def given_scale(before: Photo, scale: "Scale", source: str) -> Edit:
    """Return the edit that writes a scale down with its photo.

    Args:
        before: The photo as it stands.
        scale: What was measured.
        source: Where it comes from, in words.

    Raises:
        BadInput: The scale cannot be used.
    """
    from leaktrack.imaging.measuring.scaling import ScaleState

    if scale.state is not ScaleState.MEASURED:
        raise BadInput(
            f"{_PROBLEMS[scale.state.value]} The scale of {before.original_name} stays as it was."
        )
    if scale.is_cut:
        source += CUT_NOTE
    plane = scale.to_mm if scale.tells_plane else before.plane
    after = replace(before, mm_per_px=scale.mm_per_px, scale_source=source, plane=plane)
    check_record(after)
    return replaced(before, after)


def check_length(length_mm: float, what: str, advice: str) -> None:
    """Refuse a length that nothing in a photo of an engine can have.

    Raises:
        BadInput: It is not above 0, or more than a metre.
    """
    if not 0 < length_mm <= _LARGEST_MM:
        raise BadInput(f"{what} cannot be {figure(length_mm, 'mm')} wide. {advice}")


_PROBLEMS = {
    "too_small": "What the scale was to be taken from is too small in the photo. Go nearer.",
    "too_tilted": "The camera looked more than 45 degrees askew. Take a straighter photo.",
    "wrong_pattern": (
        "The bolts are not spaced in the photo as they are said to be on the engine. Check their "
        "numbers and the distances between them."
    ),
    "not_carried": (
        "The two photos could not be laid over each other where the scale was measured. Measure "
        "it in the photo itself."
    ),
}
