"""How often a photo's zone is recognised among the photos of one engine, leaving the photo out."""

from collections.abc import Sequence

from leaktrack.imaging.matching.learned_matching import Features, LearnedMatcher
from leaktrack.imaging.resembling import SURELY_SAME_PLACE, likeness, look, sameness
from leaktrack.places import resource
from tests.accuracy.measure_align import features_of
from tests.accuracy.truth import TruePhoto, TrueZone


def report(zones: Sequence[TrueZone], every: int) -> None:
    """Print how often the likest, and how often the surest photo is of the right zone."""
    matcher = LearnedMatcher(resource("models"))
    by_engine: dict[str, list[TruePhoto]] = {}
    for zone in zones:
        by_engine.setdefault(zone.name.split("/")[0], []).extend(zone.photos)
    several = [photos for photos in by_engine.values() if len({p.zone for p in photos}) > 1]
    for photos in several:
        _report_engine(matcher, photos, every)


def _report_engine(matcher: LearnedMatcher, photos: list[TruePhoto], every: int) -> None:
    seen = {photo.name: features_of(matcher, photo) for photo in photos}
    looks = {name: look(features) for name, features in seen.items()}
    by_look = by_matches = surely = surely_wrong = 0
    asked = photos[::every]
    for photo in asked:
        others = [other for other in photos if other.name != photo.name]
        likest = max(others, key=lambda o: likeness(looks[photo.name], looks[o.name]))
        by_look += likest.zone == photo.zone
        sure = {o.name: _sameness(matcher, seen[photo.name], seen[o.name]) for o in others}
        surest = max(others, key=lambda o: sure[o.name])
        by_matches += surest.zone == photo.zone
        is_sure = sure[surest.name] >= SURELY_SAME_PLACE
        surely += is_sure
        surely_wrong += is_sure and surest.zone != photo.zone
    print(f"{len(asked)} photos of {len({p.zone for p in photos})} zones")
    print(f"likest photo is of the right zone: {by_look}")
    print(f"surest photo is of the right zone: {by_matches}")
    print(f"given as sure: {surely}, of these wrong: {surely_wrong}")


def _sameness(matcher: LearnedMatcher, one: Features, other: Features) -> float:
    return sameness(one, other, matcher.matches(one, other))
