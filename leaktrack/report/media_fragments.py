"""Spans of footage as links to a stretch of a video, written and read back.

Source:
    W3C, Media Fragments URI 1.0 (basic), Recommendation 2012-09-25, section 4.2.1 (temporal
    dimension, normal play time); RFC 2483, section 5 (text/uri-list: one link in each line, lines
    that begin with # are comments).
"""

import re
from collections.abc import Iterable
from urllib.parse import unquote

from leaktrack.model.errors import BadInput
from leaktrack.model.footage_span import NamedSpan

_NPT = re.compile(r"(?:(?:(\d+):)?([0-5]\d):)?([0-5]?\d|\d+)(?:\.(\d*))?")


def as_fragment(uri: str, span: NamedSpan) -> str:
    """Return a link to a span of a video.

    >>> as_fragment("film.mp4", NamedSpan(8_240, 24_760))
    'film.mp4#t=8.24,24.76'
    >>> as_fragment("film.mp4", NamedSpan(1_000, None))
    'film.mp4#t=1'
    """
    end = "" if span.end_ms is None else f",{_seconds(span.end_ms)}"
    return f"{uri}#t={_seconds(span.start_ms)}{end}"


def as_uri_list(links: Iterable[tuple[str, NamedSpan]]) -> str:
    """Return links to spans as a text/uri-list, each below a comment with its name."""
    lines: list[str] = []
    for uri, span in links:
        if span.name.strip():
            lines.append(f"# {' '.join(span.name.split())}")
        lines.append(as_fragment(uri, span))
    return "\r\n".join(lines) + "\r\n"


def read_uri_list(text: str, name: str) -> tuple[NamedSpan, ...]:
    """Return the spans of a list of links; a comment names the link below it.

    Raises:
        BadInput: A line has no stretch of time that can be read; says which.
    """
    spans: list[NamedSpan] = []
    title = ""
    for number, line in enumerate(text.removeprefix("\ufeff").splitlines(), start=1):
        if line.startswith("#"):
            title = line.lstrip("#").strip()
        elif line.strip():
            span = read_fragment(line.strip(), f"{name}, line {number}")
            spans.append(NamedSpan(span.start_ms, span.end_ms, title, span.source))
            title = ""
    return tuple(spans)


def read_fragment(uri: str, place: str = "the link") -> NamedSpan:
    """Return the span that a link leads to.

    Args:
        uri: With ``#t=``.
        place: Where it stands, for an error.

    Raises:
        BadInput: It names no stretch of time that can be read.

    >>> read_fragment("a%20film.mp4#t=0:02:00,121.5")
    NamedSpan(start_ms=120000, end_ms=121500, name='', source='a film.mp4')
    """
    source, _, fragment = uri.partition("#")
    # Where a name stands twice, the last one counts.
    parts = (part.partition("=") for part in fragment.split("&"))
    value = {unquote(key): unquote(each) for key, _, each in parts}.get("t", "")
    start, comma, end = value.removeprefix("npt:").partition(",")
    if not start and not end:
        raise BadInput(f"{place}: '{uri[:60]}' has no #t= with a start. Nothing was changed.")
    start_ms = _ms(start, place) if start else 0
    end_ms = _ms(end, place) if comma else None
    if end_ms is not None and end_ms <= start_ms:
        raise BadInput(f"{place}: the span ends before it begins. Nothing was changed.")
    return NamedSpan(start_ms, end_ms, source=unquote(source))


def _ms(text: str, place: str) -> int:
    found = _NPT.fullmatch(text)
    if found is None:
        raise BadInput(
            f"{place}: '{text}' is no time in seconds as 83.45, nor as 0:01:23.45. "
            "Nothing was changed."
        )
    hours, minutes, seconds, part = found.groups()
    whole = (int(hours or 0) * 60 + int(minutes or 0)) * 60 + int(seconds)
    return whole * 1000 + round(float(f"0.{part or 0}") * 1000)


def _seconds(ms: int) -> str:
    return f"{ms / 1000:.3f}".rstrip("0").rstrip(".")
