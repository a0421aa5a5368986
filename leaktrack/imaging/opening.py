"""Open video files; what cannot be opened is told in words for people."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from leaktrack.model.errors import UnreadableVideo

if TYPE_CHECKING:
    from av.container import InputContainer
    from av.video.stream import VideoStream


def opened_video(path: Path) -> "tuple[InputContainer, VideoStream]":
    """Return an open video file and its stream of pictures; whoever opens it closes it.

    Raises:
        UnreadableVideo: The file is missing or damaged, is no video, or has no picture.
    """
    # PyAV takes a tenth of a second to load, and only those who open a video need it.
    import av

    with telling_damage(path):
        container = av.open(str(path))
    if not container.streams.video:
        container.close()
        raise UnreadableVideo(f"{path.name} has no picture. Choose a video file.")
    return container, container.streams.video[0]


def leave_out_side_pictures(stream: "VideoStream") -> None:
    """Do not decode pictures that hardly any other builds on.

    H.264 has enough without pictures that look ahead; other codecs may have no others.
    """
    codec = stream.codec_context
    codec.skip_frame = "BIDIR" if codec.name == "h264" else "NONREF"


@contextmanager
def telling_damage(path: Path) -> Iterator[None]:
    """Turn what FFmpeg says of a file into words for people."""
    from av.error import FFmpegError

    try:
        yield
    except FFmpegError as error:
        raise UnreadableVideo(
            f"{path.name} cannot be opened as a video ({error.strerror}). "
            "Copy it again from the camera."
        ) from error
