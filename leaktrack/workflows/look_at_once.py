"""Look at several pictures of videos at once, as many as there are processors."""

from collections.abc import Callable, Iterable, Iterator, Mapping

from leaktrack.imaging.carrying.sharing import each_in_turn
from leaktrack.imaging.footage.asking import Wanted
from leaktrack.imaging.footage.verifying import Evidence, Glance, evidence, glance, second_glance
from leaktrack.imaging.matching.learned_matching import LearnedMatcher, Rgb

Key = tuple[int, int]
"""Number of the video, and of the picture in its index."""


class LookingAtOnce:
    """Looks for one query; the results come by what was looked at, in the order given.

    Args:
        matcher: The two networks.
        wanted: What is looked for.
        pause: Called before each look is waited for; may raise to stop.
    """

    def __init__(self, matcher: LearnedMatcher, wanted: Wanted, pause: Callable[[], None]) -> None:
        self._matcher, self._wanted, self._pause = matcher, wanted, pause

    def glances(self, pictures: Iterable[tuple[Key, Rgb]]) -> dict[Key, Glance]:
        """Glance at pictures, while the next ones are decoded; see ``glance``."""
        keys: list[Key] = []

        def frames() -> Iterator[Rgb]:
            for key, rgb in pictures:
                keys.append(key)
                yield rgb

        def work(rgb: Rgb) -> Glance:
            return glance(self._matcher, self._wanted, rgb)

        found = each_in_turn(work, frames(), self._pause)
        return dict(zip(keys, found, strict=True))

    def second_glances(self, first: Mapping[Key, Glance]) -> dict[Key, Glance]:
        """Glance again; see ``second_glance``."""

        def work(seen: Glance) -> Glance:
            return second_glance(self._matcher, self._wanted, seen)

        return dict(zip(first, each_in_turn(work, first.values(), self._pause), strict=True))

    def evidence(self, glances: Mapping[Key, Glance]) -> dict[Key, Evidence]:
        """Look closely where it was glanced; see ``evidence``."""

        def work(seen: Glance) -> Evidence:
            return evidence(self._matcher, self._wanted, seen)

        return dict(zip(glances, each_in_turn(work, glances.values(), self._pause), strict=True))
