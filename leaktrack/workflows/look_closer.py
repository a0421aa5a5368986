"""Look closely at the pictures of videos that are likeliest to show what was asked for."""

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from contextlib import ExitStack, suppress
from itertools import islice
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from leaktrack.model.errors import UnreadableVideo
from leaktrack.model.shapes import PointPx
from leaktrack.workflows.project import Progress

if TYPE_CHECKING:
    from leaktrack.imaging.footage.asking import Wanted
    from leaktrack.imaging.footage.grouping import Seen
    from leaktrack.imaging.footage.packing import Footprint
    from leaktrack.imaging.footage.shortlisting import PointsAsked
    from leaktrack.imaging.footage.verifying import Evidence, Glance, Plane
    from leaktrack.imaging.matching.learned_matching import LearnedMatcher, Rgb
    from leaktrack.imaging.sampling import Frame, VideoReader
    from leaktrack.workflows.look_at_once import LookingAtOnce

MOST_GLANCED_AT = 10
"""So many pictures of all videos together are glanced at: each takes 0.16 s of processor."""

MOST_LOOKED_AT = 5
"""So many of those are looked at closely, which takes 0.35 s each."""

FIRST_GLANCED_AT, FIRST_LOOKED_AT = 4, 2
"""Of those so many first: what one surely shows need not be looked at again beside it."""

SURE = 0.95
"""Own judgement."""

MOST_FOLLOWED = 2
"""Beside so many, what lies outside the picture is looked for in those before and after."""

