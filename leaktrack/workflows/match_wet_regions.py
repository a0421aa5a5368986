"""Say of each change that was found in a photo which leak it is, if one is known there.

Pure reasoning about shapes, quick enough to be done anew after each edit.
"""

from collections.abc import Sequence
from dataclasses import replace
from uuid import UUID

from leaktrack.model.leak import LeakMark
from leaktrack.model.place import PlaceState
from leaktrack.model.shapes import Outline, PointPx, contains, nearest_on_path
from leaktrack.model.wet_search import WetKind, WetRegion
from leaktrack.workflows.propose_marks import MarkProposal

_SIGMAS = 2.0
"""A carried source that near to a region may lie on it: 95 % of them lie within two."""

_LEAST_REACH_PX = 8.0
"""Own judgement: a person hardly clicks a source more exactly than that."""

LEAST_CHANCE = 0.33
"""Less likely changes are not proposed. Own judgement: below, most proposals waste a person's look;
it is where "about as likely as not" begins."""


def worth_a_look(regions: Sequence[WetRegion]) -> tuple[WetRegion, ...]:
    """Return the regions that are likely enough to ask a person about."""
    return tuple(one for one in regions if one.score >= LEAST_CHANCE)


def match_wet_regions(
    photo_id: UUID,
    regions: Sequence[WetRegion],
    marks: Sequence[LeakMark],
    carried: Sequence[MarkProposal],
) -> tuple[MarkProposal, ...]:
    """Return all proposals for a photo: what was found, likeliest first, then what was carried.

    A wet region where a carried leak lies is proposed as that leak's mark, in its place; one where
    none lies as a new leak. A dried region is proposed where a carried leak lies only: there is
    nothing to say of others. A region where the photo has a mark already is answered.

    Args:
        photo_id: The photo.
        regions: What was found in it, likeliest first; unlikely ones are left out.
        marks: The marks that it has.
        carried: The leaks it has no mark of, at their places in it.
    """
    waiting = list(carried)
    found = []
    for region in worth_a_look(regions):
        if any(_lies_on(region, mark.source_px, mark.outline_px) for mark in marks):
            continue
        leak = _nearest(region, waiting)
        if leak is not None:
            waiting.remove(leak)
            found.append(_of_leak(leak, region))
        elif region.kind is WetKind.WET:
            found.append(
                MarkProposal(
                    photo_id,
                    None,
                    PlaceState.UNKNOWN,
                    source_px=highest(region.outline),
                    outline_px=region.outline,
                    found=region,
                )
            )
    return (*found, *waiting)


def as_new_leak(proposal: MarkProposal) -> MarkProposal:
    """Return a proposal for the same place without the leak that is thought to lie there."""
    outline_px = proposal.found.outline if proposal.found is not None else proposal.outline_px
    return replace(proposal, leak=None, source_px=highest(outline_px), outline_px=outline_px)


def highest(outline: Outline) -> PointPx:
    """Return the highest corner: oil runs down, so it starts there if it starts in the picture."""
    return min(outline, key=lambda corner: corner.y)


def _of_leak(carried: MarkProposal, region: WetRegion) -> MarkProposal:
    if region.kind is WetKind.DRIED:
        return replace(carried, found=region)
    source = carried.source_px
    if source is None or _distance_px(region.outline, source) > _reach_px(carried):
        source = highest(region.outline)
    return replace(carried, source_px=source, outline_px=region.outline, found=region)


def _nearest(region: WetRegion, waiting: Sequence[MarkProposal]) -> MarkProposal | None:
    """Return the carried leak that lies on a region; of several, the nearest source."""
    on_it = [
        each
        for each in waiting
        if _lies_on(region, each.source_px, each.outline_px, _reach_px(each))
    ]
    return min(on_it, key=lambda each: _distance_px(region.outline, each.source_px), default=None)


def _reach_px(carried: MarkProposal) -> float:
    return max(_LEAST_REACH_PX, _SIGMAS * (carried.sigma_px or 0.0))


def _lies_on(
    region: WetRegion,
    source: PointPx | None,
    outline: Outline,
    reach_px: float = _LEAST_REACH_PX,
) -> bool:
    """Return whether a mark's source, or a part of its wet area, lies on a region."""
    if _distance_px(region.outline, source) <= reach_px:
        return True
    if len(outline) < 3:
        return False
    return any(contains(region.outline, corner) for corner in outline) or any(
        contains(outline, corner) for corner in region.outline
    )


def _distance_px(outline: Outline, at: PointPx | None) -> float:
    if at is None:
        return float("inf")
    if contains(outline, at):
        return 0.0
    return nearest_on_path(outline, at, is_closed=True).distance_px
