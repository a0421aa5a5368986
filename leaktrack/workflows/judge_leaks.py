"""Judge leaks: the grade that observations give, what follows from it, what its drops add up to."""

from collections.abc import Sequence
from typing import TYPE_CHECKING
from uuid import UUID

from leaktrack.analysis.oiling import grading
from leaktrack.model.engine import Joint
from leaktrack.model.grade_card import GradeCard
from leaktrack.model.inspection import Inspection
from leaktrack.model.leak import Leak, LeakMark, wetness
from leaktrack.model.photo import Light, Photo
from leaktrack.model.severity import GradeLimits, Observations
from leaktrack.workflows.find_engine import Reader
from leaktrack.workflows.foresee_drips import outlook_of, pool_of
from leaktrack.workflows.measure_extent import extent
from leaktrack.workflows.project import Project

if TYPE_CHECKING:
    from leaktrack.imaging.measuring.scaling import Scale


def grade_card(
    project: Project,
    mark_id: UUID,
    limits: GradeLimits | None = None,
    scale: "Scale | None" = None,
) -> GradeCard:
    """Return how bad a mark is: proposal, verdict, published classes, and what its drops add up to.

    Args:
        project: The open project.
        mark_id: The mark.
        limits: Where grades end, as far as figures tell.
        scale: As measured in the mark's photo; None: what is written down with it.

    Raises:
        BadInput: The limits do not rise.
        MissingRecord: There is no such mark.
    """
    with project.read() as reader:
        return card_of(reader, reader.get(LeakMark, mark_id), limits, scale)


def card_of(
    reader: Reader,
    mark: LeakMark,
    limits: GradeLimits | None = None,
    scale: "Scale | None" = None,
) -> GradeCard:
    """Return how bad a mark is, as ``grade_card``."""
    leak = reader.get(Leak, mark.leak_id)
    joint = reader.find(Joint, leak.joint_id) if leak.joint_id else None
    photo = reader.get(Photo, mark.photo_id)
    look = reader.find(Inspection, photo.inspection_id) if photo.inspection_id else None
    seen = observations_of(mark, photo, look, _is_dry_in_white(reader, mark, look), scale)
    seal_kind = joint.seal_kind if joint else None
    proposal = grading.proposed_grade(seen, limits)
    return GradeCard(
        mark=mark,
        given=mark.grade,
        seen=seen,
        is_time_told=mark.wet_for_min is not None,
        proposal=proposal,
        judgement=grading.verdict(mark.grade, seal_kind, mark.fluid),
        classes=grading.published(mark.grade),
        seal_kind=seal_kind,
        proposed_judgement=grading.verdict(proposal.grade, seal_kind, mark.fluid),
        proposed_classes=grading.published(proposal.grade),
        outlook=outlook_of(reader, mark, look),
        pool=pool_of(mark),
    )


def observations_of(
    mark: LeakMark,
    photo: Photo,
    look: Inspection | None = None,
    is_dry_in_white: bool | None = None,
    scale: "Scale | None" = None,
) -> Observations:
    """Return what a mark says without its grade.

    Args:
        mark: The mark.
        photo: Its photo; its scale, if known, gives the extent of the wet area.
        look: The inspection; when it was cleaned tells how long the area had been getting wet.
        is_dry_in_white: Whether white light shows no oil there.
        scale: As measured in the photo.
    """
    digit = wetness(mark.grade)
    measured = extent(photo, mark.outline_px, scale)
    return Observations(
        is_wet=None if digit is None else digit > 0,
        has_hanging_drop=mark.has_hanging_drop,
        do_drops_fall=_do_drops_fall(mark),
        drops_per_minute=mark.drops_per_minute,
        is_stream=mark.is_stream,
        extent_mm=measured.mm if measured else None,
        extent_sigma_mm=measured.sigma_mm if measured else None,
        minutes=mark.wet_for_min if mark.wet_for_min is not None else _minutes_since_clean(look),
        did_reappear=mark.did_reappear,
        reappears_after_min=mark.reappears_after_min,
        light=_light(photo, look),
        is_dry_in_white=is_dry_in_white,
    )


def _do_drops_fall(mark: LeakMark) -> bool | None:
    """Return whether drops fell: seen, counted, or told by a pool below."""
    if mark.pool_mm or mark.drops_per_minute:
        return True
    if mark.do_drops_fall is None and mark.drops_per_minute is not None:
        return False
    return mark.do_drops_fall


def _light(photo: Photo, look: Inspection | None) -> Light | None:
    return photo.light or (look.light if look else None)


def _minutes_since_clean(look: Inspection | None) -> float | None:
    if look is None or look.cleaned_at is None or look.cleaned_at > look.looked_at:
        return None
    return (look.looked_at - look.cleaned_at).total_seconds() / 60


def _is_dry_in_white(reader: Reader, mark: LeakMark, look: Inspection | None) -> bool | None:
    """Return what marks of the same leak say that were seen in white light at the same look."""
    if look is None:
        return None
    others: Sequence[LeakMark] = reader.all(LeakMark, leak_id=mark.leak_id)
    digits = []
    for other in others:
        photo = reader.get(Photo, other.photo_id)
        digit = wetness(other.grade)
        is_white = photo.light is Light.WHITE or (photo.light is None and look.light is Light.WHITE)
        if photo.inspection_id == look.id and is_white and digit is not None:
            digits.append(digit)
    return max(digits) == 0 if digits else None
