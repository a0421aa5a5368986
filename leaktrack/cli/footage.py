"""The commands that index videos and find when they show what a photo shows."""

from argparse import Namespace
from pathlib import Path
from typing import Any

from leaktrack import bootstrap
from leaktrack.cli.printing import TimedLine, note, say, say_json, say_table
from leaktrack.cli.stopping import stoppable
from leaktrack.model.chance import chance_words
from leaktrack.model.errors import BadInput, UnreadableVideo
from leaktrack.model.footage import FootageAnswer, FootageQuery, FoundSpan, IndexedVideo, Searched
from leaktrack.model.shapes import BoxPx
from leaktrack.workflows.clips import time_code
from leaktrack.workflows.find_footage import find_in_videos
from leaktrack.workflows.index_footage import index_video

Document = dict[str, Any]


def index(args: Namespace) -> int:
    """Index videos; one that cannot be read is told, and the others are indexed.

    Raises:
        Cancelled: Stopped by hand; what is indexed is kept.
    """
    bootstrap.configure_logging()
    indexed: list[IndexedVideo] = []
    failures: list[tuple[Path, str]] = []
    with TimedLine("Indexing") as line, stoppable(line) as progress:
        for video in map(Path, args.videos):
            try:
                indexed.append(index_video(video, progress))
            except UnreadableVideo as error:
                failures.append((video, str(error)))
    if args.json:
        say_json(_index_document(indexed, failures))
    for video, complaint in failures:
        note(f"leaktrack: {complaint or video}")
    if not args.json:
        for one in indexed:
            _tell_index(one)
    return 1 if failures else 0


def find(args: Namespace) -> int:
    """Tell when videos show what a photo shows.

    Raises:
        BadInput: The box cannot be right.
        Cancelled: Stopped by hand; what is indexed is kept.
        UnreadablePhoto: The photo is missing or damaged.
    """
    bootstrap.configure_logging()
    query = FootageQuery(photo=Path(args.query), box=_box(args.box))
    with TimedLine("Footage") as line, stoppable(line) as progress:
        answer = find_in_videos(query, [Path(video) for video in args.videos], progress)
    for remark in answer.notes:
        note(f"leaktrack: {remark}")
    if args.json:
        say_json(_document(answer))
    else:
        _tell(answer, query.photo.name)
    return 1 if answer.searched is Searched.NOTHING else 0


def _box(text: str | None) -> BoxPx | None:
    if text is None:
        return None
    try:
        x, y, width, height = (float(part) for part in text.split(","))
    except ValueError as error:
        raise BadInput(
            f"--box {text} is not understood. Give left, top, width and height in pixels of the "
            "photo seen upright, such as --box 400,300,250,200."
        ) from error
    return BoxPx(x, y, width, height)


def _document(answer: FootageAnswer) -> Document:
    return {
        "format": "leaktrack-footage",
        "version": 1,
        "spans": [_span(one) for one in answer.spans],
        "warnings": list(answer.notes),
    }


def _span(span: FoundSpan) -> Document:
    place = span.place
    return {
        "video": str(span.video),
        "start_s": span.start_ms / 1000,
        "end_s": span.end_ms / 1000,
        "best_s": span.best_ms / 1000,
        "score": round(span.score, 4),
        "place_px": None if place is None else [round(place.x, 1), round(place.y, 1)],
    }


def _tell(answer: FootageAnswer, name: str) -> None:
    if answer.searched is Searched.NOTHING:
        say(f"No video could be searched, so nobody knows whether one shows {name}.")
        return
    if not answer.spans:
        where = "" if answer.searched is Searched.ALL else "In what could be searched, "
        nothing = "nothing" if where else "Nothing"
        say(
            f"{where}{nothing} was found that shows {name}. That is no proof that it was never "
            "filmed."
        )
        return
    say_table(
        ("Video", "From", "To", "Best moment", "Chance"),
        [
            (
                span.video.name,
                time_code(span.start_ms),
                time_code(span.end_ms),
                time_code(span.best_ms),
                chance_words(span.score),
            )
            for span in answer.spans
        ],
    )


def _index_document(indexed: list[IndexedVideo], failures: list[tuple[Path, str]]) -> Document:
    return {
        "format": "leaktrack-footage-index",
        "version": 1,
        "videos": [
            {
                "video": str(one.video),
                "sha256": one.sha256,
                "duration_s": one.duration_ms / 1000,
                "indexed_s": one.indexed_ms / 1000,
                "pictures": one.frames,
                "whole": one.is_whole,
                "note": one.note,
            }
            for one in indexed
        ],
        "unreadable": [{"video": str(video), "why": why} for video, why in failures],
    }


def _tell_index(one: IndexedVideo) -> None:
    say(
        f"{one.video.name}: {time_code(one.indexed_ms)} of {time_code(one.duration_ms)} indexed, "
        f"{one.frames} pictures kept."
    )
    if one.note:
        say(one.note, indent="  ")
