"""Look closely at the pictures of videos that are likeliest to show what was asked for."""

from collections import defaultdict
from collections.abc import Sequence
from contextlib import ExitStack, suppress
from pathlib import Path
from typing import TYPE_CHECKING

from leaktrack.model.errors import UnreadableVideo
from leaktrack.model.shapes import PointPx
from leaktrack.workflows.project import Progress

if TYPE_CHECKING:
    from leaktrack.imaging.footage.asking import Wanted
    from leaktrack.imaging.footage.grouping import Seen
    from leaktrack.imaging.footage.packing import Footprint
    from leaktrack.imaging.footage.shortlisting import Votes
    from leaktrack.imaging.footage.verifying import Evidence, Glance
    from leaktrack.imaging.matching.learned_matching import LearnedMatcher
    from leaktrack.imaging.sampling import VideoReader

MOST_GLANCED_AT = 10
"""So many pictures of all videos together are glanced at: each takes a tenth of a second."""

MOST_LOOKED_AT = 5
"""So many of those are looked at closely, which takes as long again."""

MOST_FOLLOWED = 2
"""Beside so many, what lies outside the picture is looked for in those before and after."""

_APART_MS = 2_500
_SURELY_PLACED = 40  # agreeing matches; own judgement

_Key = tuple[int, int]  # number of the video, and of the picture in its index


