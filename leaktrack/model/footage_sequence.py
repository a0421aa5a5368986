"""Several clips as one: the footage of a day in the order in which it was recorded."""

from dataclasses import dataclass
from datetime import date
from itertools import accumulate
from uuid import UUID

from leaktrack.model.photo import Clip


@dataclass(frozen=True, slots=True)
class FootageSequence:
    """Clips that follow each other without a gap; its times run through them.

    Attributes:
        clips: In the order of their recording.
        day: By the camera's clock; None where it did not say.
    """

    clips: tuple[Clip, ...] = ()
    day: date | None = None

    @property
    def duration_ms(self) -> int:
        """How long all of it lasts."""
        return sum(clip.duration_ms for clip in self.clips)

    @property
    def starts_ms(self) -> tuple[int, ...]:
        """When each clip begins."""
        return tuple(accumulate((clip.duration_ms for clip in self.clips), initial=0))[:-1]

    def start_of(self, clip_id: UUID | None) -> int | None:
        """Return when a clip begins; None where it is none of these."""
        for clip, start_ms in zip(self.clips, self.starts_ms, strict=True):
            if clip.id == clip_id:
                return start_ms
        return None

    def at(self, ms: int) -> tuple[Clip, int]:
        """Return the clip that runs at a time, and the time within it; beyond the ends the nearest.

        Raises:
            ValueError: There is no clip.
        """
        if not self.clips:
            raise ValueError("an empty sequence shows nothing at any time")
        before = [index for index, start_ms in enumerate(self.starts_ms) if start_ms <= ms]
        index = before[-1] if before else 0
        clip = self.clips[index]
        return clip, min(max(0, ms - self.starts_ms[index]), clip.duration_ms)
