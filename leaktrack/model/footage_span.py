"""A stretch of a video with a name, as it is handed on to other programs and taken from them."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class NamedSpan:
    """A stretch of one video, in whole milliseconds from its first frame.

    Attributes:
        end_ms: None: to the end of the video.
        name: One line of text.
        source: Which video, as the file that told of it says; empty where it does not.
    """

    start_ms: int
    end_ms: int | None
    name: str = ""
    source: str = ""
