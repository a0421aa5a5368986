"""Spans of footage as WebVTT chapters, written and read back.

Source:
    W3C, WebVTT: The Web Video Text Tracks Format, Candidate Recommendation 2019-04-04, sections 4
    (syntax) and 6 (parsing).
"""

import re
from collections.abc import Iterable

from leaktrack.model.errors import BadInput
from leaktrack.model.footage_span import NamedSpan

_ARROW = "-->"
_TIME = re.compile(r"(?:(\d{2,}):)?([0-5]\d):([0-5]\d)\.(\d{3})")
_TAG = re.compile(r"<[^>]*>")
_ENTITIES = (("&lt;", "<"), ("&gt;", ">"), ("&nbsp;", "\u00a0"), ("&amp;", "&"))
_FILE = "NOTE sha256 "
_SKIPPED = ("NOTE", "STYLE", "REGION")


def as_webvtt(spans: Iterable[NamedSpan], sha256: str = "") -> str:
    """Return spans of one video as a WebVTT file, one chapter each, earliest first.

    Args:
        spans: Each with an end.
        sha256: Of the video, kept in a comment so that the file can be told again.
    """
    blocks = ["WEBVTT"]
    if sha256:
        blocks.append(f"{_FILE}{sha256}")
    for span in sorted(spans, key=lambda each: (each.start_ms, -(each.end_ms or 0))):
        # A cue must end after it begins, and a frame that was marked lasts no time.
        end_ms = max(span.start_ms + 1, span.start_ms if span.end_ms is None else span.end_ms)
        times = f"{webvtt_time(span.start_ms)} {_ARROW} {webvtt_time(end_ms)}"
        blocks.append(f"{times}\n{_escaped(span.name)}" if span.name.strip() else times)
    return "\n\n".join(blocks) + "\n"


def read_webvtt(text: str, name: str) -> tuple[tuple[NamedSpan, ...], str]:
    """Return the spans of a WebVTT file, and the hash of its video; empty where none is told.

    Args:
        text: The whole file.
        name: What to call the file in an error.

    Raises:
        BadInput: It is no WebVTT, or a line of it cannot be read; says which.
    """
    lines = text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n").split("\n")
    if not re.match(r"WEBVTT(?:[ \t]|$)", lines[0]):
        raise BadInput(f"{name}, line 1: a WebVTT file begins with WEBVTT. Nothing was changed.")
    spans: list[NamedSpan] = []
    sha256 = ""
    for number, block in _blocks(lines):
        if block[0].startswith(_FILE):
            sha256 = block[0].removeprefix(_FILE).strip()
        if block[0].split(" ")[0].split("\t")[0] in _SKIPPED and _ARROW not in block[0]:
            continue
        place = next((at for at, line in enumerate(block[:2]) if _ARROW in line), None)
        if place is None:
            raise BadInput(
                f"{name}, line {number}: '{block[0][:40]}' is followed by no times. "
                "Nothing was changed."
            )
        start_ms, end_ms = _times(block[place], f"{name}, line {number + place}")
        spans.append(NamedSpan(start_ms, end_ms, _plain(block[place + 1 :])))
    return tuple(spans), sha256


def webvtt_time(ms: int) -> str:
    """Return a time as WebVTT writes it.

    >>> webvtt_time(83_450), webvtt_time(360_000_001)
    ('00:01:23.450', '100:00:00.001')
    """
    seconds, rest = divmod(ms, 1000)
    return f"{seconds // 3600:02}:{seconds // 60 % 60:02}:{seconds % 60:02}.{rest:03}"


def _blocks(lines: list[str]) -> Iterable[tuple[int, list[str]]]:
    """Yield what stands between empty lines after the head, with the number of its first line."""
    block: list[str] = []
    head_ends = next((at for at, line in enumerate(lines) if not line), len(lines))
    for number, line in enumerate([*lines[head_ends:], ""], start=head_ends + 1):
        if line:
            block.append(line)
        elif block:
            yield number - len(block), block
            block = []


def _times(line: str, place: str) -> tuple[int, int]:
    start, _, rest = line.partition(_ARROW)
    times = [_ms(each, place) for each in (start.strip(), rest.split()[0] if rest.split() else "")]
    if times[1] <= times[0]:
        raise BadInput(f"{place}: the span ends before it begins. Nothing was changed.")
    return times[0], times[1]


def _ms(text: str, place: str) -> int:
    found = _TIME.fullmatch(text)
    if found is None:
        raise BadInput(f"{place}: '{text}' is no time as 00:01:23.450. Nothing was changed.")
    hours, minutes, seconds, ms = (int(each or 0) for each in found.groups())
    return ((hours * 60 + minutes) * 60 + seconds) * 1000 + ms


def _escaped(name: str) -> str:
    line = " ".join(name.split())
    return line.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")


def _plain(lines: list[str]) -> str:
    text = _TAG.sub("", " ".join(lines))
    for entity, letter in _ENTITIES:
        text = text.replace(entity, letter)
    return text.strip()