class LookingCloser:
    """The closer look for one query.

    Attributes:
        seen: Of each video, by its number, what was looked at.
        notes: What could not be looked at, and why.
    """

    def __init__(
        self,
        matcher: "LearnedMatcher",
        wanted: "Wanted",
        videos: Sequence[tuple[Path, "Footprint"]],
        votes_for: "Sequence[Votes]",
    ) -> None:
        self._matcher, self._wanted = matcher, wanted
        self._videos, self._votes = videos, votes_for
        self._found: dict[tuple[int, Seen], Evidence] = {}
        self._readers: dict[int, VideoReader] = {}
        self._broken: set[int] = set()
        self._done, self._total = 0, 0
        self.seen: defaultdict[int, list[Seen]] = defaultdict(list)
        self.notes: list[str] = []

    def at_ms(self, video: int, seen: "Seen") -> int:
        """Return when a picture that was looked at is shown."""
        if seen.at_ms is not None:
            return seen.at_ms
        return int(self._videos[video][1].at_ms[seen.number])

    def place(self, video: int, seen: "Seen") -> PointPx | None:
        """Return where what was asked for lies in a picture that was looked at."""
        return self._found[video, seen].place

    def look(self, progress: Progress) -> None:
        """Look at all that is worth it.

        Raises:
            Cancelled: Stopped by ``progress``.
        """
        chosen = self._likeliest()
        self._total = len(chosen) + MOST_LOOKED_AT
        with ExitStack() as opened:
            glances = self._glanced_at(chosen, opened, progress)
            placed = sorted(glances, key=lambda key: -glances[key].along)[:MOST_LOOKED_AT]
            close = {}
            for key in placed:
                self._tell(key[0], progress)
                close[key] = self._look(key, glances[key])
            for key in [key for key in placed if _is_beside(close[key])][:MOST_FOLLOWED]:
                self._tell(key[0], progress)
                with suppress(UnreadableVideo):
                    self._follow(key, close[key])
        for number, one in glances:
            if (number, one) not in close:
                self._note(number, one, None)

    def _likeliest(self) -> list[_Key]:
        from leaktrack.imaging.footage.shortlisting import likeliest

        ordered = sorted(
            (
                (float(mine[one]), number, one)
                for number, ((_, footprint), mine) in enumerate(
                    zip(self._videos, self._votes, strict=True)
                )
                for one in likeliest(mine, footprint, MOST_GLANCED_AT, _APART_MS)
            ),
            reverse=True,
        )[:MOST_GLANCED_AT]
        return sorted((number, one) for _, number, one in ordered)

    def _glanced_at(
        self, chosen: Sequence[_Key], opened: ExitStack, progress: Progress
    ) -> "dict[_Key, Glance]":
        """Glance at pictures; where nothing fits any of them, again at the likeliest."""
        from leaktrack.imaging.footage.verifying import glance, second_glance
        from leaktrack.imaging.sampling import VideoReader

        glances: dict[_Key, Glance] = {}
        for number, one in chosen:
            if number in self._broken:
                continue
            self._tell(number, progress)
            video, footprint = self._videos[number]
            try:
                if number not in self._readers:
                    self._readers[number] = opened.enter_context(VideoReader(video))
                frame = self._readers[number].frame_at(int(footprint.at_ms[one]))
            except UnreadableVideo as error:
                self._broken.add(number)
                self.notes.append(str(error))
                continue
            glances[number, one] = glance(self._matcher, self._wanted, frame.rgb)
        if not any(each.along for each in glances.values()):
            again = sorted(glances, key=lambda key: -self._votes[key[0]][key[1]])
            for key in again[:MOST_LOOKED_AT]:
                self._tell(key[0], progress)
                glances[key] = second_glance(self._matcher, self._wanted, glances[key])
        return glances

    def _look(self, key: _Key, glanced: "Glance") -> "Evidence":
        from leaktrack.imaging.footage.verifying import evidence

        found = evidence(self._matcher, self._wanted, glanced)
        self._note(*key, found)
        return found

    def _follow(self, key: _Key, known: "Evidence") -> None:
        """Look where what was asked for comes into the picture before or after one beside it."""
        from leaktrack.imaging.footage.following import REACH_MS, STEP_MS, followed, small_grey
        from leaktrack.imaging.footage.verifying import evidence, glance_placed, shown

        number, one = key
        at_ms, reader = int(self._videos[number][1].at_ms[one]), self._readers[number]
        assert known.plane is not None
        steps = range(-REACH_MS // STEP_MS, REACH_MS // STEP_MS + 1)
        times = [at_ms + step * STEP_MS for step in steps if at_ms + step * STEP_MS >= 0]
        greys = [small_grey(reader.frame_at(each).rgb) for each in times]
        in_sight = {}
        for each in followed(greys, times.index(at_ms), known.plane, known.size):
            share, is_enough = shown(self._wanted, each.plane, known.size)
            if is_enough:
                in_sight[each.number] = share, each.plane
        if not in_sight:
            return
        best = max(in_sight, key=lambda each: in_sight[each][0])
        frame = reader.frame_at(times[best])
        glanced = glance_placed(self._matcher, frame.rgb, in_sight[best][1])
        found = evidence(self._matcher, self._wanted, glanced)
        first, last = best, best
        while first - 1 in in_sight:
            first -= 1
        while last + 1 in in_sight:
            last += 1
        self._note(number, one, found, frame.at_ms, (times[first], times[last]))

    def _note(
        self,
        number: int,
        one: int,
        found: "Evidence | None",
        at_ms: int | None = None,
        sure_ms: tuple[int, int] | None = None,
    ) -> None:
        from leaktrack.imaging.footage.believing import chance
        from leaktrack.imaging.footage.grouping import Seen

        if found is None:
            self.seen[number].append(Seen(one, 0.0))
            return
        strength = found.inside * found.spread * found.in_sight
        seen = Seen(one, chance(found), strength, at_ms, sure_ms)
        self.seen[number].append(seen)
        self._found[number, seen] = found

    def _tell(self, number: int, progress: Progress) -> None:
        progress(self._done, self._total, f"looking at {self._videos[number][0].name}")
        self._done = min(self._done + 1, self._total)


def _is_beside(found: "Evidence") -> bool:
    """Whether a picture surely shows what lies beside what was asked for, but not that."""
    return found.plane is not None and not found.inside and found.agreeing >= _SURELY_PLACED
