"""Keep a person's word that a region found in a photo is no leak, and find it again later.

A later search may draw the same region a little differently. So what counts is how much of a new
region lies in what was dismissed: most of it, and it stays away; but a wet area that has been seen
to reach much further is proposed again.
"""

from collections.abc import Sequence
from datetime import UTC, datetime
from uuid import UUID

from leaktrack.model.photo import Photo
from leaktrack.model.record import Edit, added, removed
from leaktrack.model.shapes import area_px2, covered_share
from leaktrack.model.wet_search import Dismissal, WetRegion
from leaktrack.workflows.project import Project

MOST_DISMISSED = 0.5
"""A region that lies in what was dismissed with more than this share of its area is dismissed too.
Own judgement: twice the area is no longer what the person looked at."""


def dismiss_region(project: Project, photo_id: UUID, region: WetRegion) -> Edit:
    """Return the edit that says that a region found in a photo is no leak.

    Raises:
        MissingRecord: The photo is not there any more.
    """
    project.get(Photo, photo_id)
    word = Dismissal(
        photo_id=photo_id,
        decided_at=datetime.now(UTC),
        kind=region.kind,
        outline_px=region.outline,
        score=float(region.score),
    )
    return added(word)


def take_back_dismissal(project: Project, dismissal_id: UUID) -> Edit:
    """Return the edit that lets a dismissed region be proposed again.

    Raises:
        MissingRecord: There is no such dismissal.
    """
    return removed(project.get(Dismissal, dismissal_id))


def is_dismissed(region: WetRegion, dismissals: Sequence[Dismissal]) -> bool:
    """Return whether most of a region lies in what was dismissed of its kind in that photo."""
    same = [each.outline_px for each in dismissals if each.kind is region.kind]
    return covered_share(region.outline, same) > MOST_DISMISSED


def dismissed_region(dismissal: Dismissal, mm_per_px: float | None) -> WetRegion:
    """Return what was dismissed as a region, measured by the photo's scale where it has one."""
    area_px = area_px2(dismissal.outline_px)
    area_mm2 = None if mm_per_px is None else area_px * mm_per_px**2
    return WetRegion(dismissal.outline_px, area_px, area_mm2, None, dismissal.score, dismissal.kind)
