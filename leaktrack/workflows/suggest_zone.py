"""Suggest which zone a photo shows, from similar photos whose zone is known."""

from collections import defaultdict
from dataclasses import dataclass
from uuid import UUID

from leaktrack.model.photo import Photo
from leaktrack.workflows.find_features import features_of, sameness_of
from leaktrack.workflows.project import Project

_PHOTOS_PER_ZONE = 3
"""The newest ones; more cost time and look the same."""

_CLOSER_LOOKS = 10
"""At most so many of the most alike photos are compared point by point, half a second each."""


@dataclass(frozen=True, slots=True)
class ZoneSuggestion:
    """A zone that a photo may show.

    Attributes:
        score: 0.5 to 1: how surely photos of the zone show the same place.
    """

    zone_id: UUID
    score: float


def suggest_zone(project: Project, photo_id: UUID) -> tuple[ZoneSuggestion, ...]:
    """Return the zone whose photos surely show the same place as this one.

    The most alike photos are compared first, until one is sure: a wrong zone hardly ever is.

    Returns:
        One suggestion, or none.

    Raises:
        MissingRecord: There is no such photo.
        UnreadablePhoto: A photo's file is missing or damaged.
    """
    # OpenCV takes a while to load, and the window imports this before it stands.
    from leaktrack.imaging.resembling import SURELY_SAME_PLACE

    photo = project.get(Photo, photo_id)
    for other in _most_alike(project, photo)[:_CLOSER_LOOKS]:
        found = sameness_of(project, other, photo)
        if found >= SURELY_SAME_PLACE and other.zone_id is not None:
            return (ZoneSuggestion(other.zone_id, found / (found + SURELY_SAME_PLACE)),)
    return ()


def _most_alike(project: Project, photo: Photo) -> list[Photo]:
    """Return the newest photos of each zone, the most alike first."""
    from leaktrack.imaging.resembling import likeness, look

    by_zone: dict[UUID, list[Photo]] = defaultdict(list)
    for other in project.all(Photo):  # in the order of import
        if other.zone_id is not None and other.id != photo.id:
            by_zone[other.zone_id].append(other)
    newest = [other for photos in by_zone.values() for other in photos[-_PHOTOS_PER_ZONE:]]
    seen = look(features_of(project, photo))
    return sorted(
        newest, key=lambda other: likeness(seen, look(features_of(project, other))), reverse=True
    )