_APART_MS = 2_500
_SURELY_PLACED = 40  # agreeing matches; own judgement
_FAR = 12  # pictures from one that shows what lies beside; a longer way is not sure enough

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
    ) -> None:
        from leaktrack.imaging.footage.packing import Footprint

        self._matcher, self._wanted, self._videos = matcher, wanted, videos
        # One after another in one row, as if they were one: cuts divide them as they divide takes.
        self._row = Footprint.joined([footprint for _, footprint in videos])
        self._starts = np.cumsum([0, *(len(each.at_ms) for _, each in videos)])
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

    def look(self, looks: "Sequence[PointsAsked]", progress: Progress) -> None:
        """Look at all that is worth it.

        Args:
            looks: Points of the query.
            progress: Called before each picture; may raise Cancelled.

        Raises:
            Cancelled: Stopped by ``progress``.
        """
        from leaktrack.imaging.footage.shortlisting import likeliest, votes
        from leaktrack.workflows.look_at_once import LookingAtOnce

        voted = votes(self._row, looks)
        chosen = likeliest(voted, self._row, MOST_GLANCED_AT, _APART_MS)
        order = [self._key(one) for one in chosen]
        self._total = len(chosen) + MOST_LOOKED_AT
        at_once = LookingAtOnce(self._matcher, self._wanted, lambda: self._tell(progress))
        with ExitStack() as opened:
            pictures: dict[_Key, Rgb] = {}
            first, later = order[:FIRST_GLANCED_AT], order[FIRST_GLANCED_AT:]
            glances = at_once.glances(self._decoded(order, first, pictures, opened, progress))
            close = self._looked_at(self._worth_it(glances, 1)[:FIRST_LOOKED_AT], glances, at_once)
            left = [key for key in later if key in pictures and not self._is_known(key)]
            glances |= at_once.glances((key, pictures[key]) for key in left)
            if not any(each.along for each in glances.values()):
                again = [key for key in order if key in glances][:MOST_LOOKED_AT]
                glances |= at_once.second_glances({key: glances[key] for key in again})
            worth = [
                key
                for key in self._worth_it(glances, None)
                if key not in close and not self._is_known(key)
            ]
            close |= self._looked_at(worth[: MOST_LOOKED_AT - len(close)], glances, at_once)
            for key in [key for key in close if _is_beside(close[key])][:MOST_FOLLOWED]:
                self._tell(progress)
                with suppress(UnreadableVideo):
                    self._look_beside(key, close[key])
        for number, one in glances:
            if (number, one) not in close:
                self._note(number, one, None)

    def _key(self, place: int) -> _Key:
        """Return which picture of which video stands at a place of the row."""
        number = int(np.searchsorted(self._starts, place, side="right")) - 1
        return number, place - int(self._starts[number])

    def _is_known(self, key: _Key) -> bool:
        """Whether a picture need not be looked at: from one that was, it surely stays in sight."""
        return any(
            one.score >= SURE and one.stays is not None and one.stays[0] <= key[1] <= one.stays[1]
            for one in self.seen[key[0]]
        )

    def _worth_it(self, glances: "dict[_Key, Glance]", of_each_take: int | None) -> list[_Key]:
        """Return those worth a closer look, best first, but first so many of each take.

        Args:
            glances: What they are chosen from.
            of_each_take: None: few, as long as others are, but of a long take more.
        """
        from leaktrack.imaging.footage.taking import places_for, takes

        take_of, places = takes(self._row), places_for(self._row)
        order = sorted(glances, key=lambda key: -glances[key].along)
        order = [key for key in order if glances[key].along]
        is_late, of_take = {}, Counter[int]()
        for key in order:
            place = int(self._starts[key[0]]) + key[1]
            is_late[key] = of_take[take_of[place]] >= (of_each_take or places[place])
            of_take[take_of[place]] += 1
        return sorted(order, key=lambda key: is_late[key])

    def _looked_at(
        self, keys: Sequence[_Key], glances: "dict[_Key, Glance]", at_once: "LookingAtOnce"
    ) -> "dict[_Key, Evidence]":
        found = at_once.evidence({key: glances[key] for key in keys})
        for key, each in found.items():
            self._note(*key, each)
        return found

    def _decoded(
        self,
        keys: Sequence[_Key],
        wanted: Sequence[_Key],
        pictures: "dict[_Key, Rgb]",
        opened: ExitStack,
        progress: Progress,
    ) -> "Iterator[tuple[_Key, Rgb]]":
        """Decode pictures and keep them, and give out those wanted now."""
        for key in sorted(keys):  # in the order of the film: less is decoded
            self._tell(progress)
            frame = self._frame(key, opened)
            if frame is not None:
                pictures[key] = frame.rgb
                if key in wanted:
                    yield key, frame.rgb

    def _frame(self, key: _Key, opened: ExitStack) -> "Frame | None":
        """Return a picture of the index as the video shows it; None where it cannot be read."""
        from leaktrack.imaging.sampling import VideoReader

        number, one = key
        if number in self._broken:
            return None
        video, footprint = self._videos[number]
        try:
            if number not in self._readers:
                self._readers[number] = opened.enter_context(VideoReader(video, is_sparse=True))
            return self._readers[number].frame_at(int(footprint.at_ms[one]))
        except UnreadableVideo as error:
            self._broken.add(number)
            self.notes.append(str(error))
            return None

    def _look_beside(self, key: _Key, known: "Evidence") -> None:
        """Look where what was asked for comes into the picture before or after one beside it."""
        from leaktrack.imaging.footage.taking import carried
        from leaktrack.imaging.footage.verifying import evidence, glance_placed, shown

        number, one = key
        footprint = self._videos[number][1]
        assert known.plane is not None
        found: list[tuple[float, int, Plane]] = []
        for step in (-1, 1):
            for there, plane in islice(
                carried(footprint, one, step, known.plane, known.size), _FAR
            ):
                share, is_enough = shown(self._wanted, plane, known.size)
                if is_enough:
                    found.append((share, there, plane))
        if not found:
            self._follow(key, known.plane, known.size)
            return
        _, there, plane = max(found, key=lambda each: each[0])
        frame = self._readers[number].frame_at(int(footprint.at_ms[there]))
        glanced = glance_placed(self._matcher, frame.rgb, plane)
        self._note(number, there, evidence(self._matcher, self._wanted, glanced))

    def _follow(self, key: _Key, plane: "Plane", size: tuple[int, int]) -> None:
        """Look between the pictures of the index: it may come into sight there only."""
        from leaktrack.imaging.footage.following import REACH_MS, STEP_MS, followed, small_grey
        from leaktrack.imaging.footage.verifying import evidence, glance_placed, shown

        number, one = key
        at_ms, reader = int(self._videos[number][1].at_ms[one]), self._readers[number]
        steps = range(-REACH_MS // STEP_MS, REACH_MS // STEP_MS + 1)
        times = [at_ms + step * STEP_MS for step in steps if at_ms + step * STEP_MS >= 0]
        greys = [small_grey(reader.frame_at(each).rgb) for each in times]
        in_sight = {}
        for each in followed(greys, times.index(at_ms), plane, size):
            share, is_enough = shown(self._wanted, each.plane, size)
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

    def _stays(self, key: _Key, found: "Evidence") -> tuple[int, int]:
        """Return the first and the last picture between which it stays in sight."""
        from leaktrack.imaging.footage.taking import carried
        from leaktrack.imaging.footage.verifying import shown

        number, one = key
        assert found.plane is not None
        ends = []
        for step in (-1, 1):
            end = one
            for there, plane in carried(
                self._videos[number][1], one, step, found.plane, found.size
            ):
                if not shown(self._wanted, plane, found.size)[1]:
                    break
                end = there
            ends.append(end)
        return ends[0], ends[1]

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
        stays = None
        if found.inside and at_ms is None:
            stays = self._stays((number, one), found)
        seen = Seen(one, chance(found), strength, at_ms, sure_ms, stays)
        self.seen[number].append(seen)
        self._found[number, seen] = found

    def _tell(self, progress: Progress) -> None:
        progress(self._done, self._total, "looking at pictures")
        self._done = min(self._done + 1, self._total)


def _is_beside(found: "Evidence") -> bool:
    """Whether a picture surely shows what lies beside what was asked for, but not that."""
    return found.plane is not None and not found.inside and found.agreeing >= _SURELY_PLACED
