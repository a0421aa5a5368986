"""Print results on standard output, and everything else on standard error."""

import json
import os
import shutil
import sys
import textwrap
import time
from collections.abc import Sequence
from io import TextIOWrapper
from pathlib import Path
from typing import Any, Self, TextIO

_WIDEST = 100  # longer lines are hard to read
_NARROWEST = 30
_GAP = "  "
_SECONDS_BETWEEN_LINES = 5.0
_SECONDS_TO_KNOW_THE_PACE = 2.0


def make_output_safe() -> None:
    """Let no letter stop the program: what a terminal cannot show is written as its code.

    Output that was closed before the program began, as in ``leaktrack show >&-``, goes nowhere.
    """
    sys.stdout = sys.stdout or _nowhere()
    sys.stderr = sys.stderr or _nowhere()
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")


def _nowhere() -> TextIO:
    return Path(os.devnull).open("w", encoding="utf-8")


def say(text: str = "", indent: str = "") -> None:
    """Print a sentence of the result, wrapped to the terminal."""
    for line in text.split("\n"):
        print(
            textwrap.fill(
                line,
                _width(),
                initial_indent=indent,
                subsequent_indent=" " * len(indent),
                break_on_hyphens=False,
                break_long_words=False,
            )
        )


def note(text: str) -> None:
    """Print a message that is no part of the result."""
    print(text, file=sys.stderr, flush=True)


def say_json(document: dict[str, Any]) -> None:
    """Print the result as one JSON document."""
    is_unicode = (sys.stdout.encoding or "").lower().replace("-", "") == "utf8"
    print(json.dumps(document, indent=2, ensure_ascii=not is_unicode))


def say_table(columns: Sequence[str], rows: Sequence[Sequence[str]]) -> None:
    """Print rows under their columns, or as lists of names and values where they do not fit."""
    widths = [max(map(len, column)) for column in zip(columns, *rows, strict=True)]
    if sum(widths) + len(_GAP) * (len(widths) - 1) > _width():
        _say_lists(columns, rows)
        return
    for row in (columns, ["-" * width for width in widths], *rows):
        cells = (cell.ljust(width) for cell, width in zip(row, widths, strict=True))
        print(_GAP.join(cells).rstrip())


def _say_lists(columns: Sequence[str], rows: Sequence[Sequence[str]]) -> None:
    for row in rows:
        say(f"{columns[0]} {row[0]}")
        for name, value in zip(columns[1:], row[1:], strict=True):
            if value:
                say(f"{name}: {value}", indent="  ")


def _width() -> int:
    return max(_NARROWEST, min(_WIDEST, shutil.get_terminal_size((80, 24)).columns))


class ProgressLine:
    """Tells on standard error how far work is: one line that changes, or now and then a line."""

    def __init__(self, doing: str) -> None:
        self._doing = doing
        self._is_live = sys.stderr.isatty()
        self._next_line_at = time.monotonic() + _SECONDS_BETWEEN_LINES
        self._shown = 0

    def __call__(self, done: int, total: int, what: str) -> None:
        """Take note of progress."""
        text = f"{self._doing}: {self._told(done, total, what)}"
        if self._is_live:
            self._rewrite(text[: _width() - 1])
        elif time.monotonic() >= self._next_line_at:
            self._next_line_at = time.monotonic() + _SECONDS_BETWEEN_LINES
            note(text)

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        if self._shown:
            self._rewrite("")

    def _told(self, done: int, total: int, what: str) -> str:
        return f"{done} of {total}, {what}"

    def _rewrite(self, text: str) -> None:
        print(f"\r{text.ljust(self._shown)}", end="\r" if not text else "", file=sys.stderr)
        sys.stderr.flush()
        self._shown = len(text)


class TimedLine(ProgressLine):
    """Tells how far work is in percent, and how long it will still take at this pace."""

    def __init__(self, doing: str) -> None:
        super().__init__(doing)
        self._began: tuple[str, int, float] = ("", 0, 0.0)

    def _told(self, done: int, total: int, what: str) -> str:
        now = time.monotonic()
        if self._began[0] != what or done < self._began[1]:
            self._began = what, done, now
        if total <= 0:
            return what
        text = f"{what}, {100 * done // total} %"
        gone, since_s = done - self._began[1], now - self._began[2]
        if gone <= 0 or since_s < _SECONDS_TO_KNOW_THE_PACE or done >= total:
            return text
        return f"{text}, about {_duration(since_s * (total - done) / gone)} left"


def _duration(seconds: float) -> str:
    whole = max(1, round(seconds))
    if whole < 90:
        return f"{whole} s"
    minutes = round(whole / 60)
    return f"{minutes} min" if minutes < 90 else f"{minutes // 60} h {minutes % 60} min"
